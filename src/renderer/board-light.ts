import { stripsOf } from './filling.ts';
import type { Lamp } from './lamp.ts';
import { LogGrid } from './log-grid.ts';

/** A rectangle of tangents. */
export interface TangentArea {
  readonly uLow: number;
  readonly uHigh: number;
  readonly vLow: number;
  readonly vHigh: number;
}

const DEG = Math.PI / 180;

/**
 * What a board at each of some distances sees of a lamp with a lit opening: for each direction (u, v) from the reference
 * centre, the intensity of all its parts together as they shine on that place, cd. Every part sends out the same
 * far-field pattern (moved by its own aim), so the sum is the pattern smeared by the opening's shape divided by the
 * distance. Inverse square and cosine are left to the caller: over an opening they hardly change.
 *
 * The pattern is evaluated once on a fine grid and summed along its rows; a strip of the opening then costs two
 * look-ups per place, at its two ends. Checked against the sum over points (truth.ts): the edge agrees to 0.003 %.
 * @param leastStep makes the grid coarser than the edge wants, tangents: for what is not measured.
 * @returns one grid per distance.
 */
export function openingPatterns(
  lamp: Lamp,
  distancesMm: readonly number[],
  area: TangentArea,
  leastStep = 0,
): readonly LogGrid[] {
  const finest = lamp.beam.finest;
  const dv = Math.max(leastStep, Math.min(0.035 * DEG, Math.max(0.012 * DEG, finest / 8)));
  // Sideways only a steep ramp asks for as much.
  const du = ((lamp.beam.cutOff?.rampSlope ?? 0) > 0.4 ? 1.4 : 2.5) * dv;
  const tapLists = distancesMm.map((distanceMm) => tapsOf(lamp, distanceMm, du, dv));
  const padU = Math.max(...tapLists.flat().map((tap) => Math.abs(tap.i))) + 2;
  const padV = Math.max(...tapLists.flat().map((tap) => Math.abs(tap.j))) + 2;
  // What an opening has smeared needs fewer nodes than the pattern itself.
  const furthest = Math.max(...distancesMm);
  const skipU = lamp.opening.widthMm / furthest > 3 * finest ? 2 : 1;
  const skipV = lamp.opening.heightMm / furthest > 3 * finest ? 2 : 1;
  const columns = Math.ceil((area.uHigh - area.uLow) / (du * skipU)) + 2;
  const rows = Math.ceil((area.vHigh - area.vLow) / (dv * skipV)) + 2;
  const wide = columns * skipU + 2 * padU + 1;
  const high = rows * skipV + 2 * padV;
  const sums = rowSums(lamp, area.uLow - padU * du, du, wide, area.vLow - padV * dv, dv, high);
  const place = { u0: area.uLow, du: du * skipU, v0: area.vLow, dv: dv * skipV };
  return tapLists.map((taps) => {
    const logs = new Float64Array(columns * rows);
    const line = new Float64Array(columns);
    for (let j = 0; j < rows; j++) {
      line.fill(0);
      for (const tap of taps) {
        const from = (j * skipV + padV + tap.j) * wide + padU + tap.i;
        const { weight } = tap;
        for (let i = 0, at = from; i < columns; i++, at += skipU) line[i]! += weight * sums[at]!;
      }
      for (let i = 0; i < columns; i++) logs[j * columns + i] = Math.log(line[i]!);
    }
    return new LogGrid(place, columns, rows, logs);
  });
}

/** Running sums of the pattern along each row: entry k is the integral up to the left border of node k, in nodes. */
function rowSums(
  lamp: Lamp,
  u0: number,
  du: number,
  wide: number,
  v0: number,
  dv: number,
  high: number,
): Float64Array {
  const sums = new Float64Array(wide * high);
  for (let j = 0; j < high; j++) {
    const v = v0 + j * dv;
    let sum = 0;
    for (let i = 0; i < wide; i++) {
      sums[j * wide + i] = sum;
      sum += lamp.intensity(u0 + i * du, v);
    }
  }
  return sums;
}

interface Tap {
  readonly i: number;
  readonly j: number;
  readonly weight: number;
}

/** The opening as look-ups into the running sums, relative to the node looked at; the same look-ups are merged. */
function tapsOf(lamp: Lamp, distanceMm: number, du: number, dv: number): readonly Tap[] {
  const pitch = 0.45 * lamp.beam.finest * distanceMm;
  const map = new Map<string, { i: number; j: number; weight: number }>();
  // Straight between nodes along the running sums, by a cubic upwards: a straight line there would smear the edge.
  const add = (x: number, y: number, weight: number): void => {
    const [i, j] = [Math.floor(x), Math.floor(y)];
    const [s, t] = [x - i, y - j];
    const upwards = [
      0.5 * t * (-1 + t * (2 - t)),
      0.5 * (2 + t * t * (3 * t - 5)),
      0.5 * t * (1 + t * (4 - 3 * t)),
      0.5 * t * t * (t - 1),
    ];
    for (const [b, up] of upwards.entries()) {
      for (const [a, along] of [1 - s, s].entries()) {
        if (Math.abs(up * along) < 1e-9) continue;
        const key = `${i + a} ${j + b - 1}`;
        const tap = map.get(key);
        if (tap) tap.weight += weight * up * along;
        else map.set(key, { i: i + a, j: j + b - 1, weight: weight * up * along });
      }
    }
  };
  for (const strip of stripsOf(lamp.opening, pitch)) {
    // From a part at x the direction to a place is u - x/D: it sees the pattern there, less its own aim.
    const high = (-strip.left / distanceMm - strip.du) / du;
    const low = (-strip.right / distanceMm - strip.du) / du;
    const y = (-strip.z / distanceMm - strip.dv) / dv;
    const density = strip.share / (high - low);
    // Node k's own cell reaches from k - 1/2 to k + 1/2, and its running sum starts at its left border.
    add(high + 0.5, y, density);
    add(low + 0.5, y, -density);
  }
  return [...map.values()].filter((tap) => Math.abs(tap.weight) > 1e-12);
}
