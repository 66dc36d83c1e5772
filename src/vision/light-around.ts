import { linearTable } from '../core/photometry/transfer-curve.ts';
import type { Raster } from '../core/raster.ts';

/**
 * Mean green light, linear by plain sRGB, of the whole photo, and about a place: wide (standard deviation an eighth of
 * the photo's width) and near (a thirtieth). Lenses spill shares of these onto dark print.
 */
export type LightAround = (x: number, y: number) => readonly [whole: number, wide: number, near: number];

/** Blocks across the photo. */
const BLOCKS = 48;

/** Reads the surroundings' light once for a photo. */
export function lightAround(raster: Raster): LightAround {
  const block = Math.max(1, raster.width / BLOCKS);
  const columns = Math.max(2, Math.ceil(raster.width / block));
  const rows = Math.max(2, Math.ceil(raster.height / block));
  const means = blockMeans(raster, block, columns, rows);
  const whole = means.reduce((s, m) => s + m, 0) / means.length;
  const near = smoothed(means, columns, rows, BLOCKS / 30);
  const wide = smoothed(means, columns, rows, BLOCKS / 8);
  const at = (field: Float64Array, x: number, y: number): number => {
    // Between the middles of blocks; outside the photo as at its border.
    const gx = Math.min(columns - 1, Math.max(0, (x + 0.5) / block - 0.5));
    const gy = Math.min(rows - 1, Math.max(0, (y + 0.5) / block - 0.5));
    const i = Math.min(columns - 2, Math.floor(gx));
    const j = Math.min(rows - 2, Math.floor(gy));
    const [s, t] = [gx - i, gy - j];
    const k = j * columns + i;
    return (
      (1 - t) * ((1 - s) * field[k]! + s * field[k + 1]!) +
      t * ((1 - s) * field[k + columns]! + s * field[k + columns + 1]!)
    );
  };
  return (x, y) => [whole, at(wide, x, y), at(near, x, y)];
}

/** Means over blocks from some 16 pixels each: light in a photo is smooth on that scale but for print. */
function blockMeans(raster: Raster, block: number, columns: number, rows: number): Float64Array {
  const { width, height, channels, data } = raster;
  const table = linearTable(raster.maxLevel);
  const means = new Float64Array(columns * rows);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      let sum = 0;
      for (let b = 0; b < 4; b++) {
        const y = Math.min(height - 1, Math.floor((j + (b + 0.5) / 4) * block));
        for (let a = 0; a < 4; a++) {
          const x = Math.min(width - 1, Math.floor((i + (a + 0.5) / 4) * block));
          sum += table[data[(y * width + x) * channels + 1]!]!;
        }
      }
      means[j * columns + i] = sum / 16;
    }
  }
  return means;
}

/** Gaussian mean, separable; outside the photo it is as dark as at its border. */
function smoothed(means: Float64Array, columns: number, rows: number, sigma: number): Float64Array {
  const reach = Math.ceil(2.5 * sigma);
  const taps = Array.from({ length: 2 * reach + 1 }, (_, k) => Math.exp(-0.5 * ((k - reach) / sigma) ** 2));
  const total = taps.reduce((a, b) => a + b, 0);
  /** Along lines of n values `step` apart, that start `next` apart. */
  const pass = (from: Float64Array, lines: number, next: number, n: number, step: number): Float64Array => {
    const out = new Float64Array(from.length);
    for (let line = 0; line < lines; line++) {
      const first = line * next;
      for (let k = 0; k < n; k++) {
        let sum = 0;
        for (let t = -reach; t <= reach; t++)
          sum += taps[t + reach]! * from[first + step * Math.min(n - 1, Math.max(0, k + t))]!;
        out[first + step * k] = sum / total;
      }
    }
    return out;
  };
  return pass(pass(means, rows, columns, columns, 1), columns, 1, rows, columns);
}
