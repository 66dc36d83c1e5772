import type { PhotoPoint } from '../core/frames.ts';
import { type LinearSource, levelFromLinear, linearFromLevel } from './linear-source.ts';

/** A square cut-out of a photo around a tap, light divided by its own mean. */
export interface Patch {
  /** Photo px of the patch's pixel (0, 0). */
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
  readonly height: number;
  readonly data: Float64Array;
  /** Standard deviation of the noise, same unit. */
  readonly noise: number;
}

/** A straight band, lighter or darker than both its sides: normal (cos, sin), at `offset` from the patch's tap. */
export interface Band {
  /** Direction of the normal, rad, 0 to pi. */
  readonly angle: number;
  /** Distance of the band's middle line from the tap along the normal, px. */
  readonly offset: number;
  readonly width: number;
  /** Band less surroundings, as a part of the mean light: + lighter, - darker. */
  readonly contrast: number;
  /** Contrast over its standard uncertainty. */
  readonly clarity: number;
}

/** Cuts out what lies within `reach` px of a tap; null when less than half of that is in the picture. */
export function cutPatch(source: LinearSource, tap: PhotoPoint, reach: number): Patch | null {
  const x0 = Math.max(0, Math.round(tap.x) - reach);
  const y0 = Math.max(0, Math.round(tap.y) - reach);
  const x1 = Math.min(source.width - 1, Math.round(tap.x) + reach);
  const y1 = Math.min(source.height - 1, Math.round(tap.y) + reach);
  const width = x1 - x0 + 1;
  const height = y1 - y0 + 1;
  if (width < reach || height < reach) return null;
  const data = new Float64Array(width * height);
  let sum = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const v = source.linear(x0 + x, y0 + y);
      data[y * width + x] = v;
      sum += v;
    }
  }
  const mean = sum / data.length;
  if (!(mean > 0)) return null;
  for (let i = 0; i < data.length; i++) data[i]! /= mean;
  // In the dark a photo's steps are coarser than its noise: a third of a level is always unknown.
  const step = linearFromLevel(levelFromLinear(mean) + 1) / mean - 1;
  const noise = Math.hypot(noiseOf(data, width, height), 0.29 * step);
  return { x0, y0, width, height, data, noise };
}

/** Noise from second differences over two pixels, by their median. */
function noiseOf(data: Float64Array, width: number, height: number): number {
  const d: number[] = [];
  for (let y = 0; y < height; y += 2) {
    for (let x = 2; x < width - 2; x += 3) {
      const i = y * width + x;
      d.push(Math.abs(2 * data[i]! - data[i - 2]! - data[i + 2]!));
    }
  }
  d.sort((a, b) => a - b);
  return Math.max((d[d.length >> 1] ?? 0) / 0.6745 / Math.sqrt(6), 1e-4);
}

const ANGLES = 60;
const WIDTHS = [1.5, 2.5, 4, 6, 9, 13, 18, 25, 34] as const;

/**
 * Bands in a disc around the tap, the clearest first: the disc is summed along 60 directions, and each profile is
 * searched for a stretch that differs from both its neighbours in the same sense.
 * @param radius of the disc, px.
 */
export function findBands(patch: Patch, tap: PhotoPoint, radius: number): readonly Band[] {
  const tx = tap.x - patch.x0;
  const ty = tap.y - patch.y0;
  const span = 2 * Math.ceil(radius) + 3;
  const origin = Math.ceil(radius) + 1;
  const found: Band[] = [];
  for (let k = 0; k < ANGLES; k++) {
    const angle = (k * Math.PI) / ANGLES;
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const sums = new Float64Array(span + 1);
    const counts = new Float64Array(span + 1);
    eachInDisc(patch, tx, ty, radius, (x, y, v) => {
      const p = (x - tx) * c + (y - ty) * s + origin;
      const i = Math.floor(p);
      const f = p - i;
      sums[i]! += v * (1 - f);
      counts[i]! += 1 - f;
      sums[i + 1]! += v * f;
      counts[i + 1]! += f;
    });
    const best = bestStretch(running(sums), running(counts), span, patch.noise);
    if (best !== null) {
      found.push({
        angle,
        offset: best.middle - origin,
        width: best.width,
        contrast: best.contrast,
        clarity: best.clarity,
      });
    }
  }
  // Only angles that beat their neighbours: one band shows at several.
  return found
    .filter((b, i) => {
      const before = found[(i + found.length - 1) % found.length]!;
      const after = found[(i + 1) % found.length]!;
      return b.clarity >= before.clarity && b.clarity >= after.clarity;
    })
    .sort((a, b) => b.clarity - a.clarity);
}

/** Calls for every pixel of the patch within `radius` of (tx, ty), patch coordinates. */
export function eachInDisc(
  patch: Patch,
  tx: number,
  ty: number,
  radius: number,
  visit: (x: number, y: number, value: number) => void,
): void {
  const y0 = Math.max(0, Math.ceil(ty - radius));
  const y1 = Math.min(patch.height - 1, Math.floor(ty + radius));
  for (let y = y0; y <= y1; y++) {
    const half = Math.sqrt(Math.max(0, radius * radius - (y - ty) ** 2));
    const x0 = Math.max(0, Math.ceil(tx - half));
    const x1 = Math.min(patch.width - 1, Math.floor(tx + half));
    for (let x = x0; x <= x1; x++) visit(x, y, patch.data[y * patch.width + x]!);
  }
}

function running(values: Float64Array): Float64Array {
  const out = new Float64Array(values.length + 1);
  for (let i = 0; i < values.length; i++) out[i + 1] = out[i]! + values[i]!;
  return out;
}

/** The clearest stretch of a profile against both its sides. */
function bestStretch(
  sums: Float64Array,
  counts: Float64Array,
  span: number,
  noise: number,
): { middle: number; width: number; contrast: number; clarity: number } | null {
  const between = (table: Float64Array, a: number, b: number): number => at(table, b) - at(table, a);
  let best: { middle: number; width: number; contrast: number; clarity: number } | null = null;
  for (const width of WIDTHS) {
    const side = Math.max(3, width / 2);
    const gap = 1;
    for (let middle = side + width / 2 + gap; middle < span - side - width / 2 - gap; middle += 0.5) {
      const a = middle - width / 2 + 0.5;
      const b = middle + width / 2 + 0.5;
      const n = between(counts, a, b);
      const nl = between(counts, a - gap - side, a - gap);
      const nr = between(counts, b + gap, b + gap + side);
      if (n < 10 || nl < 10 || nr < 10) continue;
      const mean = between(sums, a, b) / n;
      const left = mean - between(sums, a - gap - side, a - gap) / nl;
      const right = mean - between(sums, b + gap, b + gap + side) / nr;
      if (left * right <= 0) continue;
      const contrast = Math.abs(left) < Math.abs(right) ? left : right;
      const u = noise * Math.sqrt(1 / n + 1 / Math.min(nl, nr));
      const clarity = Math.abs(contrast) / u;
      if (best === null || clarity > best.clarity) best = { middle, width, contrast, clarity };
    }
  }
  return best;
}

function at(table: Float64Array, p: number): number {
  const i = Math.floor(p);
  if (i < 0) return 0;
  if (i >= table.length - 1) return table[table.length - 1]!;
  return table[i]! + (p - i) * (table[i + 1]! - table[i]!);
}
