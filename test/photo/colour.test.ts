import { Matrix, solve } from 'ml-matrix';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { displayP3ToSrgb, P3_TO_SRGB } from '../../src/photo/display-p3.ts';
import { colourSpaceOfIcc } from '../../src/photo/icc.ts';

const P3 = [
  [0.68, 0.32],
  [0.265, 0.69],
  [0.15, 0.06],
] as const;
const BT709 = [
  [0.64, 0.33],
  [0.3, 0.6],
  [0.15, 0.06],
] as const;
const D65 = [0.3127, 0.329] as const;

/** RGB to XYZ from chromaticities: columns scaled so that (1, 1, 1) is the white (SMPTE RP 177). */
function toXyz(primaries: readonly (readonly [number, number])[]): Matrix {
  const column = ([x, y]: readonly [number, number]) => [x / y, 1, (1 - x - y) / y];
  const P = new Matrix(primaries.map(column)).transpose();
  const scale = solve(P, Matrix.columnVector(column(D65)));
  return P.mul(new Matrix([scale.to1DArray(), scale.to1DArray(), scale.to1DArray()]));
}

describe('Display P3 to sRGB', () => {
  test('the matrix is the one that follows from the primaries, to 1e-9', () => {
    const expected = solve(toXyz(BT709), toXyz(P3)).to1DArray();
    expect(expected).toHaveLength(9);
    for (const [i, e] of expected.entries()) expect(Math.abs(P3_TO_SRGB[i]! - e)).toBeLessThan(1e-9);
  });

  test('over a grid of 512 colours it agrees with a colour-management library within 1 level', async () => {
    const codes = Uint8Array.from({ length: 512 * 3 }, (_, i) => {
      const n = Math.floor(i / 3);
      return [(n >> 6) & 7, (n >> 3) & 7, n & 7][i % 3]! * 36;
    });
    const srgb = sharp(codes, { raw: { width: 32, height: 16, channels: 3 } });
    const p3Codes = await sharp(await srgb.withIccProfile('p3').png().toBuffer(), { ignoreIcc: true })
      .raw()
      .toBuffer();
    const ours = new Uint8Array(p3Codes);
    displayP3ToSrgb(ours, 255);
    // Rounding the P3 codes loses up to half a level, which the matrix and dark end of the curve can double or so.
    const off = ours.map((v, i) => Math.abs(v - codes[i]!));
    const mid = off.filter((_, i) => Math.min(...codes.subarray(i - (i % 3), i - (i % 3) + 3)) >= 36);
    expect(mid.length).toBe(343 * 3);
    expect(Math.max(...mid)).toBeLessThanOrEqual(2);
  });

  test('grey stays grey, all 256 levels of it', () => {
    const grey = Uint8Array.from({ length: 256 * 3 }, (_, i) => Math.floor(i / 3));
    const before = grey.slice();
    displayP3ToSrgb(grey, 255);
    expect([...grey]).toEqual([...before]);
  });

  test('16-bit grey moves by at most 1 of 65535', () => {
    const levels = [0, 7, 900, 2650, 20_000, 51_234, 65_535];
    const grey = Uint16Array.from(levels.flatMap((v) => [v, v, v]));
    displayP3ToSrgb(grey, 65535);
    for (const [i, v] of grey.entries())
      expect(Math.abs(v - levels[Math.floor(i / 3)]!)).toBeLessThanOrEqual(1);
  });
});

describe('naming an ICC profile by its colorants', () => {
  const profileOf = async (name: string) => {
    const png = await sharp({ create: { width: 4, height: 4, channels: 3, background: '#888' } })
      .withIccProfile(name)
      .png()
      .toBuffer();
    return (await sharp(png).metadata()).icc!;
  };

  test('the sRGB and P3 profiles that come with sharp are told apart', async () => {
    expect(colourSpaceOfIcc(await profileOf('srgb'))).toBe('srgb');
    expect(colourSpaceOfIcc(await profileOf('p3'))).toBe('display-p3');
  });

  test('a profile with a red 0.17 away in X (Adobe RGB), or cut short, is "other"', async () => {
    const icc = Buffer.from(await profileOf('srgb'));
    const tag = icc.indexOf('rXYZ', 128, 'latin1');
    icc.writeInt32BE(Math.round(0.6097 * 65536), icc.readUInt32BE(tag + 4) + 8);
    expect(colourSpaceOfIcc(icc)).toBe('other');
    expect(colourSpaceOfIcc(icc.subarray(0, 100))).toBe('other');
  });
});
