import type { Raster } from '../../core/raster.ts';

/** Rows looked at. */
const ROWS = 48;

/** Blocks as smooth as if painted, and steps of nearly a level between them: JPEG has thrown the light's slopes away. */
const FLAT_SHARE = 0.4;
const BORDER_STEP = 0.8 / 255;
/** Black and burnt-out places are flat in any photo. */
const LIT = [0.05, 0.98] as const;

/**
 * Whether JPEG has turned the light into plain 8 x 8 blocks with steps between them. Photos as cameras save them have
 * less than one flat run of five pixels in seven; at quality 10 most are flat.
 */
export function isSqueezed(raster: Raster): boolean {
  const { width, height, channels, data, maxLevel } = raster;
  let steps = 0;
  let flat = 0;
  let n = 0;
  for (let k = 0; k < ROWS; k++) {
    const row = Math.floor(((k + 0.5) * height) / ROWS) * width;
    const level = (x: number) => data[(row + x) * channels + 1]! / maxLevel;
    for (let x = 16; x + 8 < width; x += 8) {
      const here = level(x);
      const border = Math.abs(here - level(x - 1));
      // A contour of something that stands there counts for neither.
      if (border > 0.06 || here < LIT[0] || here > LIT[1]) continue;
      const inside = Math.abs(level(x - 4) - level(x - 5)) + Math.abs(level(x + 4) - level(x + 3));
      steps += border - inside / 2;
      if (
        level(x + 1) === level(x + 2) &&
        level(x + 2) === level(x + 3) &&
        level(x + 3) === level(x + 4) &&
        level(x + 4) === level(x + 5)
      )
        flat++;
      n++;
    }
  }
  return n > 200 && flat > FLAT_SHARE * n && steps > BORDER_STEP * n;
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
