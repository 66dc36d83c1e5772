import { Matrix, QrDecomposition } from 'ml-matrix';

/**
 * Least-squares polynomial of a given degree on points scaled to [-1, 1].
 *
 * @param x n abscissae. @param y n ordinates. n must exceed `degree`.
 * @returns coefficients, constant first, in t = (x - middle) / half.
 */
export function fitPolynomial(
  x: readonly number[],
  y: readonly number[],
  degree: number,
): { readonly coefficients: readonly number[]; readonly middle: number; readonly half: number } {
  const first = x[0]!;
  const last = x[x.length - 1]!;
  const middle = (first + last) / 2;
  const half = (last - first) / 2;
  const design = new Matrix(x.length, degree + 1);
  for (let i = 0; i < x.length; i++) {
    const t = (x[i]! - middle) / half;
    let power = 1;
    for (let k = 0; k <= degree; k++) {
      design.set(i, k, power);
      power *= t;
    }
  }
  const solution = new QrDecomposition(design).solve(Matrix.columnVector([...y]));
  return { coefficients: solution.to1DArray(), middle, half };
}

/** The slope dy/dt of a polynomial with these coefficients. */
export function polynomialSlope(coefficients: readonly number[], t: number): number {
  let slope = 0;
  for (let k = coefficients.length - 1; k >= 1; k--) slope = slope * t + k * coefficients[k]!;
  return slope;
}
