import ExifReader from 'exifreader';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { encodePhoto, type PhotoRaster } from '../../src/renderer/index.ts';

/** A picture in which every pixel differs from its neighbours and no turn leaves it the same. */
const odd: PhotoRaster = {
  width: 5,
  height: 3,
  channels: 3,
  maxLevel: 255,
  data: Uint8Array.from({ length: 45 }, (_, k) => (k * 37 + 11) % 251),
};

describe('encodePhoto', () => {
  test('EXIF says 1/78 s, f/1.8, ISO 125, 6.81 mm, 26 mm equivalent and when (read back by exifreader)', async () => {
    const exif = {
      exposureS: 1 / 78,
      fNumber: 1.8,
      iso: 125,
      focalLengthMm: 6.81,
      focal35Mm: 26,
      takenAt: '2026-01-10T18:30:05',
      orientation: 6,
    };
    const tags = ExifReader.load(await encodePhoto(odd, exif, { format: 'jpeg', quality: 90 }));
    expect(tags['ExposureTime']?.value).toEqual([1, 78]);
    expect(tags['FNumber']?.value).toEqual([180, 100]);
    expect(tags['ISOSpeedRatings']?.value).toBe(125);
    expect(tags['FocalLength']?.value).toEqual([6810, 1000]);
    expect(tags['FocalLengthIn35mmFilm']?.value).toBe(26);
    expect(tags['DateTimeOriginal']?.description).toBe('2026:01:10 18:30:05');
    expect(tags['Orientation']?.value).toBe(6);
  });

  test.each([
    { s: 1 / 60, rational: [1, 60] },
    { s: 0.6, rational: [600000, 1000000] },
    { s: 0.0231, rational: [23100, 1000000] },
  ])('$s s is written as $rational', async ({ s, rational }) => {
    const tags = ExifReader.load(await encodePhoto(odd, { exposureS: s }, { format: 'jpeg' }));
    const value = tags['ExposureTime']?.value as [number, number];
    expect(value[0] / value[1]).toBeCloseTo((rational[0] ?? 0) / (rational[1] ?? 1), 6);
    expect(tags['FNumber']).toBeUndefined();
  });

  test.each([1, 2, 3, 4, 5, 6, 7, 8])(
    'orientation %i: a reader that obeys it gets the upright 5 x 3 picture',
    async (orientation) => {
      const file = await encodePhoto(odd, { orientation }, { format: 'png' });
      expect((await sharp(file).metadata()).orientation).toBe(orientation);
      const { data, info } = await sharp(file)
        .autoOrient()
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      expect([info.width, info.height]).toEqual([5, 3]);
      expect([...data]).toEqual([...odd.data]);
    },
  );

  test('orientation 9 is refused', async () => {
    await expect(encodePhoto(odd, { orientation: 9 }, { format: 'png' })).rejects.toThrow(
      'exif.orientation: expected a whole number from 1 to 8, got 9',
    );
  });

  test.each(['jpeg', 'png', 'tiff', 'webp', 'avif'] as const)(
    '%s can be decoded again at 160 x 120',
    async (format) => {
      const data = Uint8Array.from({ length: 160 * 120 * 3 }, (_, k) => (k * 7) % 256);
      const raster: PhotoRaster = { width: 160, height: 120, channels: 3, maxLevel: 255, data };
      const file = await encodePhoto(raster, { iso: 100 }, { format });
      const { info } = await sharp(file).raw().toBuffer({ resolveWithObject: true });
      expect([info.width, info.height]).toEqual([160, 120]);
    },
  );
});
