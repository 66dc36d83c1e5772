import fc from 'fast-check';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { expectedExposureRatio, readExif } from '../../src/photo/exif.ts';

const jpegWith = (ifd2: Record<string, string>, ifd0: Record<string, string> = {}) =>
  sharp({ create: { width: 8, height: 8, channels: 3, background: '#777' } })
    .withExif({ IFD0: ifd0, IFD2: ifd2 })
    .jpeg()
    .toBuffer();

describe('EXIF facts', () => {
  test('written by libexif, they are read back as numbers', async () => {
    const bytes = await jpegWith({
      ExposureTime: '1/250',
      FNumber: '18/10',
      ISOSpeedRatings: '100',
      FocalLength: '57/10',
      FocalLengthIn35mmFilm: '26',
      DateTimeOriginal: '2026:11:25 18:30:05',
      Flash: '25',
      ColorSpace: '65535',
    });
    expect(readExif(bytes)).toMatchObject({
      exposureS: 1 / 250,
      fNumber: 1.8,
      iso: 100,
      focalLengthMm: 5.7,
      focal35Mm: 26,
      takenAt: '2026-11-25T18:30:05',
      flashFired: true,
      colourSpace: 'uncalibrated',
    });
  });

  test.each([
    { field: 'exposureS', ifd2: { ExposureTime: '0/0' } },
    { field: 'exposureS', ifd2: { ExposureTime: '0/1' } },
    { field: 'fNumber', ifd2: { FNumber: '0/10' } },
    { field: 'fNumber', ifd2: { FNumber: '4000/1' } },
    { field: 'iso', ifd2: { ISOSpeedRatings: '0' } },
    { field: 'focalLengthMm', ifd2: { FocalLength: '0/100' } },
    { field: 'takenAt', ifd2: { DateTimeOriginal: '0000:00:00 00:00:00' } },
    { field: 'takenAt', ifd2: { DateTimeOriginal: '2026:02:30 10:00:00' } },
    { field: 'takenAt', ifd2: { DateTimeOriginal: 'yesterday' } },
  ])('$field is null, not nonsense, for $ifd2', async ({ field, ifd2 }) => {
    expect(readExif(await jpegWith(ifd2))).toHaveProperty(field, null);
  });

  test('ISO 65535 means "see the longer field": 102400 is read there', () => {
    // A TIFF by hand: IFD0 -> Exif IFD with 0x8827 SHORT 65535 and 0x8832 LONG 102400.
    const b = Buffer.alloc(64);
    b.write('II*\0', 'latin1');
    b.writeUInt32LE(8, 4);
    b.writeUInt16LE(1, 8);
    entry(b, 10, 0x8769, 4, 26);
    b.writeUInt16LE(2, 26);
    entry(b, 28, 0x8827, 3, 65535);
    entry(b, 40, 0x8832, 4, 102400);
    expect(readExif(b).iso).toBe(102400);
  });

  test('a file without EXIF, or no picture at all, gives nulls', async () => {
    const png = await sharp({ create: { width: 8, height: 8, channels: 3, background: '#777' } })
      .png()
      .toBuffer();
    for (const bytes of [png, new Uint8Array(0), new TextEncoder().encode('not a picture')]) {
      expect(Object.values(readExif(bytes)).every((v) => v === null)).toBe(true);
    }
  });

  test('bytes changed at random never make it throw, and what is read stays in range', async () => {
    const good = await jpegWith({
      ExposureTime: '1/60',
      FNumber: '20/10',
      ISOSpeedRatings: '320',
      FocalLength: '42/10',
      DateTimeOriginal: '2026:11:25 18:30:05',
    });
    const hits = fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(hits, (changes) => {
        const bytes = Buffer.from(good);
        for (const [at, value] of changes) bytes[at] = value;
        const f = readExif(bytes);
        expect(f.exposureS === null || (f.exposureS > 0 && f.exposureS <= 86_400)).toBe(true);
        expect(f.fNumber === null || (f.fNumber > 0.3 && f.fNumber <= 200)).toBe(true);
        expect(f.orientation === null || (f.orientation >= 1 && f.orientation <= 8)).toBe(true);
      }),
      { numRuns: 300, seed: 20261125 },
    );
  });
});

describe('exposure ratio', () => {
  // standards.md W56: N 1.8, S 100, t 1/250 against 1/30, same pixel value.
  test('1/250 s against 1/30 s is 8.3333 (W56)', () => {
    const a = { exposureS: 1 / 250, fNumber: 1.8, iso: 100 };
    const b = { exposureS: 1 / 30, fNumber: 1.8, iso: 100 };
    expect(expectedExposureRatio(a, b)).toBeCloseTo(8.3333, 4);
    expect(expectedExposureRatio(b, a)).toBeCloseTo(0.12, 12);
  });

  test('two stops of aperture are 4, one of ISO is a half; together 2', () => {
    const a = { exposureS: 1 / 50, fNumber: 4, iso: 400 };
    const b = { exposureS: 1 / 50, fNumber: 2, iso: 200 };
    expect(expectedExposureRatio(a, b)).toBeCloseTo(2, 12);
  });

  test('without an ISO there is no ratio', () => {
    const a = { exposureS: 1 / 50, fNumber: 4, iso: null };
    expect(expectedExposureRatio(a, { ...a, iso: 100 })).toBeNull();
  });
});

function entry(b: Buffer, at: number, tag: number, type: 3 | 4, value: number): void {
  b.writeUInt16LE(tag, at);
  b.writeUInt16LE(type, at + 2);
  b.writeUInt32LE(1, at + 4);
  if (type === 3) b.writeUInt16LE(value, at + 8);
  else b.writeUInt32LE(value, at + 8);
}
