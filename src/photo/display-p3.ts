/**
 * Linear Display P3 to linear sRGB: both have the D65 white and the sRGB curve, so one matrix joins them.
 * @see computed from the primaries (0.680, 0.320) (0.265, 0.690) (0.150, 0.060) and BT.709's in
 *   test/photo/display-p3.test.ts with a linear-algebra library.
 */
export const P3_TO_SRGB = [
  1.2249401763, -0.2249401763, 0, -0.0420569547, 1.0420569547, 0, -0.0196375546, -0.0786360456, 1.0982736001,
] as const;

/**
 * Turns Display-P3 levels into sRGB levels in place; colours outside sRGB are cut off at 0 and at maxLevel, as the
 * platform's and sharp's conversions do.
 *
 * @param data 3 interleaved channels, sRGB-coded levels from 0 to `maxLevel`.
 */
export function displayP3ToSrgb(data: Uint8Array | Uint16Array, maxLevel: 255 | 65535): void {
  const linear = new Float64Array(maxLevel + 1);
  for (let i = 0; i <= maxLevel; i++) linear[i] = decode(i / maxLevel);
  // Steps of 1/65535 of linear light are at most 0.05 level of 8 bits; 16 bits are encoded one by one.
  const coarse = maxLevel === 255 ? new Uint8Array(65536) : null;
  if (coarse) for (let i = 0; i < 65536; i++) coarse[i] = Math.round(255 * encode(i / 65535));
  const [a, b, , d, e, , g, h, k] = P3_TO_SRGB;
  const put = (v: number): number => {
    const c = Math.min(Math.max(v, 0), 1);
    return coarse ? coarse[Math.round(c * 65535)]! : Math.round(maxLevel * encode(c));
  };
  for (let i = 0; i + 2 < data.length; i += 3) {
    const R = linear[data[i]!]!;
    const G = linear[data[i + 1]!]!;
    const B = linear[data[i + 2]!]!;
    data[i] = put(a * R + b * G);
    data[i + 1] = put(d * R + e * G);
    data[i + 2] = put(g * R + h * G + k * B);
  }
}

/** IEC 61966-2-1: standards.md IMG-1. */
function decode(c: number): number {
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

/** IEC 61966-2-1: standards.md IMG-2. */
function encode(l: number): number {
  return l <= 0.0031308 ? 12.92 * l : 1.055 * l ** (1 / 2.4) - 0.055;
}
