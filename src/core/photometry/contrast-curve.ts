import { linearFromSrgb } from './transfer-curve.ts';

/**
 * A camera's contrast on top of sRGB, by one number: black, middle and white stay, and the middle is steeper by
 * `strength`: coded' = y + 2·strength·y(1 - y)(2y - 1). Real curves differ in detail; one number takes most of what
 * an S does to ratios of light.
 *
 * @param y coded value of plain sRGB, 0 to 1. @param strength above -1 and at most 1 (there the ends lie flat at 0.5).
 */
export function addContrast(y: number, strength: number): number {
  return y + 2 * strength * y * (1 - y) * (2 * y - 1);
}

/** The plain sRGB value behind a coded one: the inverse of addContrast, which rises over 0 to 1 for |strength| <= 0.5. */
export function removeContrast(coded: number, strength: number): number {
  if (strength === 0) return coded;
  let low = 0;
  let high = 1;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (addContrast(middle, strength) < coded) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Linear light for every level of a raster whose camera added contrast.
 * @param maxLevel 255 or 65535.
 */
export function contrastTable(maxLevel: number, strength: number): Float32Array {
  // 16-bit levels between 256 knots are interpolated: the curve is smooth, and 65536 searches would cost more than the reading.
  const knots = Float64Array.from({ length: 257 }, (_, k) => removeContrast(k / 256, strength));
  const table = new Float32Array(maxLevel + 1);
  for (let i = 0; i <= maxLevel; i++) {
    const at = (256 * i) / maxLevel;
    const k = Math.min(255, Math.floor(at));
    const f = at - k;
    table[i] = linearFromSrgb(knots[k]! * (1 - f) + knots[k + 1]! * f);
  }
  return table;
}
