/**
 * Relative illuminance on a regular grid of tangents from one lamp: row 0 is the lowest v, column 0 the lowest u.
 * Index = row·columns + column. Common scale unknown: only ratios mean anything. Linear light.
 */
export interface LightGrid {
  readonly columns: number;
  readonly rows: number;
  /** Tangent of the first column's centre and step between columns; likewise rows. */
  readonly u0: number;
  readonly du: number;
  readonly v0: number;
  readonly dv: number;
  /** Mean BT.709 luminance of the cell, 0 to 1 in units of full scale; NaN where the board or photo ends or print covers it. */
  readonly light: Float32Array;
  /** Share of samples in the cell that are clipped in any colour, 0 to 1. */
  readonly clipped: Float32Array;
  /** Photo pixels that one cell covers, roughly: what averaging the noise had. */
  readonly pixelsPerCell: number;
}
