import type { LensSpec } from './scene.ts';

/** Stray light of the lens at every 16th pixel, bent straight between: what to add to the sharp picture. */
export interface Glare {
  readonly block: number;
  readonly columns: number;
  readonly rows: number;
  readonly light: Float32Array;
  /** The plain means of the blocks (before glare), and what share of the light stays in the sharp picture. */
  readonly means: Float32Array;
  readonly kept: number;
}

/** Blur by lens, focus and movement, in place. Linear light. */
export function blurPlane(plane: Float32Array, width: number, height: number, lens: LensSpec): void {
  if (lens.motionPx > 0.05) moveBlur(plane, width, height, lens.motionPx, lens.motionDeg);
  if (lens.blurPx > 0.05) gaussianBlur(plane, width, height, lens.blurPx);
}

function kernelOf(sigma: number): Float64Array {
  const reach = Math.max(1, Math.ceil(3.2 * sigma));
  // Each tap is the mean of the Gaussian over its pixel, so that small sigmas keep their variance.
  const taps = Float64Array.from({ length: 2 * reach + 1 }, (_, i) => {
    let sum = 0;
    for (let k = 0; k < 8; k++) sum += Math.exp(-0.5 * ((i - reach + (k + 0.5) / 8 - 0.5) / sigma) ** 2);
    return sum;
  });
  const total = taps.reduce((a, b) => a + b, 0);
  return taps.map((tap) => tap / total);
}

/** Separable Gaussian; the border pixel is repeated outside. */
export function gaussianBlur(plane: Float32Array, width: number, height: number, sigma: number): void {
  const taps = kernelOf(sigma);
  const reach = (taps.length - 1) / 2;
  const line = new Float32Array(width + 2 * reach);
  for (let y = 0; y < height; y++) {
    const at = y * width;
    line.fill(plane[at]!, 0, reach);
    line.set(plane.subarray(at, at + width), reach);
    line.fill(plane[at + width - 1]!, width + reach);
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let k = 0; k < taps.length; k++) sum += taps[k]! * line[x + k]!;
      plane[at + x] = sum;
    }
  }
  // Down the columns row by row, with a ring of the rows not yet overwritten.
  const ring = Array.from({ length: taps.length }, () => new Float32Array(width));
  const rowAt = (y: number): Float32Array => ring[((y % taps.length) + taps.length) % taps.length]!;
  const load = (y: number): void => {
    const from = Math.max(0, Math.min(height - 1, y)) * width;
    rowAt(y).set(plane.subarray(from, from + width));
  };
  for (let y = -reach; y < reach; y++) load(y);
  const last = plane.slice((height - 1) * width);
  for (let y = 0; y < height; y++) {
    if (y + reach < height) load(y + reach);
    else rowAt(y + reach).set(last);
    const out = plane.subarray(y * width, (y + 1) * width);
    out.fill(0);
    for (let k = 0; k < taps.length; k++) {
      const tap = taps[k]!;
      const row = rowAt(y - reach + k);
      for (let x = 0; x < width; x++) out[x]! += tap * row[x]!;
    }
  }
}

function moveBlur(plane: Float32Array, width: number, height: number, length: number, deg: number): void {
  const source = plane.slice();
  const n = Math.max(3, Math.ceil(2 * length) | 1);
  const steps = Array.from({ length: n }, (_, i) => {
    const t = ((i + 0.5) / n - 0.5) * length;
    const dx = t * Math.cos((deg * Math.PI) / 180);
    const dy = t * Math.sin((deg * Math.PI) / 180);
    const [i0, j0] = [Math.floor(dx), Math.floor(dy)];
    return { i: i0, j: j0, s: dx - i0, t: dy - j0 };
  });
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (const one of steps) {
        const x0 = Math.max(0, Math.min(width - 2, x + one.i));
        const y0 = Math.max(0, Math.min(height - 2, y + one.j));
        const a = y0 * width + x0;
        const b = a + width;
        sum +=
          (1 - one.t) * ((1 - one.s) * source[a]! + one.s * source[a + 1]!) +
          one.t * ((1 - one.s) * source[b]! + one.s * source[b + 1]!);
      }
      plane[y * width + x] = sum / n;
    }
  }
}

/** Veiling glare (even over the picture) and bloom (near its source: a twentieth and a fifth of the half width). */
export function glareOf(plane: Float32Array, width: number, height: number, lens: LensSpec): Glare {
  const block = 16;
  const columns = Math.ceil(width / block);
  const rows = Math.ceil(height / block);
  const means = new Float32Array(columns * rows);
  let total = 0;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const x1 = Math.min(width, (i + 1) * block);
      const y1 = Math.min(height, (j + 1) * block);
      let sum = 0;
      for (let y = j * block; y < y1; y++) for (let x = i * block; x < x1; x++) sum += plane[y * width + x]!;
      total += sum;
      means[j * columns + i] = sum / ((x1 - i * block) * (y1 - j * block));
    }
  }
  const tight = means.slice();
  const wide = means.slice();
  gaussianBlur(tight, columns, rows, columns / 40);
  gaussianBlur(wide, columns, rows, columns / 10);
  const veil = (lens.veil * total) / (width * height);
  const light = means.map((_, k) => veil + lens.bloom * (0.6 * tight[k]! + 0.4 * wide[k]!));
  return { block, columns, rows, light, means, kept: 1 - lens.veil - lens.bloom };
}
