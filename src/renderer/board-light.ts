import type { Emitter } from './filling.ts';
import { type Lamp, spotsFor } from './lamp.ts';
import { LogGrid } from './log-grid.ts';

/** A rectangle of tangents. */
export interface TangentArea {
  readonly uLow: number;
  readonly uHigh: number;
  readonly vLow: number;
  readonly vHigh: number;
}

/**
 * What a board at `distanceMm` sees of a lamp with a lit opening: for each direction (u, v) from the reference centre,
 * the intensity of all its spots together as they shine on that place, cd. Every spot sends out the same far-field
 * pattern (moved by its own aim), so the sum is the pattern smeared by the opening's shape divided by the distance.
 * Inverse square and cosine are left to the caller: over an opening they hardly change.
 *
 * The pattern is evaluated once on a fine grid and the spots are summed as shifted copies; a shift that is no whole
 * number of steps is shared between its four neighbours.
 */
export function openingPattern(lamp: Lamp, distanceMm: number, area: TangentArea): LogGrid {
  const spots = spotsFor(lamp, distanceMm);
  const step = gridStep(lamp);
  const reachU = greatest(spots, (one) => Math.abs(one.x / distanceMm + one.du)) + 3 * step.u;
  const reachV = greatest(spots, (one) => Math.abs(one.z / distanceMm + one.dv)) + 3 * step.v;
  const padU = Math.ceil(reachU / step.u);
  const padV = Math.ceil(reachV / step.v);
  const columns = Math.ceil((area.uHigh - area.uLow) / step.u) + 2;
  const rows = Math.ceil((area.vHigh - area.vLow) / step.v) + 2;
  const wide = columns + 2 * padU;
  const high = rows + 2 * padV;
  const source = new Float32Array(wide * high);
  for (let j = 0; j < high; j++) {
    const v = area.vLow + (j - padV) * step.v;
    for (let i = 0; i < wide; i++) source[j * wide + i] = lamp.intensity(area.uLow + (i - padU) * step.u, v);
  }
  const sum = new Float32Array(columns * rows);
  for (const [shift, share] of shiftsOf(spots, distanceMm, step, wide)) {
    for (let j = 0; j < rows; j++) {
      const from = (j + padV) * wide + padU - shift;
      const to = j * columns;
      for (let i = 0; i < columns; i++) sum[to + i] = sum[to + i]! + share * source[from + i]!;
    }
  }
  const grid = new LogGrid(area.uLow, step.u, columns, area.vLow, step.v, rows);
  for (let k = 0; k < sum.length; k++) grid.logs[k] = Math.log(sum[k]!);
  return grid;
}

const DEG = Math.PI / 180;

/** Steps that resolve the edge: a seventh of its width upwards, a little more sideways. */
function gridStep(lamp: Lamp): { readonly u: number; readonly v: number } {
  const v = Math.min(0.05 * DEG, Math.max(0.016 * DEG, lamp.beam.finest / 7));
  return { u: 1.4 * v, v };
}

function greatest(spots: readonly Emitter[], size: (one: Emitter) => number): number {
  return spots.reduce((most, one) => Math.max(most, size(one)), 0);
}

/** Whole shifts of the source array and the light that each carries. */
function shiftsOf(
  spots: readonly Emitter[],
  distanceMm: number,
  step: { readonly u: number; readonly v: number },
  wide: number,
): ReadonlyMap<number, number> {
  const map = new Map<number, number>();
  const add = (i: number, j: number, share: number): void => {
    if (share > 1e-9) map.set(j * wide + i, (map.get(j * wide + i) ?? 0) + share);
  };
  for (const one of spots) {
    const x = (one.x / distanceMm + one.du) / step.u;
    const z = (one.z / distanceMm + one.dv) / step.v;
    const [i, j] = [Math.floor(x), Math.floor(z)];
    const [a, b] = [x - i, z - j];
    add(i, j, one.share * (1 - a) * (1 - b));
    add(i + 1, j, one.share * a * (1 - b));
    add(i, j + 1, one.share * (1 - a) * b);
    add(i + 1, j + 1, one.share * a * b);
  }
  return map;
}
