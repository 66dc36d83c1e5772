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
 * Intensity between the nodes of a table: cubic splines through log intensity in both directions, drawn once on a grid
 * five times finer than its closest nodes. Zeros count as `floor`, since a logarithm must exist. Beyond the table its
 * border value holds.
 * @returns a function of the table's own two angles, deg.
 */
export function smoothTable(table: IntensityTable, floor: number): (uDeg: number, vDeg: number) => number {
  const [uLow, columns, du] = fineSteps(table.uDeg);
  const [vLow, rows, dv] = fineSteps(table.vDeg);
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
  return (u, v) => Math.exp(grid.logAt(u, v));
}

/** First place, number of nodes and step of a regular grid over rising places; at most 2000 nodes. */
function fineSteps(places: readonly number[]): readonly [number, number, number] {
  const low = places[0] as number;
  const reach = (places.at(-1) as number) - low;
  const closest = places.reduce(
    (least, place, i) => (i === 0 ? least : Math.min(least, place - (places[i - 1] as number))),
    reach,
  );
  const count = Math.max(2, Math.min(2000, Math.ceil((5 * reach) / closest) + 1));
  return [low, count, reach / (count - 1)];
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
  const at = smoothTable({ uDeg, vDeg, values }, 1e-6);
  return (u, v) => at(Math.atan(u) / DEG, Math.atan(v) / DEG);
}
