import type { LightGrid } from '../sampling/light-grid.ts';
import { tanFromDeg } from '../units.ts';

/** Light that the lamp did not send there: room light, and the lens's veil. In the grid's units, the same everywhere. */
export interface AddedLight {
  readonly value: number;
  readonly u: number;
}

/**
 * What a passing lamp still sends to the darkest place on the board, as a share of its peak: median and spread of a
 * log-normal guess. Regulations ask for some 65 to 125 cd above the horizon for overhead signs, 0.2 to 0.5 % of a
 * peak of 25 to 40 kcd, and further out it fades (UN R112 points 7, 8 and overhead, from memory).
 */
const STRAY_MEDIAN = 0.003;
const STRAY_SPREAD = Math.log(2.2);

/**
 * How much of the light on the board is not the lamp's. One photo can't tell room light from stray light; the darkest
 * place bounds their sum, and what a lamp sends there is known to a factor. The answer is the mean and standard
 * deviation of what remains, every amount of room light being thought equally likely.
 *
 * @param peak the grid's smoothed peak, in its own units.
 */
export function estimateAddedLight(grid: LightGrid, peak: number): AddedLight {
  const darkest = darkestPlace(grid);
  if (!(darkest > 0) || !(peak > 0)) return { value: 0, u: 0 };
  let weight = 0;
  let mean = 0;
  let square = 0;
  const steps = 400;
  for (let i = 0; i < steps; i++) {
    // Stray light from none to all of the darkest place.
    const stray = ((i + 0.5) / steps) * darkest;
    const z = Math.log(stray / (STRAY_MEDIAN * peak)) / STRAY_SPREAD;
    const p = Math.exp((-z * z) / 2) / stray;
    const added = darkest - stray;
    weight += p;
    mean += p * added;
    square += p * added * added;
  }
  if (!(weight > 0)) return { value: 0.5 * darkest, u: darkest / Math.sqrt(12) };
  const value = mean / weight;
  return { value, u: Math.sqrt(Math.max(0, square / weight - value * value)) };
}

/** The grid with that much light taken away everywhere. */
export function withoutAdded(grid: LightGrid, added: AddedLight): LightGrid {
  if (added.value === 0) return grid;
  const light = new Float32Array(grid.light.length);
  for (let i = 0; i < light.length; i++) light[i] = grid.light[i]! - added.value;
  return { ...grid, light };
}

/** Mean light of the darkest half-degree square: its 3 % quantile, so that one shadow or stain does not decide. */
function darkestPlace(grid: LightGrid): number {
  const wide = Math.max(1, Math.round(tanFromDeg(0.5) / grid.du));
  const high = Math.max(1, Math.round(tanFromDeg(0.5) / grid.dv));
  const means: number[] = [];
  for (let r0 = 0; r0 + high <= grid.rows; r0 += high) {
    for (let c0 = 0; c0 + wide <= grid.columns; c0 += wide) {
      let sum = 0;
      let n = 0;
      for (let r = r0; r < r0 + high; r++) {
        for (let c = c0; c < c0 + wide; c++) {
          const e = grid.light[r * grid.columns + c]!;
          if (!Number.isFinite(e)) continue;
          sum += e;
          n++;
        }
      }
      if (n * 2 > wide * high) means.push(sum / n);
    }
  }
  if (means.length < 8) return 0;
  means.sort((a, b) => a - b);
  return means[Math.floor(0.03 * means.length)]!;
}
