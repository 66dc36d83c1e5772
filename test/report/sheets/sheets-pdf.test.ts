import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src/core/errors.ts';
import { latin1 } from '../../../src/report/sheets/latin1.ts';
import { deviceGrey, printedSheet } from '../../../src/report/sheets/printed-sheet.ts';
import { sheetsJson, sheetsSvg } from '../../../src/report/sheets/sheets-data.ts';
import { sheetsPdf } from '../../../src/report/sheets/sheets-pdf.ts';
import { GREY_STEPS, type Paper, sheetDesign } from '../../../src/vision/mark-design.ts';
import { type PdfPage, readPdf } from './read-pdf.ts';

const PT_PER_MM = 72 / 25.4;
// ISO 216 A4 is 210 x 297 mm; ANSI Letter is 8.5 x 11 in: 612 x 792 pt.
const PAGE_PT: Record<Paper, readonly [number, number]> = { a4: [841.89, 595.276], letter: [792, 612] };

/** A page's fills in the sheet frame: origin at the page's middle, Y up. */
function inSheetFrame(page: PdfPage): { points: { X: number; Y: number }[]; ink: string }[] {
  const [, , w, h] = page.mediaBox as [number, number, number, number];
  return page.fills.map((f) => ({
    ink: f.ink,
    points: f.points.map((p) => ({ X: p.x - w / 2 / PT_PER_MM, Y: p.y - h / 2 / PT_PER_MM })),
  }));
}

describe.each(['a4', 'letter'] as const)('sheets on %s', (paper) => {
  const pages = readPdf(sheetsPdf({ paper, numbers: [3, 17, 48], title: 'Marigold' }));

  test('one page of help and one page per sheet, each exactly of the paper, lying', () => {
    expect(pages).toHaveLength(4);
    for (const p of pages) {
      expect(p.mediaBox.slice(0, 2)).toEqual([0, 0]);
      expect(Math.abs(p.mediaBox[2]! - PAGE_PT[paper][0])).toBeLessThan(0.005);
      expect(Math.abs(p.mediaBox[3]! - PAGE_PT[paper][1])).toBeLessThan(0.005);
    }
  });

  test.each([
    [1, 3],
    [2, 17],
    [3, 48],
  ])(
    'page %i has every shape of sheet %i where the design says, to 0.01 mm, in its grey',
    (index, number) => {
      const design = sheetDesign(number, paper);
      const printed = inSheetFrame(pages[index]!);
      expect(printed).toHaveLength(design.shapes.length);
      let worst = 0;
      design.shapes.forEach((shape, i) => {
        if (shape.kind !== 'polygon') throw new Error('the design has only polygons so far');
        const got = printed[i]!;
        expect(got.points).toHaveLength(shape.points.length);
        shape.points.forEach((p, k) => {
          worst = Math.max(worst, Math.abs(p.X - got.points[k]!.X), Math.abs(p.Y - got.points[k]!.Y));
        });
        const [grey, op] = got.ink.split(' ');
        expect(op).toBe('g');
        expect(Math.abs(Number(grey) - deviceGrey(shape.reflectance))).toBeLessThan(0.001);
      });
      expect(worst).toBeLessThan(0.01);
    },
  );

  test('the long ticks of the 100 mm ruler stand 283.465 pt apart, across and upwards', () => {
    const printed = inSheetFrame(pages[2]!);
    const middleOf = (f: (typeof printed)[number], axis: 'X' | 'Y') => {
      const all = f.points.map((p) => p[axis]);
      return { mid: (Math.min(...all) + Math.max(...all)) / 2, long: Math.max(...all) - Math.min(...all) };
    };
    for (const [along, other] of [
      ['X', 'Y'],
      ['Y', 'X'],
    ] as const) {
      // The long ticks: thin along the ruler, 7 mm the other way, centred on the arm.
      const ticks = printed
        .filter((f) => f.points.length === 4)
        .filter((f) => middleOf(f, along).long < 0.5 && Math.abs(middleOf(f, other).long - 7) < 0.01)
        .map((f) => middleOf(f, along).mid * PT_PER_MM)
        .sort((a, b) => a - b);
      expect(ticks).toHaveLength(2);
      expect(Math.abs(ticks[1]! - ticks[0]! - 283.4646)).toBeLessThan(0.01);
    }
  });

  test('black is 0 and the five grey steps rise towards paper white', () => {
    const inks = pages[1]!.fills.map((f) => Number(f.ink.split(' ')[0]));
    expect(Math.min(...inks)).toBe(0);
    const steps = GREY_STEPS.map(deviceGrey);
    expect([...steps].sort((a, b) => a - b)).toEqual(steps);
    // (0.4 / 0.85) to the power of 1 / 2.2, worked by hand.
    expect(deviceGrey(0.4)).toBeCloseTo(0.7099, 3);
    expect(deviceGrey(0.85)).toBe(1);
  });

  test('each sheet page carries its number, the size check, the level line and a caution', () => {
    const texts = pages[2]!.texts.map((t) => t.text);
    for (const said of [
      '17',
      'sheet 17',
      'Print at 100 %.',
      'this line along your level line',
      "Don't stare",
    ]) {
      expect(texts).toContain(said);
    }
  });

  test('no lettering stands on a mark, on the cross, or within 5 mm of the rim', () => {
    const design = printedSheet(17, paper);
    for (const t of design.texts) {
      // Width from the font's average: 0.56 of the size per letter errs on the wide side.
      const w = t.text.length * (t.capHeightMm / 0.718) * 0.56;
      const from = t.anchor === 'middle' ? t.at.X - w / 2 : t.at.X;
      const box = { left: from, right: from + w, bottom: t.at.Y, top: t.at.Y + t.capHeightMm };
      for (const m of design.marks) {
        const apart =
          box.right < m.corners[0].X ||
          box.left > m.corners[1].X ||
          box.bottom > m.corners[0].Y ||
          box.top < m.corners[2].Y;
        expect(apart, `"${t.text}" on mark ${m.place}`).toBe(true);
      }
      expect(box.bottom > 0.5 || box.top < -0.5, `"${t.text}" on the level arm`).toBe(true);
      expect(Math.abs(t.at.Y)).toBeLessThan(design.heightMm / 2 - 5);
      expect(Math.max(Math.abs(box.left), Math.abs(box.right))).toBeLessThan(design.widthMm / 2 - 5);
    }
  });
});

