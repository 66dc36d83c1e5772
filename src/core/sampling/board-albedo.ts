import { Matrix, solve } from 'ml-matrix';
import { tanFromDeg } from '../units.ts';
import type { LightGrid } from './light-grid.ts';
import { smoothed } from './merge-room.ts';

/** How unevenly a board sends light back, seen in even light. */
export interface BoardAlbedo {
  /** Relative reflectance, mean 1; NaN where unknown. */
  readonly relative: Float32Array;
  /** Standard deviation of the unevenness, and of what noise leaves in it, as shares. */
  readonly spread: number;
  readonly uLeft: number;
}

/** Unevenness wider than this is told; finer grain averages out by itself. */
const REACH = tanFromDeg(0.25);
/** Even room light is a plane or a bowl over the board: what departs from that by more than this is shadow, not paint. */
const MOST_SPREAD = 0.05;
/** Less than this moves nothing worth the risk. */
const LEAST_SPREAD = 0.004;
/** What is told must be this much more than its noise. */
const LEAST_OVER_NOISE = 2;
/** Mean light below this share of full scale is too coarse in 8 bits. */
const LEAST_LIGHT = 0.03;

/**
 * The board's uneven reflectance from a photo in even room light, where that photo is bright and even enough to tell it;
 * null where it is not, and then dividing would do more harm than good.
 *
 * Room light is taken as a paraboloid in (u, v); what is left is the board. Two interleaved halves of the cells tell noise
 * from board: noise differs between them, the board does not.
 *
 * @param room the board in room light alone, share of full scale.
 */
export function boardAlbedo(room: LightGrid): BoardAlbedo | null {
  const half = (odd: number): Float32Array =>
    smoothed(
      {
        ...room,
        light: room.light.map((e, k) =>
          (((k % room.columns) + Math.floor(k / room.columns)) & 1) === odd && room.clipped[k] === 0
            ? e
            : Number.NaN,
        ),
      },
      REACH,
    );
  const a = half(0);
  const b = half(1);
  const fit = paraboloid(room, a, b);
  if (fit === null || fit.mean < LEAST_LIGHT) return null;
  let both = 0;
  let unlike = 0;
  let n = 0;
  const relative = new Float32Array(room.light.length).fill(Number.NaN);
  for (let k = 0; k < relative.length; k++) {
    const even = fit.at(k);
    const ra = a[k]! / even - 1;
    const rb = b[k]! / even - 1;
    if (!Number.isFinite(ra + rb)) continue;
    relative[k] = (ra + rb) / 2;
    both += ra * rb;
    unlike += (ra - rb) ** 2;
    n++;
  }
  const signal = both / n;
  const noise = unlike / (4 * n);
  const spread = Math.sqrt(Math.max(0, signal));
  if (spread < LEAST_SPREAD || spread > MOST_SPREAD || signal < LEAST_OVER_NOISE * noise) return null;
  // As much of each departure as is likely to be the board's (Wiener's shrinkage).
  const share = signal / (signal + noise);
  for (let k = 0; k < relative.length; k++) relative[k] = 1 + share * relative[k]!;
  return { relative, spread, uLeft: Math.sqrt((signal * noise) / (signal + noise)) };
}

/** The light as a perfectly even board would show it; cells of unknown reflectance stay as they are. */
export function withoutAlbedo(grid: LightGrid, albedo: BoardAlbedo): LightGrid {
  const light = grid.light.map((e, k) => {
    const r = albedo.relative[k]!;
    return Number.isFinite(r) ? e / r : e;
  });
  return { ...grid, light };
}

function paraboloid(
  grid: LightGrid,
  a: Float32Array,
  b: Float32Array,
): { readonly at: (k: number) => number; readonly mean: number } | null {
  const { columns, rows } = grid;
  const terms = (k: number): number[] => {
    const x = ((k % columns) - columns / 2) / columns;
    const y = (Math.floor(k / columns) - rows / 2) / rows;
    return [1, x, y, x * x, x * y, y * y];
  };
  const normal = Matrix.zeros(6, 6);
  const right = [0, 0, 0, 0, 0, 0];
  let n = 0;
  let sum = 0;
  for (let k = 0; k < grid.light.length; k += 7) {
    const e = (a[k]! + b[k]!) / 2;
    if (!Number.isFinite(e)) continue;
    const row = terms(k);
    for (let i = 0; i < 6; i++) {
      right[i]! += row[i]! * e;
      for (let j = 0; j < 6; j++) normal.set(i, j, normal.get(i, j) + row[i]! * row[j]!);
    }
    sum += e;
    n++;
  }
  if (n < 100 || !(sum > 0)) return null;
  const s = solve(normal, Matrix.columnVector(right)).to1DArray();
  return { at: (k) => terms(k).reduce((t, v, i) => t + v * s[i]!, 0), mean: sum / n };
}
