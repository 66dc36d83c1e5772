import type { Raster } from '../core/raster.ts';

/**
 * A smaller grey copy of a photo, in coded levels times 64 (so that averaging keeps fractions of a level).
 * Its pixel (i, j) covers the photo's pixels from i·step to (i + 1)·step - 1: centre at photo x = (i + 0.5)·step - 0.5.
 */
export interface LevelPlane {
  readonly width: number;
  readonly height: number;
  /** Photo pixels per plane pixel: 2, 4, 8, ... */
  readonly step: number;
  readonly data: Uint16Array;
}

/** Units of a plane per level of an 8-bit photo. */
export const UNITS_PER_LEVEL = 64;

/**
 * The photo at half size: mean of 2 x 2 pixels of the coded levels, red and green only (blue is 7 % of luminance and a
 * quarter of the time). Good for finding, not for measuring.
 */
export function halfSize(raster: Raster): LevelPlane {
  const width = raster.width >> 1;
  const height = raster.height >> 1;
  const { data: src, channels } = raster;
  const data = new Uint16Array(width * height);
  const line = raster.width * channels;
  const step = 2 * channels;
  // Weights in 256ths; 16-bit levels are brought to the same scale (65535 / 257 = 255).
  const shrink = raster.maxLevel === 255 ? 1 / 16 : 1 / 16 / 257;
  const red = 54 * shrink;
  const green = 202 * shrink;
  for (let j = 0; j < height; j++) {
    let a = 2 * j * line;
    let c = a + line;
    const end = (j + 1) * width;
    for (let out = j * width; out < end; out++) {
      data[out] =
        red * (src[a]! + src[a + channels]! + src[c]! + src[c + channels]!) +
        green * (src[a + 1]! + src[a + channels + 1]! + src[c + 1]! + src[c + channels + 1]!);
      a += step;
      c += step;
    }
  }
  return { width, height, step: 2, data };
}

/** The plane at half its size. */
export function halveAgain(plane: LevelPlane): LevelPlane {
  const width = plane.width >> 1;
  const height = plane.height >> 1;
  const src = plane.data;
  const data = new Uint16Array(width * height);
  for (let j = 0; j < height; j++) {
    let a = 2 * j * plane.width;
    for (let i = 0; i < width; i++, a += 2) {
      data[j * width + i] =
        (src[a]! + src[a + 1]! + src[a + plane.width]! + src[a + plane.width + 1]! + 2) >> 2;
    }
  }
  return { width, height, step: plane.step * 2, data };
}
