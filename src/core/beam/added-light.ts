import type { LightGrid } from '../sampling/light-grid.ts';
import { tanFromDeg } from '../units.ts';

/** Light that the lamp did not send there: room light, and the lens's veil. In the grid's units, the same everywhere. */
export interface AddedLight {
  readonly value: number;
  readonly u: number;
}

/**
 * A passing lamp's own light some 2 deg above the cut-off as a share of its peak: median and spread of a log-normal
 * guess. Regulations cap it at 350 to 625 cd, and ask for 65 to 125 cd further up for overhead signs, with peaks of 25 to
 * 40 kcd (UN R112 zone III, B50L, points 7 and 8, from memory).
 */
const STRAY = { median: 0.006, spread: Math.log(2.2) } as const;
/** How much of that is left at the darkest place in view, which lies further up and out: median and spread. */
const FADED = { median: 0.8, spread: Math.log(1.5) } as const;

/**
 * How much of the light on the board is not the lamp's. Stray light fades away from the beam, room light does not: two
 * places, 2 deg above the edge and the darkest one, tell them apart as far as the fading is known.
 *
 * @param spot the hot spot: where the beam is, and its smoothed peak in the grid's units.
 * @param smear half height over which near field smears the edge, tangent units.
 * @returns mean and standard deviation over all fadings, weighed by how likely they and the stray light are.
 */
export function estimateAddedLight(
  grid: LightGrid,
  spot: { readonly u: number; readonly peak: number },
  smear: number,
): AddedLight {
  const darkest = darkestPlace(grid);
  if (!(darkest > 0) || !(spot.peak > 0)) return { value: 0, u: 0 };
  const above = aboveEdge(grid, spot.u, smear);
  let weight = 0;
  let mean = 0;
  let square = 0;
  const weigh = (stray: number, faded: number, p: number): void => {
    const added = darkest - faded * stray;
    if (!(added >= 0) || !(p > 0)) return;
    weight += p;
    mean += p * added;
    square += p * added * added;
  };
  for (let f = 0.1; f < 0.96; f += 0.02) {
    const pFaded = likely(f, FADED);
    if (above === null) {
      for (let k = 0; k < 60; k++) {
        const stray = (((k + 0.5) / 60) * darkest) / f;
        weigh(stray, f, pFaded * likely(stray / spot.peak, STRAY));
      }
    } else {
      // Both places measured: each fading leaves one stray light. Noise and bloom blur it by some 15 %.
      const stray = Math.max(0.02 * darkest, (above - darkest) / (1 - f));
      weigh(stray, f, pFaded * likely(stray / spot.peak, STRAY));
    }
  }
  if (!(weight > 0)) return { value: 0, u: 0.3 * darkest };
  const value = mean / weight;
  const spread = Math.sqrt(Math.max(0, square / weight - value * value));
  return { value, u: Math.hypot(spread, 0.07 * darkest) };
}

/** The grid with that much light taken away everywhere. */
export function withoutAdded(grid: LightGrid, added: AddedLight): LightGrid {
  if (added.value === 0) return grid;
  const light = new Float32Array(grid.light.length);
  for (let i = 0; i < light.length; i++) light[i] = grid.light[i]! - added.value;
  return { ...grid, light };
}

/** Density of a log-normal guess, its scale left out. */
function likely(x: number, guess: { readonly median: number; readonly spread: number }): number {
  if (!(x > 0)) return 0;
  const z = Math.log(x / guess.median) / guess.spread;
  return Math.exp((-z * z) / 2) / x;
}

/** Median light 1.6 to 2.6 deg above the edge, over 6 deg about the hot spot; null when the board ends before. */
function aboveEdge(grid: LightGrid, spotU: number, smear: number): number | null {
  const from = Math.round((tanFromDeg(1.6) + smear) / grid.dv);
  const to = Math.round((tanFromDeg(2.6) + smear) / grid.dv);
  const values: number[] = [];
  for (let c = 0; c < grid.columns; c++) {
    if (Math.abs(grid.u0 + c * grid.du - spotU) > tanFromDeg(3)) continue;
    let brightest = 0;
    for (let r = 0; r < grid.rows; r++)
      brightest = Math.max(brightest, grid.light[r * grid.columns + c]! || 0);
    let edge = grid.rows - 1;
    // The topmost place where three rows together pass an eighth of the column's brightest.
    for (; edge > 1; edge--) {
      const k = edge * grid.columns + c;
      const three = grid.light[k]! + grid.light[k - grid.columns]! + grid.light[k - 2 * grid.columns]!;
      if (three > 0.375 * brightest) break;
    }
    for (let r = edge + from; r <= edge + to && r < grid.rows; r++) {
      const e = grid.light[r * grid.columns + c]!;
      if (Number.isFinite(e)) values.push(e);
    }
  }
  if (values.length < 200) return null;
  values.sort((a, b) => a - b);
  return values[values.length >> 1]!;
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
