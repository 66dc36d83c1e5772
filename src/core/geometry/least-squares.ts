import { CholeskyDecomposition, Matrix } from 'ml-matrix';

/** What a non-linear least-squares fit ended with. */
export interface LeastSquaresFit {
  readonly params: readonly number[];
  /** Sum of squared residuals at `params`. */
  readonly cost: number;
  /** Inverse of JᵀJ: the covariance of the parameters when residuals have unit variance; null when singular. */
  readonly covariance: readonly (readonly number[])[] | null;
  readonly converged: boolean;
  /** Derivatives at `params`, one column of m per parameter. */
  readonly jacobian: readonly Float64Array[];
  readonly residuals: readonly number[];
}

export interface LeastSquaresProblem {
  readonly start: readonly number[];
  /** m residuals, each divided by its standard uncertainty; m at least the number of parameters for a covariance. */
  readonly residuals: (params: readonly number[]) => readonly number[];
  /** A typical size of each parameter: differences step by 1e-6 of it. */
  readonly scales: readonly number[];
  /** Exact derivatives, one column of m per parameter; differences are taken when left out. */
  readonly derivatives?: (params: readonly number[]) => readonly Float64Array[];
  readonly maxIterations?: number;
  /** Done when a step lowers the cost by less than this share of it; 1e-12 unless told. */
  readonly tolerance?: number;
  /** One-sided differences on the way, half the work; the derivatives handed back are central all the same. */
  readonly oneSided?: boolean;
}

/**
 * Levenberg-Marquardt with central differences: small dense problems (up to some 100 parameters).
 * Priors are residuals like others. Steps that do not lower the cost are refused, so the cost never rises.
 * @returns the fit; `converged` is false when the steps ran out.
 * @see Marquardt 1963 in the scaled form of More 1978 (from memory).
 */
export function fitLeastSquares(problem: LeastSquaresProblem): LeastSquaresFit {
  const { residuals, scales } = problem;
  let params = [...problem.start];
  let r = residuals(params);
  let cost = sumOfSquares(r);
  let damping = 1e-3;
  let converged = false;
  for (let iteration = 0; iteration < (problem.maxIterations ?? 60) && !converged; iteration++) {
    const jacobian =
      problem.derivatives?.(params) ??
      (problem.oneSided
        ? oneSidedDifferences(residuals, params, scales, r)
        : differences(residuals, params, scales, r.length));
    const normal = normalMatrix(jacobian);
    const gradient = jacobian.map((column) => column.reduce((s, v, i) => s + v * r[i]!, 0));
    let moved = false;
    for (let attempt = 0; attempt < 12 && !moved; attempt++) {
      const step = solveDamped(normal, gradient, damping);
      if (step === null) {
        damping = Math.max(damping * 10, 1e-9);
        continue;
      }
      const candidate = params.map((p, i) => p - step[i]!);
      const rc = residuals(candidate);
      const costC = sumOfSquares(rc);
      if (Number.isFinite(costC) && costC <= cost) {
        const small = step.every((s, i) => Math.abs(s) < 1e-9 * (Math.abs(params[i]!) + scales[i]!));
        converged = small || cost - costC <= (problem.tolerance ?? 1e-12) * cost;
        params = candidate;
        r = rc;
        cost = costC;
        damping = Math.max(damping / 10, 1e-12);
        moved = true;
      } else {
        damping *= 10;
      }
    }
    if (!moved) {
      // No direction lowers the cost any more: this is the minimum, as exactly as differences can tell.
      converged = true;
    }
  }
  const jacobian = problem.derivatives?.(params) ?? differences(residuals, params, scales, r.length);
  return {
    params,
    cost,
    covariance: inverse(normalMatrix(jacobian)),
    converged,
    jacobian,
    residuals: r,
  };
}

function differences(
  residuals: (params: readonly number[]) => readonly number[],
  params: readonly number[],
  scales: readonly number[],
  m: number,
): Float64Array[] {
  return params.map((p, k) => {
    const h = 1e-6 * scales[k]!;
    const up = residuals(params.with(k, p + h));
    const down = residuals(params.with(k, p - h));
    const column = new Float64Array(m);
    for (let i = 0; i < m; i++) column[i] = (up[i]! - down[i]!) / (2 * h);
    return column;
  });
}

function oneSidedDifferences(
  residuals: (params: readonly number[]) => readonly number[],
  params: readonly number[],
  scales: readonly number[],
  at: readonly number[],
): Float64Array[] {
  return params.map((p, k) => {
    const h = 1e-5 * scales[k]!;
    const up = residuals(params.with(k, p + h));
    const column = new Float64Array(at.length);
    for (let i = 0; i < at.length; i++) column[i] = (up[i]! - at[i]!) / h;
    return column;
  });
}

function normalMatrix(columns: readonly Float64Array[]): Matrix {
  const n = columns.length;
  const out = Matrix.zeros(n, n);
  for (let a = 0; a < n; a++) {
    for (let b = a; b < n; b++) {
      const ca = columns[a]!;
      const cb = columns[b]!;
      let s = 0;
      for (let i = 0; i < ca.length; i++) s += ca[i]! * cb[i]!;
      out.set(a, b, s);
      out.set(b, a, s);
    }
  }
  return out;
}

function solveDamped(normal: Matrix, gradient: readonly number[], damping: number): number[] | null {
  const n = gradient.length;
  const scale = diagonalScale(normal);
  const m = Matrix.zeros(n, n);
  for (let a = 0; a < n; a++) {
    for (let b = 0; b < n; b++) m.set(a, b, normal.get(a, b) / (scale[a]! * scale[b]!));
    m.set(a, a, m.get(a, a) + damping);
  }
  const cholesky = new CholeskyDecomposition(m);
  if (!cholesky.isPositiveDefinite()) return null;
  const step = cholesky.solve(Matrix.columnVector(gradient.map((g, i) => g / scale[i]!)));
  return gradient.map((_, i) => step.get(i, 0) / scale[i]!);
}

function inverse(normal: Matrix): readonly (readonly number[])[] | null {
  const n = normal.rows;
  const scale = diagonalScale(normal);
  const m = Matrix.zeros(n, n);
  for (let a = 0; a < n; a++) {
    for (let b = 0; b < n; b++) m.set(a, b, normal.get(a, b) / (scale[a]! * scale[b]!));
  }
  const cholesky = new CholeskyDecomposition(m);
  if (!cholesky.isPositiveDefinite()) return null;
  // After scaling to a unit diagonal, a pivot this small means that the data do not fix some combination.
  if (cholesky.lowerTriangularMatrix.diagonal().some((d) => d < 1e-7)) return null;
  const inv = cholesky.solve(Matrix.eye(n));
  return Array.from({ length: n }, (_, a) =>
    Array.from({ length: n }, (_, b) => inv.get(a, b) / (scale[a]! * scale[b]!)),
  );
}

function diagonalScale(normal: Matrix): number[] {
  return normal.diagonal().map((d) => (d > 0 ? Math.sqrt(d) : 1));
}

function sumOfSquares(r: readonly number[]): number {
  let s = 0;
  for (const v of r) s += v * v;
  return s;
}
