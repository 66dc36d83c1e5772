import { InputError } from '../errors.ts';

/**
 * sRGB-coded value to linear light, both 0 to 1.
 * @see IEC 61966-2-1; W3C relative luminance (threshold 0.04045).
 */
export function linearFromSrgb(coded: number): number {
  return coded <= 0.04045 ? coded / 12.92 : ((coded + 0.055) / 1.055) ** 2.4;
}

/** Linear light to sRGB-coded value, both 0 to 1: the inverse of linearFromSrgb. */
export function srgbFromLinear(light: number): number {
  return light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
}

/** BT.709 weights of linear red, green and blue in luminance. */
export const LUMINANCE_WEIGHTS = { red: 0.2126, green: 0.7152, blue: 0.0722 } as const;

/** Luminance of linear red, green, blue (BT.709). */
export function luminanceOf(red: number, green: number, blue: number): number {
  return LUMINANCE_WEIGHTS.red * red + LUMINANCE_WEIGHTS.green * green + LUMINANCE_WEIGHTS.blue * blue;
}

const tables = new Map<number, Float32Array>();

/**
 * Linear light for every level of a raster, made once.
 * @param maxLevel 255 or 65535.
 * @returns maxLevel + 1 values, 0 to 1.
 */
export function linearTable(maxLevel: number): Float32Array {
  if (maxLevel !== 255 && maxLevel !== 65535) throw new InputError('maxLevel', '255 or 65535', maxLevel);
  const known = tables.get(maxLevel);
  if (known) return known;
  const table = new Float32Array(maxLevel + 1);
  for (let i = 0; i <= maxLevel; i++) table[i] = linearFromSrgb(i / maxLevel);
  tables.set(maxLevel, table);
  return table;
}
