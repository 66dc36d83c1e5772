import { LogGrid } from './log-grid.ts';
import { Random } from './random.ts';
import { Spline } from './spline.ts';

const DEG = Math.PI / 180;

/**
 * A table of intensities: `values[j][i]` at horizontal angle `uDeg[i]` (+ right) and vertical angle `vDeg[j]`
 * (+ up), both strictly rising.
 */
export interface IntensityTable {
  readonly uDeg: readonly number[];
  readonly vDeg: readonly number[];
  readonly values: readonly (readonly number[])[];
}

/**
 * Intensity in every direction from a table: cubic splines through log intensity in both directions. Zeros count as
 * `floor`, since a logarithm must exist. Directions beyond the table take its border value.
 * @returns a function of tangents (u, v).
 */
export function smoothTable(table: IntensityTable, floor: number): (u: number, v: number) => number {
  const uFine = 0.08;
  const vFine = 0.04;
  const [uLow, uHigh] = [table.uDeg[0] as number, table.uDeg.at(-1) as number];
  const [vLow, vHigh] = [table.vDeg[0] as number, table.vDeg.at(-1) as number];
  const columns = Math.max(2, Math.ceil((uHigh - uLow) / uFine) + 1);
  const rows = Math.max(2, Math.ceil((vHigh - vLow) / vFine) + 1);
  const du = (uHigh - uLow) / (columns - 1);
  const dv = (vHigh - vLow) / (rows - 1);
  const logs = new Float64Array(columns * rows);
  const along = table.values.map((row) => {
    const line = new Spline(
      table.uDeg,
      row.map((value) => Math.log(Math.max(floor, value))),
    );
    return Float64Array.from({ length: columns }, (_, i) => line.at(uLow + i * du));
  });
  for (let i = 0; i < columns; i++) {
    const line = new Spline(
      table.vDeg,
      along.map((row) => row[i] as number),
    );
    for (let j = 0; j < rows; j++) logs[j * columns + i] = line.at(vLow + j * dv);
  }
  const grid = new LogGrid({ u0: uLow, du, v0: vLow, dv }, columns, rows, logs);
  return (u, v) => Math.exp(grid.logAt(Math.atan(u) / DEG, Math.atan(v) / DEG));
}

/** Node places: fine in the middle, coarse outside. */
function places(
  from: number,
  fineFrom: number,
  fineTo: number,
  to: number,
  fine: number,
  coarse: number,
): number[] {
  const list: number[] = [];
  for (let x = from; x < fineFrom - 1e-9; x += coarse) list.push(x);
  for (let x = fineFrom; x < fineTo - 1e-9; x += fine) list.push(x);
  for (let x = fineTo; x <= to + 1e-9; x += coarse) list.push(x);
  return list;
}

/** Measures a beam at the nodes of a table, each node 0.25 % off, and draws it again from the table alone. */
export function tabulate(
  raw: (u: number, v: number) => number,
  seed: number,
): (u: number, v: number) => number {
  const random = new Random(seed);
  const uDeg = places(-45, -6, 6, 45, 0.25, 1);
  const vDeg = places(-16, -3, 3, 12, 0.2, 0.5);
  const values = vDeg.map((v) =>
    uDeg.map((u) => raw(Math.tan(u * DEG), Math.tan(v * DEG)) * Math.exp(random.normal(0, 0.0025))),
  );
  return smoothTable({ uDeg, vDeg, values }, 1e-6);
}
