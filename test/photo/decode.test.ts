import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import type { Raster } from '../../src/core/raster.ts';
import { PhotoError } from '../../src/photo/errors.ts';
import { decodePhoto, MAX_BYTES } from '../../src/photo/node/decode.ts';
import { asymmetricPicture, GROUND, HEIGHT, PATCHES, WIDTH } from './asymmetric-picture.ts';

const picture = () => sharp(asymmetricPicture(), { raw: { width: WIDTH, height: HEIGHT, channels: 3 } });
const at = (r: Raster, x: number, y: number) =>
  [...r.data.subarray((y * r.width + x) * r.channels).subarray(0, 3)] as number[];

/** Largest difference of any channel at the patches and on the ground. */
function worst(r: Raster, scale = 1): number {
  const seen = [...PATCHES, { x: 64, y: 20, colour: GROUND }];
  return Math.max(...seen.flatMap((p) => at(r, p.x, p.y).map((v, i) => Math.abs(v / scale - p.colour[i]!))));
}

async function refused(bytes: Uint8Array, name = 'left-dip.jpg'): Promise<PhotoError> {
  const error = await decodePhoto(bytes, name).then(
    () => null,
    (e: unknown) => e,
  );
  expect(error).toBeInstanceOf(PhotoError);
  return error as PhotoError;
}

describe('formats', () => {
  // Lossy formats: patches are flat over 16 px, so that what remains is quantisation, 1 to 3 levels at quality 95.
  test.each([
    { format: 'jpeg', make: () => picture().jpeg({ quality: 95, chromaSubsampling: '4:4:4' }), limit: 4 },
    { format: 'png', make: () => picture().png(), limit: 0 },
    { format: 'tiff', make: () => picture().tiff({ compression: 'lzw' }), limit: 0 },
    { format: 'webp', make: () => picture().webp({ lossless: true }), limit: 0 },
    { format: 'avif', make: () => picture().avif({ quality: 95, chromaSubsampling: '4:4:4' }), limit: 4 },
  ])('a $format file gives 96 x 64, 3 channels of 8 bits, patches within $limit levels', async (row) => {
    const { raster, facts } = await decodePhoto(await row.make().toBuffer(), `x.${row.format}`);
    expect(facts).toMatchObject({ format: row.format, width: 96, height: 64, bitDepth: 8, orientation: 1 });
    expect(raster).toMatchObject({ width: 96, height: 64, channels: 3, maxLevel: 255 });
    expect(raster.data).toHaveLength(96 * 64 * 3);
    expect(worst(raster)).toBeLessThanOrEqual(row.limit);
  });

  test('lossless formats give back every byte that went in', async () => {
    for (const bytes of [
      await picture().png().toBuffer(),
      await picture().tiff({ compression: 'none' }).toBuffer(),
    ]) {
      const { raster } = await decodePhoto(bytes, 'x');
      expect(Buffer.compare(Buffer.from(raster.data), Buffer.from(asymmetricPicture()))).toBe(0);
    }
  });

  test('the content decides, not the name: a JPEG called .png is read as JPEG', async () => {
    const { facts } = await decodePhoto(await picture().jpeg().toBuffer(), 'right-dip.png');
    expect(facts.format).toBe('jpeg');
  });

  test('a grey PNG comes out with three equal channels and unchanged levels', async () => {
    const grey = Uint8Array.from({ length: 20 * 10 }, (_, i) => i);
    const png = await sharp(grey, { raw: { width: 20, height: 10, channels: 1 } })
      .png()
      .toBuffer();
    const { raster } = await decodePhoto(png, 'grey.png');
    expect([at(raster, 3, 7), at(raster, 19, 9)]).toEqual([
      [143, 143, 143],
      [199, 199, 199],
    ]);
  });

  test('transparency is dropped and the stored colour kept, not blended', async () => {
    const rgba = Uint8Array.from({ length: 4 * 6 * 4 }, (_, i) => [90, 140, 210, 30][i % 4]!);
    const png = await sharp(rgba, { raw: { width: 6, height: 4, channels: 4 } })
      .png()
      .toBuffer();
    const { raster } = await decodePhoto(png, 'alpha.png');
    expect(raster.channels).toBe(3);
    expect(at(raster, 5, 2)).toEqual([90, 140, 210]);
  });
});

