import sharp from 'sharp';
import { expect, test } from 'vitest';
import { sheetsSvg } from '../../../src/report/sheets/sheets-data.ts';
import { findMarks } from '../../../src/vision/find-marks.ts';
import type { Paper } from '../../../src/vision/mark-design.ts';
import { sheetMarks } from '../../../src/vision/mark-design.ts';

// The page goes through somebody else's SVG renderer (librsvg, in sharp), then to the reader: texts, ticks, greys and
// our added notes must not keep a mark from being found, nor pass for one.
test.each([
  { number: 3, paper: 'a4', pxPerMm: 5 },
  { number: 48, paper: 'letter', pxPerMm: 1 },
] as const)(
  'sheet $number on $paper, drawn at $pxPerMm px per mm, gives its four marks within 0.1 px',
  async (row) => {
    const image = await drawn(row.number, row.paper, row.pxPerMm);
    const found = [...findMarks(image.raster)].sort((a, b) => a.identity - b.identity);
    const marks = sheetMarks(row.number);
    expect(found.map((m) => m.identity)).toEqual(marks.map((m) => m.identity));
    let worst = 0;
    found.forEach((m, i) => {
      expect(m.mirrored).toBe(false);
      m.corners.forEach((c, k) => {
        const design = marks[i]!.corners[k]!;
        // Pixel centres at whole numbers: the page's left rim is at -0.5.
        const x = (image.widthMm / 2 + design.X) * image.pxPerMm + image.left - 0.5;
        const y = (image.heightMm / 2 - design.Y) * image.pxPerMm + image.top - 0.5;
        worst = Math.max(worst, Math.hypot(c.x - x, c.y - y));
      });
    });

    expect(worst, `worst corner ${worst} px`).toBeLessThan(0.1);
  },
);

/**
 * The sheet on a grey board, 40 px of it all round. Drawn 2 or 10 times as fine and averaged in linear light, as a camera
 * does: the SVG renderer mixes coded values at edges, which alone would move each of them by up to 0.3 px.
 */
async function drawn(number: number, paper: Paper, pxPerMm: number) {
  const [widthMm, heightMm] = paper === 'a4' ? [297, 210] : [279.4, 215.9];
  const fine = 10 / pxPerMm;
  const border = 40;
  // Sized in whole pixels, 10 per mm: the renderer would round a size in mm twice.
  const size = `width="${widthMm * 10}" height="${heightMm * 10}"`;
  const svg = Buffer.from(
    sheetsSvg({ paper, number }).replace(`width="${widthMm}mm" height="${heightMm}mm"`, size),
  );
  const page = await sharp(svg)
    .flatten({ background: '#fff' })
    .toColourspace('srgb')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const w = Math.floor(page.info.width / fine);
  const h = Math.floor(page.info.height / fine);
  const linear = Float64Array.from({ length: 256 }, (_, i) => decode(i / 255));
  const width = w + 2 * border;
  const height = h + 2 * border;
  const data = new Uint8Array(width * height * 3).fill(119);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      let sum = 0;
      for (let j = 0; j < fine; j++) {
        const row = ((y * fine + j) * page.info.width + x * fine) * 3;
        for (let i = 0; i < fine; i++) sum += linear[page.data[row + 3 * i]!]!;
      }
      const level = Math.round(255 * encode(sum / (fine * fine)));
      data.fill(level, ((y + border) * width + x + border) * 3, ((y + border) * width + x + border + 1) * 3);
    }
  }
  return {
    raster: { width, height, channels: 3 as const, maxLevel: 255 as const, data },
    widthMm,
    heightMm,
    left: border,
    top: border,
    pxPerMm,
  };
}

/** sRGB, standards.md IMG-1 and IMG-2. */
function decode(c: number): number {
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

function encode(l: number): number {
  return l <= 0.0031308 ? 12.92 * l : 1.055 * l ** (1 / 2.4) - 0.055;
}
