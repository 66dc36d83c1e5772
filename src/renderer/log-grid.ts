/** The pole of the cubic B-spline's filter. */
const POLE = Math.sqrt(3) - 2;

/**
 * A positive quantity on a regular grid, kept as natural logarithm and read by a cubic B-spline through the nodes:
 * smooth to the second derivative, so that an inflection is not drawn to the nodes. Outside the grid the border value
 * holds. Node (i, j) lies at (u0 + i du, v0 + j dv), index j * columns + i.
 * @see Unser, Aldroubi and Eden, B-spline signal processing, IEEE Trans. Signal Processing 41 (1993).
 */
export class LogGrid {
  readonly u0: number;
  readonly v0: number;
  readonly du: number;
  readonly dv: number;
  readonly columns: number;
  readonly rows: number;
  /** Places of the last column and row. */
  readonly uEnd: number;
  readonly vEnd: number;
  readonly #coefficients: Float64Array;

  /** @param logs natural logarithms at the nodes, at least 2 by 2; they are overwritten. */
  constructor(
    place: { readonly u0: number; readonly du: number; readonly v0: number; readonly dv: number },
    columns: number,
    rows: number,
    logs: Float64Array,
  ) {
    this.u0 = place.u0;
    this.v0 = place.v0;
    this.du = place.du;
    this.dv = place.dv;
    this.columns = columns;
    this.rows = rows;
    this.uEnd = place.u0 + (columns - 1) * place.du;
    this.vEnd = place.v0 + (rows - 1) * place.dv;
    this.#coefficients = logs;
    for (let j = 0; j < rows; j++) filterLine(logs, j * columns, 1, columns);
    for (let i = 0; i < columns; i++) filterLine(logs, i, columns, rows);
  }

  /** Natural logarithm at (u, v). */
  logAt(u: number, v: number): number {
    const { columns, rows } = this;
    const c = this.#coefficients;
    const x = Math.max(0, Math.min(columns - 1, (u - this.u0) / this.du));
    const y = Math.max(0, Math.min(rows - 1, (v - this.v0) / this.dv));
    const i = Math.min(columns - 2, x | 0);
    const j = Math.min(rows - 2, y | 0);
    const s = x - i;
    const t = y - j;
    // Beyond a border the coefficients are those mirrored at it.
    const i0 = i > 0 ? -1 : 1;
    const i3 = i < columns - 2 ? 2 : 0;
    const p1 = j * columns + i;
    const p0 = j > 0 ? p1 - columns : p1 + columns;
    const p2 = p1 + columns;
    const p3 = j < rows - 2 ? p2 + columns : p1;
    const r = 1 - s;
    const a0 = (r * r * r) / 6;
    const a1 = 2 / 3 - 0.5 * s * s * (2 - s);
    const a2 = 2 / 3 - 0.5 * r * r * (2 - r);
    const a3 = (s * s * s) / 6;
    const q = 1 - t;
    return (
      ((q * q * q) / 6) * (a0 * c[p0 + i0]! + a1 * c[p0]! + a2 * c[p0 + 1]! + a3 * c[p0 + i3]!) +
      (2 / 3 - 0.5 * t * t * (2 - t)) *
        (a0 * c[p1 + i0]! + a1 * c[p1]! + a2 * c[p1 + 1]! + a3 * c[p1 + i3]!) +
      (2 / 3 - 0.5 * q * q * (2 - q)) *
        (a0 * c[p2 + i0]! + a1 * c[p2]! + a2 * c[p2 + 1]! + a3 * c[p2 + i3]!) +
      ((t * t * t) / 6) * (a0 * c[p3 + i0]! + a1 * c[p3]! + a2 * c[p3 + 1]! + a3 * c[p3 + i3]!)
    );
  }
}

/** Turns values at the nodes of one line into B-spline coefficients, in place; the line is mirrored at its ends. */
function filterLine(data: Float64Array, start: number, stride: number, n: number): void {
  const reach = Math.min(n, 30);
  let first = 0;
  let power = 1;
  for (let k = 0; k < reach; k++) {
    first += power * data[start + k * stride]!;
    power *= POLE;
  }
  const gain = (1 - POLE) * (1 - 1 / POLE);
  let last = gain * first;
  data[start] = last;
  for (let k = 1; k < n; k++) {
    const at = start + k * stride;
    last = gain * data[at]! + POLE * last;
    data[at] = last;
  }
  const end = start + (n - 1) * stride;
  let next = (POLE / (POLE * POLE - 1)) * (data[end]! + POLE * data[end - stride]!);
  data[end] = next;
  for (let k = n - 2; k >= 0; k--) {
    const at = start + k * stride;
    next = POLE * (next - data[at]!);
    data[at] = next;
  }
}
