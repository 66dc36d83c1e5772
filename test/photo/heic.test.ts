import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Raster } from '../../src/core/raster.ts';
import { displayP3ToSrgb } from '../../src/photo/display-p3.ts';
import { PhotoError } from '../../src/photo/errors.ts';
import { heifProperties } from '../../src/photo/heif-properties.ts';
import { decodePhoto } from '../../src/photo/node/decode.ts';
import { HEIGHT, PATCHES } from './asymmetric-picture.ts';
import { nclx, withProperty } from './fixtures/add-property.ts';

const fixture = (name: string) => readFileSync(join(import.meta.dirname, 'fixtures', `${name}.heic`));
const at = (r: Raster, x: number, y: number) => [...r.data.subarray((y * r.width + x) * 3).subarray(0, 3)];

/** HEVC at quality 92 and a colour matrix rounded to 8 bits twice: 3 levels were seen. */
const LIMIT = 5;

function expectPatches(r: Raster, place: (x: number, y: number) => [number, number]): void {
  for (const p of PATCHES) {
    const seen = at(r, ...place(p.x, p.y));
    for (const [i, v] of seen.entries()) {
      expect(Math.abs(v - p.colour[i]!), `${p.name}: ${seen} for ${p.colour}`).toBeLessThanOrEqual(LIMIT);
    }
  }
}

describe('HEIC', () => {
  test('an upright file gives its 96 x 64 patches and its EXIF', async () => {
    const { raster, facts } = await decodePhoto(fixture('plain'), 'plain.heic');
    expect(facts).toMatchObject({
      format: 'heic',
      width: 96,
      height: 64,
      bitDepth: 8,
      exposureS: 1 / 60,
      fNumber: 1.8,
      iso: 200,
      takenAt: '2026-11-25T18:30:05',
    });
    expectPatches(raster, (x, y) => [x, y]);
  });

  test('a turn asked for by container and EXIF alike is done once, clockwise', async () => {
    const { raster, facts } = await decodePhoto(fixture('turned'), 'turned.heic');
    expect(facts).toMatchObject({ width: 64, height: 96, orientation: 1 });
    expectPatches(raster, (x, y) => [HEIGHT - 1 - y, x]);
  });

  test('EXIF orientation without a turn in the container turns nothing (HEIF leaves turning to irot)', async () => {
    const { raster, facts } = await decodePhoto(fixture('exif-turn-only'), 'exif-turn-only.heic');
    expect(facts).toMatchObject({ width: 96, height: 64, orientation: 1 });
    expectPatches(raster, (x, y) => [x, y]);
  });

  test('Display P3 is converted to sRGB', async () => {
    const { raster, facts } = await decodePhoto(fixture('display-p3'), 'display-p3.heic');
    expect(facts.colourSpace).toBe('display-p3');
    expectPatches(raster, (x, y) => [x, y]);
  });

  test.each([0.2, 0.5, 0.9])('a HEIC cut off after %d of its bytes is refused', async (part) => {
    const whole = fixture('plain');
    const cut = whole.subarray(0, Math.floor(whole.length * part));
    await expect(decodePhoto(cut, 'cut.heic')).rejects.toBeInstanceOf(PhotoError);
  });

  test.each([
    { curve: 'PQ', transfer: 16 },
    { curve: 'HLG', transfer: 18 },
  ])('the $curve curve (transfer $transfer) is refused as high dynamic range', async ({ transfer }) => {
    const hdr = withProperty(fixture('plain'), nclx(9, transfer));
    await expect(decodePhoto(hdr, 'hdr.heic')).rejects.toMatchObject({ code: 'high-dynamic-range' });
  });

  test('code points 12 and 13 (P3 primaries, sRGB curve) are converted, 1 and 13 are not', async () => {
    const red = async (primaries: number) => {
      const file = withProperty(fixture('plain'), nclx(primaries, 13));
      const { raster, facts } = await decodePhoto(file, 'x.heic');
      return { space: facts.colourSpace, seen: at(raster, 16, 12) };
    };
    const plain = await red(1);
    const wide = await red(12);
    expect([plain.space, wide.space]).toEqual(['srgb', 'display-p3']);
    const expected = new Uint8Array(plain.seen);
    displayP3ToSrgb(expected, 255);
    expect(wide.seen).toEqual([...expected]);
    expect(wide.seen[1]).toBeLessThan(plain.seen[1]! - 10); // P3's red is redder: green goes down
  });
});

describe('container properties', () => {
  test('irot 3 quarter turns and the ICC profile belong to the primary picture', () => {
    const p = heifProperties(fixture('turned'));
    expect(p).toMatchObject({ quarterTurns: 3, mirrorAxis: null });
    expect(p?.icc?.length).toBe(480);
    expect(heifProperties(fixture('plain'))).toMatchObject({ quarterTurns: 0, icc: null });
  });

  test('cut at any byte, the boxes give an answer or null, never an exception', () => {
    const whole = fixture('turned');
    for (let n = 0; n < whole.length; n += 3)
      expect(() => heifProperties(whole.subarray(0, n))).not.toThrow();
  });
});
