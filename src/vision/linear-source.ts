import type { Raster } from '../core/raster.ts';
import { type LevelPlane, UNITS_PER_LEVEL } from './level-plane.ts';

/** A picture to measure marks in: linear light at whole pixels, and whether the pixel is burnt out there. */
export interface LinearSource {
  readonly width: number;
  readonly height: number;
  /** Relative linear light, 1 = full scale; x and y whole numbers inside the picture. */
  readonly linear: (x: number, y: number) => number;
  readonly clipped: (x: number, y: number) => boolean;
}

/** sRGB decoding (IEC 61966-2-1): coded 0..1 to linear light 0..1. */
function linearFromCoded(c: number): number {
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

/** sRGB coding: linear light 0..1 to a level of 0..255. */
export function levelFromLinear(linear: number): number {
  const v = Math.min(Math.max(linear, 0), 1);
  return 255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
}

/** Linear light of a level of 0..255. */
export function linearFromLevel(level: number): number {
  return linearFromCoded(level / 255);
}

const tables = new Map<number, Float64Array>();

function table(maxLevel: number): Float64Array {
  const known = tables.get(maxLevel);
  if (known) return known;
  const made = Float64Array.from({ length: maxLevel + 1 }, (_, i) => linearFromCoded(i / maxLevel));
  tables.set(maxLevel, made);
  return made;
}

/** The photo itself, BT.709 luminance; burnt out when any colour is within 1 % of full scale. */
export function photoSource(raster: Raster): LinearSource {
  const { width, height, channels, data, maxLevel } = raster;
  const linear = table(maxLevel);
  const full = Math.floor(0.99 * maxLevel);
  return {
    width,
    height,
    linear: (x, y) => {
      const i = (y * width + x) * channels;
      return 0.2126 * linear[data[i]!]! + 0.7152 * linear[data[i + 1]!]! + 0.0722 * linear[data[i + 2]!]!;
    },
    clipped: (x, y) => {
      const i = (y * width + x) * channels;
      return data[i]! >= full || data[i + 1]! >= full || data[i + 2]! >= full;
    },
  };
}

/** A smaller copy, for a rough place only: it is a mean of coded levels. */
export function planeSource(plane: LevelPlane): LinearSource {
  const { width, height, data } = plane;
  const linear = table(255 * UNITS_PER_LEVEL);
  const full = Math.floor(0.97 * 255 * UNITS_PER_LEVEL);
  return {
    width,
    height,
    linear: (x, y) => linear[data[y * width + x]!]!,
    clipped: (x, y) => data[y * width + x]! >= full,
  };
}

/** Linear light between pixels, by the four around; NaN outside the picture. */
export function bilinear(source: LinearSource): (x: number, y: number) => number {
  return (x, y) => {
    const i = Math.floor(x);
    const j = Math.floor(y);
    if (!(i >= 0 && j >= 0 && i < source.width - 1 && j < source.height - 1)) return Number.NaN;
    const fx = x - i;
    const fy = y - j;
    const upper = (1 - fx) * source.linear(i, j) + fx * source.linear(i + 1, j);
    const lower = (1 - fx) * source.linear(i, j + 1) + fx * source.linear(i + 1, j + 1);
    return (1 - fy) * upper + fy * lower;
  };
}
