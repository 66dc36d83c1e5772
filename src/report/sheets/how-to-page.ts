import { MM_PER_INCH } from '../../core/units.ts';
import type { Paper } from '../../vision/mark-design.ts';
import { cautionsFor, NO_CERTIFICATE } from '../cautions.ts';
import { onTape, type Units } from '../format.ts';
import type { Dialect } from '../words.ts';
import { LANDSCAPE_MM, type PdfPages } from './pdf-page.ts';

interface HowTo {
  readonly title: string;
  readonly numbers: readonly number[];
  readonly paper: Paper;
  readonly units: Units;
  readonly words: Dialect;
}

const MARGIN = 15;
const ACCENT = [0, 0.3, 0.55] as const;

/** The first page: how to print, check and tape the sheets, with a drawing, and the cautions. */
export function drawHowToPage(pages: PdfPages, how: HowTo): void {
  const left = MARGIN;
  const right = pages.widthMm - MARGIN;
  const middle = pages.widthMm / 2;
  pages.text('Sheets for the board', left, 23, { capMm: 6, bold: true });
  pages.text(how.title, left, 31.5, { capMm: 3 });
  const which = how.numbers.length === 1 ? `Sheet ${how.numbers[0]}` : `Sheets ${how.numbers.join(', ')}`;
  pages.text(which, right, 31.5, { capMm: 3, anchor: 'right' });
  pages.line(left, 35.5, right, 35.5, { widthMm: 0.3 });

  let y = 43;
  steps(how).forEach((step, i) => {
    pages.text(`${i + 1}`, left, y, { capMm: 3.4, bold: true, ink: ACCENT });
    pages.text(step.head, left + 7, y, { capMm: 2.7, bold: true });
    y = pages.paragraph(step.body, left + 7, y + 5.3, middle - left - 13, { capMm: 2.5 }) + 3.2;
  });

  drawBoard(pages, middle + 4, 42, right - middle - 4, how);

  let c = 118;
  pages.text('Take care', middle + 4, c, { capMm: 2.7, bold: true });
  c += 5.4;
  for (const line of cautionsFor({ words: how.words, motorcycle: false, adjusting: false })) {
    pages.fill(square(middle + 4, c - 1.6, 1.2), 0);
    c = pages.paragraph(line, middle + 8, c, right - middle - 8, { capMm: 2.4, leading: 1.85 }) + 1.5;
  }
  pages.paragraph(NO_CERTIFICATE, left, pages.heightMm - 17, right - left, { capMm: 2, leading: 1.9 });
}

function steps(how: HowTo): readonly { readonly head: string; readonly body: string }[] {
  const paper = how.paper === 'a4' ? 'A4' : 'US Letter';
  const hundred = how.units === 'in' ? `100 mm (${onTape(100, 'in')})` : onTape(100, how.units);
  const far = how.units === 'in' ? onTape(MM_PER_INCH / 16, 'in') : onTape(1, how.units);
  return [
    {
      head: 'Print at 100 %',
      body:
        `In the print window choose "actual size" or "100 %", never "fit to page". ${paper}, sideways, black only, ` +
        'on plain matt paper: gloss and plastic film mirror the lamp.',
    },
    {
      head: 'Check the size',
      body:
        `On each sheet measure between the two long ticks, across and upwards: ${hundred}. Printers shrink: if yours ` +
        `is out, write the measured length on the sheet and type it in. If across and upwards differ by more than ${far}, print it again.`,
    },
    {
      head: 'Draw one level line on the board',
      body:
        'With a spirit level or a water level, as long as the board, well below where the edge of the beam will fall. ' +
        'The board plan says where.',
    },
    {
      head: 'Tape the sheets on it',
      body:
        'Arrow up, the long line of the sheet along the level line, flat, with no fold or bubble. Tape only the white ' +
        'edges. One sheet or more on each side of every lamp, none where the hot spot falls, none across the edge of ' +
        'the beam.',
    },
    {
      head: 'Measure where they are',
      body:
        'From your upright zero line to the upright line of each sheet, and write it down. Or leave that out: measure ' +
        'one long distance between the crosses of two sheets, and a photo with the room lights on finds the rest.',
    },
    {
      head: 'Grey steps are only a help',
      body: 'Every printer makes its own grey, so they help but prove nothing on their own.',
    },
  ];
}

/** The board with a level line and sheets on it, not to scale. */
function drawBoard(pages: PdfPages, x: number, y: number, width: number, how: HowTo): void {
  const height = 60;
  pages.rect(x, y, width, height, { widthMm: 0.4 });
  const level = y + 41;
  const sheetW = width * 0.17;
  const page = LANDSCAPE_MM[how.paper];
  const sheetH = (sheetW * page.heightMm) / page.widthMm;
  const at = [0.14, 0.5, 0.86].map((f) => x + f * width);
  for (const [i, cx] of at.entries()) {
    pages.fill(box(cx - sheetW / 2, level - sheetH / 2, sheetW, sheetH), 1);
    pages.rect(cx - sheetW / 2, level - sheetH / 2, sheetW, sheetH, { widthMm: 0.25 });
    const m = sheetH * 0.36;
    for (const [sx, sy] of [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ] as const) {
      pages.fill(square(cx + sx * sheetW * 0.29 - m / 2, level + sy * sheetH * 0.26 - m / 2, m), 0.15);
    }
    pages.line(cx, level - sheetH / 2, cx, level + sheetH / 2, { widthMm: 0.2 });
    if (i !== 1) pages.text('sheet', cx, level - sheetH / 2 - 1.8, { capMm: 1.9, anchor: 'middle' });
  }
  const zero = x + width / 2;
  pages.line(zero, y, zero, y + height, { widthMm: 0.3, ink: ACCENT, dashMm: [3, 1, 0.6, 1] });
  const below = level + sheetH / 2 + 5;
  pages.line(zero, below, at[2]!, below, { widthMm: 0.2 });
  for (const end of [zero, at[2]!]) pages.line(end, below - 1.5, end, below + 1.5, { widthMm: 0.2 });
  pages.fill(box((zero + at[2]!) / 2 - 8, below - 1.5, 16, 3), 1);
  pages.line(x, level, x + width, level, { widthMm: 0.5, ink: ACCENT });
  for (const f of [0.32, 0.68]) {
    const cx = x + f * width;
    pages.line(cx - 3, y + 11, cx + 3, y + 11, { widthMm: 0.5 });
    pages.line(cx, y + 8, cx, y + 14, { widthMm: 0.5 });
    pages.line(cx - 13, y + 19, cx + 13, y + 19, { widthMm: 0.5, dashMm: [2, 1.2] });
  }
  const small = { capMm: 1.9, anchor: 'middle' } as const;
  pages.text("lamp's centre mark", x + 0.32 * width, y + 6, small);
  pages.text('edge of the beam', x + 0.32 * width, y + 23.5, small);
  pages.text('measure', (zero + at[2]!) / 2, below + 0.9, small);
  pages.text('zero line', zero, y - 1.5, { ...small, ink: ACCENT });
  pages.text('level line', x + 0.32 * width, level - 1.6, { ...small, ink: ACCENT });
  pages.text('Not to scale; the board plan has the measures.', x + width / 2, y + height + 5, small);
}

function square(x: number, y: number, side: number): { x: number; y: number }[] {
  return box(x, y, side, side);
}

function box(x: number, y: number, width: number, height: number): { x: number; y: number }[] {
  return [
    { x, y },
    { x: x + width, y },
    { x: x + width, y: y + height },
    { x, y: y + height },
  ];
}
