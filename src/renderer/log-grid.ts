/**
 * A positive quantity on a regular grid, kept as natural logarithm and read by Catmull-Rom cubics in both
 * directions: exact at the nodes, smooth slope between them. Outside the grid the border value holds.
 * Node (i, j) lies at (u0 + i du, v0 + j dv), index j * columns + i.
 */
export class LogGrid {
  readonly u0: number;
  readonly v0: number;
  readonly du: number;
  readonly dv: number;
  readonly columns: number;
  readonly rows: number;
  readonly logs: Float32Array;

  constructor(u0: number, du: number, columns: number, v0: number, dv: number, rows: number) {
    this.u0 = u0;
    this.du = du;
    this.columns = columns;
    this.v0 = v0;
    this.dv = dv;
    this.rows = rows;
    this.logs = new Float32Array(columns * rows);
  }

  /** Natural logarithm at (u, v). */
  logAt(u: number, v: number): number {
    const { columns, rows, logs } = this;
    let x = (u - this.u0) / this.du;
    let y = (v - this.v0) / this.dv;
    x = x < 0 ? 0 : x > columns - 1 ? columns - 1 : x;
    y = y < 0 ? 0 : y > rows - 1 ? rows - 1 : y;
    const i = Math.min(columns - 2, x | 0);
    const j = Math.min(rows - 2, y | 0);
    const s = x - i;
    const t = y - j;
    const i0 = i > 0 ? -1 : 0;
    const i3 = i < columns - 2 ? 2 : 1;
    const s2 = s * s;
    const s3 = s2 * s;
    const a0 = 0.5 * (-s3 + 2 * s2 - s);
    const a1 = 0.5 * (3 * s3 - 5 * s2 + 2);
    const a2 = 0.5 * (-3 * s3 + 4 * s2 + s);
    const a3 = 0.5 * (s3 - s2);
    const t2 = t * t;
    const t3 = t2 * t;
    const b0 = 0.5 * (-t3 + 2 * t2 - t);
    const b1 = 0.5 * (3 * t3 - 5 * t2 + 2);
    const b2 = 0.5 * (-3 * t3 + 4 * t2 + t);
    const b3 = 0.5 * (t3 - t2);
    const p1 = j * columns + i;
    const p0 = j > 0 ? p1 - columns : p1;
    const p2 = p1 + columns;
    const p3 = j < rows - 2 ? p2 + columns : p2;
    return (
      b0 * (a0 * logs[p0 + i0]! + a1 * logs[p0]! + a2 * logs[p0 + 1]! + a3 * logs[p0 + i3]!) +
      b1 * (a0 * logs[p1 + i0]! + a1 * logs[p1]! + a2 * logs[p1 + 1]! + a3 * logs[p1 + i3]!) +
      b2 * (a0 * logs[p2 + i0]! + a1 * logs[p2]! + a2 * logs[p2 + 1]! + a3 * logs[p2 + i3]!) +
      b3 * (a0 * logs[p3 + i0]! + a1 * logs[p3]! + a2 * logs[p3 + 1]! + a3 * logs[p3 + i3]!)
    );
  }
}
