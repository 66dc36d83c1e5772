import type { Light } from './board-illuminance.ts';
import type { Lamp } from './lamp.ts';

const DEG = Math.PI / 180;

/** Centre of the hot spot, per cent from the reference centre: offset + right, drop + down. */
export interface HotSpotTruth {
  readonly offsetPct: number;
  readonly dropPct: number;
}

/** Centroid above 80 % of the peak: on a grid of 0.15 deg, smoothed by boxes of three by three. */
export function hotSpotOf(lamp: Lamp, light: Light): HotSpotTruth {
  const u0 = lamp.aim.offsetPct / 100;
  const v0 = -lamp.aim.dropPct / 100;
  const coarse = peakNear(light, u0, v0, 6 * DEG, 0.5 * DEG);
  const step = 0.15 * DEG;
  const half = 24;
  const n = 2 * half + 1;
  const raw = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      raw[j * n + i] = light(coarse.u + (i - half) * step, coarse.v + (j - half) * step);
    }
  }
  const smooth = new Float64Array(n * n);
  for (let j = 1; j < n - 1; j++) {
    for (let i = 1; i < n - 1; i++) {
      let sum = 0;
      for (let b = -1; b <= 1; b++) for (let a = -1; a <= 1; a++) sum += raw[(j + b) * n + i + a]!;
      smooth[j * n + i] = sum / 9;
    }
  }
  const least = 0.8 * smooth.reduce((most, value) => Math.max(most, value), 0);
  let weight = 0;
  let sumU = 0;
  let sumV = 0;
  smooth.forEach((value, k) => {
    if (value < least) return;
    weight += value;
    sumU += value * ((k % n) - half);
    sumV += value * (Math.floor(k / n) - half);
  });
  return {
    offsetPct: 100 * (coarse.u + (step * sumU) / weight),
    dropPct: -100 * (coarse.v + (step * sumV) / weight),
  };
}

function peakNear(
  light: Light,
  u0: number,
  v0: number,
  reach: number,
  step: number,
): { u: number; v: number } {
  let best = { u: u0, v: v0 };
  let most = 0;
  for (let u = u0 - reach; u <= u0 + reach; u += step) {
    for (let v = v0 - reach / 1.5; v <= v0 + reach / 3; v += step) {
      const value = light(u, v);
      if (value > most) {
        most = value;
        best = { u, v };
      }
    }
  }
  return best;
}