describe('16 bits', () => {
  const deep = Uint16Array.from({ length: 12 * 8 * 3 }, (_, i) => 137 + 201 * i);
  const make = () => sharp(deep, { raw: { width: 12, height: 8, channels: 3 } }).toColourspace('rgb16');

  test.each(['png', 'tiff'] as const)('a 16-bit %s keeps every level, maxLevel 65535', async (format) => {
    const { raster, facts } = await decodePhoto(
      await make().toFormat(format, { compression: 'lzw' }).toBuffer(),
      `deep.${format}`,
    );
    expect(facts.bitDepth).toBe(16);
    expect(raster.maxLevel).toBe(65535);
    expect(raster.data).toBeInstanceOf(Uint16Array);
    expect([...raster.data]).toEqual([...deep]);
  });

  test('white in a 10-bit AVIF is 65535, not 1023 shifted up (65472)', async () => {
    const white = new Uint16Array(16 * 16 * 3).fill(65535);
    const avif = await sharp(white, { raw: { width: 16, height: 16, channels: 3 } })
      .toColourspace('rgb16')
      .avif({ bitdepth: 10, lossless: true })
      .toBuffer();
    const { raster } = await decodePhoto(avif, 'deep.avif');
    expect(raster.maxLevel).toBe(65535);
    expect(Math.min(...raster.data)).toBe(65535);
  });

  test('a 16-bit Display P3 TIFF is converted like the 8-bit one, within 1/255', async () => {
    const level = 200 * 257;
    const flat = Uint16Array.from({ length: 8 * 8 * 3 }, (_, i) => [level, 60 * 257, 40 * 257][i % 3]!);
    const tiff = await sharp(flat, { raw: { width: 8, height: 8, channels: 3 } })
      .toColourspace('rgb16')
      .withIccProfile('p3')
      .tiff({ compression: 'none' })
      .toBuffer();
    const { raster, facts } = await decodePhoto(tiff, 'deep-p3.tif');
    expect(facts).toMatchObject({ colourSpace: 'display-p3', bitDepth: 16 });
    for (const [i, expected] of [200, 60, 40].entries()) {
      expect(Math.abs(at(raster, 2, 5)[i]! / 257 - expected)).toBeLessThanOrEqual(1);
    }
  });
});

