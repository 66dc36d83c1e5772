import type { Raster } from '../../core/raster.ts';

/** Rows looked at. */
const ROWS = 48;

/**
 * How much steeper the picture steps at the borders of 8 x 8 blocks than inside them: about 1 for a photo as cameras save
 * it, 2 and more when JPEG has thrown away what makes light smooth.
 */
export function blockiness(raster: Raster): number {
  const { width, height, channels, data } = raster;
  let borders = 0;
  let insides = 0;
  let n = 0;
  for (let k = 0; k < ROWS; k++) {
    const row = Math.floor(((k + 0.5) * height) / ROWS) * width;
    const level = (x: number) => data[(row + x) * channels + 1]!;
    for (let x = 16; x + 8 < width; x += 8) {
      const border = Math.abs(level(x) - level(x - 1));
      // A contour of something that stands there counts for neither.
      if (border > 0.06 * raster.maxLevel) continue;
      borders += border;
      insides += (Math.abs(level(x - 4) - level(x - 5)) + Math.abs(level(x + 4) - level(x + 3))) / 2;
      n++;
    }
  }
  return n === 0 ? 1 : (borders + 0.02 * n) / (insides + 0.02 * n);
}

/** Rows at the picture's upper and lower end that have one colour from side to side, as shares of its height. */
export function plainBars(raster: Raster): { readonly top: number; readonly bottom: number } {
  const { width, height, channels, data } = raster;
  const isPlain = (y: number): boolean => {
    for (let c = 0; c < 3; c++) {
      let low = raster.maxLevel as number;
      let high = 0;
      for (let k = 0; k < 96; k++) {
        const level = data[(y * width + Math.floor(((k + 0.5) * width) / 96)) * channels + c]!;
        low = Math.min(low, level);
        high = Math.max(high, level);
      }
      if (high - low > 0.004 * raster.maxLevel) return false;
    }
    return true;
  };
  let top = 0;
  while (top < height / 4 && isPlain(top)) top++;
  let bottom = 0;
  while (bottom < height / 4 && isPlain(height - 1 - bottom)) bottom++;
  return { top: top / height, bottom: bottom / height };
}