describe('the file', () => {
  const file = (options: Parameters<typeof sheetsPdf>[0]) =>
    Buffer.from(sheetsPdf(options)).toString('latin1');

  test('asks for printing without scaling, and holds no picture and no compressed stream', () => {
    const text = file({ paper: 'a4', numbers: [5], title: 'x' });
    expect(text).toMatch(/\/PrintScaling \/None/);
    expect(text).not.toMatch(/\/Subtype \/Image/);
    expect(text).not.toMatch(/\/FlateDecode/);
  });

  test('a title beyond Latin-1 is printed in its nearest letters, never as wrong ones', () => {
    expect(latin1('Łódź „van” → 2 \u2212 1 · Čapek, Öl, 車')).toBe('Lódz "van" -> 2 - 1 · Capek, Öl, ?');
    const text = file({ paper: 'letter', numbers: [5], title: 'Ma\u0159ka' });
    expect(text).toContain('(Marka)');
  });

  test('no number, a number twice, and numbers 0, 49 and 2.5 are refused', () => {
    for (const numbers of [[], [4, 9, 4], [0], [49], [2.5]]) {
      expect(() => sheetsPdf({ paper: 'a4', numbers, title: 'x' })).toThrow(InputError);
    }
  });
});

describe('the sheets as open data', () => {
  test('the SVG is 297 mm wide, viewed in mm, with the first mark corner at (22.5, 12.5)', () => {
    const svg = sheetsSvg({ paper: 'a4', number: 9 });
    expect(svg).toContain('width="297mm" height="210mm" viewBox="0 0 297 210"');
    // Upper left corner of mark 0: (-126, 92.5) from the middle of the page.
    expect(svg).toContain('<polygon points="22.5,12.5 102.5,12.5 102.5,92.5 22.5,92.5" fill="rgb(0,0,0)"/>');
    expect(svg.match(/<polygon/g)).toHaveLength(sheetDesign(9, 'a4').shapes.length);
  });

  test('the JSON survives writing and reading, and gives marks, ruler and greys in mm', () => {
    const data = sheetsJson({ paper: 'letter', numbers: [2, 11] });
    const back = JSON.parse(JSON.stringify(data));
    expect(back).toEqual(data);
    expect(back.sheets[1].marks[2]).toMatchObject({ identity: 42, centre: { X: 86, Y: -52.5 } });
    expect(back.sheets[1].ruler.lengthMm).toBe(100);
  });
});