describe('orientation', () => {
  // Exif: where row 0 and column 0 of the stored picture lie in the upright one. The stored picture is made from the
  // upright by hand, pixel by pixel, so that the expected result owes nothing to the library under test.
  const stored = (orientation: number) => {
    const up = asymmetricPicture();
    const turned = orientation >= 5;
    const [w, h] = turned ? [HEIGHT, WIDTH] : [WIDTH, HEIGHT];
    const out = new Uint8Array(w * h * 3);
    for (let row = 0; row < h; row++) {
      for (let col = 0; col < w; col++) {
        const [R, B] = [WIDTH - 1, HEIGHT - 1];
        const place: Record<number, readonly [number, number]> = {
          1: [col, row], // row 0 top, column 0 left
          2: [R - col, row], // top, right
          3: [R - col, B - row], // bottom, right
          4: [col, B - row], // bottom, left
          5: [row, col], // left, top
          6: [R - row, col], // right, top
          7: [R - row, B - col], // right, bottom
          8: [row, B - col], // left, bottom
        };
        const [x, y] = place[orientation]!;
        out.set(up.subarray((y * WIDTH + x) * 3, (y * WIDTH + x) * 3 + 3), (row * w + col) * 3);
      }
    }
    return sharp(out, { raw: { width: w, height: h, channels: 3 } }).withMetadata({ orientation });
  };

  test.each([1, 2, 3, 4, 5, 6, 7, 8])('EXIF orientation %i of a JPEG is undone', async (orientation) => {
    const jpeg = await stored(orientation).jpeg({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer();
    const { raster, facts } = await decodePhoto(jpeg, 'turned.jpg');
    expect(facts).toMatchObject({ width: 96, height: 64, orientation });
    expect(worst(raster)).toBeLessThanOrEqual(4);
  });

  test.each(['png', 'tiff', 'webp'] as const)(
    'orientation 7 of a %s is undone, every byte',
    async (format) => {
      const bytes = await stored(7).toFormat(format, { lossless: true, compression: 'lzw' }).toBuffer();
      const { raster, facts } = await decodePhoto(bytes, `turned.${format}`);
      expect(facts.orientation).toBe(7);
      expect(Buffer.compare(Buffer.from(raster.data), Buffer.from(asymmetricPicture()))).toBe(0);
    },
  );

  test('orientation 6 of an AVIF is undone once: its container and its EXIF both ask for the turn', async () => {
    const bytes = await stored(6).avif({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer();
    const { raster } = await decodePhoto(bytes, 'turned.avif');
    expect([raster.width, raster.height]).toEqual([96, 64]);
    expect(worst(raster)).toBeLessThanOrEqual(4);
  });
});

describe('colour', () => {
  test('Display P3 (231, 78, 44) becomes sRGB (251, 60, 20), as a browser shows it', async () => {
    // Both triples measured apart from this project's code with sharp and with Chromium (raw and converted).
    const flat = Uint8Array.from({ length: 8 * 8 * 3 }, (_, i) => [251, 60, 20][i % 3]!);
    const p3 = await sharp(flat, { raw: { width: 8, height: 8, channels: 3 } })
      .withIccProfile('p3')
      .png()
      .toBuffer();
    const codes = await sharp(p3, { ignoreIcc: true }).raw().toBuffer();
    expect([...codes.subarray(0, 3)]).toEqual([231, 78, 44]);
    const { raster, facts } = await decodePhoto(p3, 'p3.png');
    expect(facts.colourSpace).toBe('display-p3');
    for (const [i, v] of at(raster, 4, 3).entries()) {
      expect(Math.abs(v - [251, 60, 20][i]!)).toBeLessThanOrEqual(1);
    }
  });

  test('an sRGB profile is named, and a file without profile or EXIF is untagged', async () => {
    const tagged = await decodePhoto(await picture().withIccProfile('srgb').jpeg().toBuffer(), 'a.jpg');
    const untagged = await decodePhoto(await picture().png().toBuffer(), 'b.png');
    expect([tagged.facts.colourSpace, untagged.facts.colourSpace]).toEqual(['srgb', 'untagged']);
  });

  test('a CMYK JPEG is refused, naming the file', async () => {
    const error = await refused(await picture().toColourspace('cmyk').jpeg().toBuffer(), 'scan.jpg');
    expect(error.code).toBe('cmyk');
    expect(error.message).toMatch(/^scan\.jpg: .*CMYK.*RGB/);
  });

  test('a Lab TIFF is refused', async () => {
    expect(
      (await refused(await picture().toColourspace('lab').tiff({ compression: 'none' }).toBuffer())).code,
    ).toBe('unsupported-colour');
  });
});

describe('files that are no usable photo', () => {
  const word = (s: string) => new TextEncoder().encode(s);

  test('zero bytes: "empty"', async () => {
    const error = await refused(new Uint8Array(0), 'IMG_0001.JPG');
    expect(error.code).toBe('empty');
    expect(error.message).toBe(
      'IMG_0001.JPG: the file is empty (0 bytes). Copy it from the phone or camera again.',
    );
  });

  test.each([
    { what: 'a text file', bytes: word('left lamp, 5 m, looks too high'), code: 'not-a-photo' },
    {
      what: 'an SVG',
      bytes: word('<?xml version="1.0"?><svg width="9" height="9"/>'),
      code: 'unsupported-format',
    },
    { what: 'a PDF', bytes: word('%PDF-1.7 ...'), code: 'unsupported-format' },
    { what: 'an MP4 film', bytes: word('\0\0\0\x18ftypmp42\0\0\0\0mp42isom'), code: 'unsupported-format' },
    {
      what: 'a raw file with CR at byte 8',
      bytes: word('II*\0\x10\0\0\0CR\x02\0________'),
      code: 'camera-raw',
    },
    { what: 'three bytes of JPEG', bytes: Uint8Array.of(0xff, 0xd8, 0xff), code: 'cut-short' },
  ])('$what is refused as $code', async ({ bytes, code }) => {
    expect((await refused(bytes)).code).toBe(code);
  });

  test('a DNG is refused rather than its preview measured (tag 50706)', async () => {
    const tiff = Buffer.from('49492a0008000000010012c6010004000000010400000000000000000000', 'hex');
    expect((await refused(tiff, 'IMG.dng')).code).toBe('camera-raw');
  });

  test('an animated GIF and an animated WebP are refused', async () => {
    const frames = sharp(
      new Uint8Array(8 * 16 * 3).map((_, i) => i % 251),
      {
        raw: { width: 8, height: 16, channels: 3, pageHeight: 8 },
      },
    );
    expect((await refused(await frames.clone().gif().toBuffer())).code).toBe('unsupported-format');
    expect((await refused(await frames.clone().webp().toBuffer())).code).toBe('several-pictures');
  });

  test.each([0.3, 0.6, 0.95])(
    'a JPEG cut off after %d of its bytes is refused as cut short',
    async (part) => {
      const noisy = Uint8Array.from({ length: 160 * 120 * 3 }, (_, i) => (i * 7919) % 256);
      const jpeg = await sharp(noisy, { raw: { width: 160, height: 120, channels: 3 } })
        .jpeg()
        .toBuffer();
      const error = await refused(jpeg.subarray(0, Math.floor(jpeg.length * part)), 'half.jpg');
      expect(error.code).toBe('cut-short');
      expect(error.message).toMatch(/half\.jpg: the file ends too early .*copy it from the phone/i);
    },
  );

  test.each(['png', 'tiff', 'webp', 'avif'] as const)('half a %s is refused', async (format) => {
    const noisy = Uint8Array.from({ length: 160 * 120 * 3 }, (_, i) => (i * 7919) % 256);
    const whole = await sharp(noisy, { raw: { width: 160, height: 120, channels: 3 } })
      .toFormat(format)
      .toBuffer();
    const error = await refused(whole.subarray(0, whole.length >> 1));
    expect(['cut-short', 'damaged']).toContain(error.code);
  });

  test('a PNG whose middle bytes are overwritten is refused as damaged', async () => {
    const png = Buffer.from(await picture().png({ compressionLevel: 0 }).toBuffer());
    png.fill(0x5a, png.length >> 1, (png.length >> 1) + 60);
    expect((await refused(png)).code).toBe('damaged');
  });

  test('a PNG of 12000 x 12000 pixels in 0.1 MB is refused before it fills the memory', async () => {
    const bomb = await sharp({
      create: { width: 12_000, height: 12_000, channels: 3, background: '#000' },
      limitInputPixels: false,
    })
      .toColourspace('b-w')
      .png({ compressionLevel: 9 })
      .toBuffer();
    expect(bomb.length).toBeLessThan(500_000);
    const error = await refused(bomb, 'bomb.png');
    expect(error.code).toBe('too-many-pixels');
    expect(error.message).toContain('120 million');
  });

  test('a file above 320 MB is refused unread', async () => {
    const huge = { length: MAX_BYTES + 1 } as unknown as Uint8Array; // reading any byte of it would fail
    expect((await refused(huge)).code).toBe('file-too-big');
  });

  test('control characters in a file name do not reach the terminal', async () => {
    const error = await refused(new Uint8Array(0), 'a\u001b[2Jb\n.jpg');
    expect(error.message).toContain('a?[2Jb?.jpg');
  });

  test('trailing bytes after a whole JPEG do no harm', async () => {
    const jpeg = await picture().jpeg({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer();
    const { raster } = await decodePhoto(Buffer.concat([jpeg, Buffer.alloc(999, 7)]), 'tail.jpg');
    expect(worst(raster)).toBeLessThanOrEqual(4);
  });
});
