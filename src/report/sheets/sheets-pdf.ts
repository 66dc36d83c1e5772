import { InputError } from '../../core/errors.ts';
import type { Paper, SheetDesign } from '../../vision/mark-design.ts';
import type { Units } from '../format.ts';
import type { Dialect } from '../words.ts';
import { drawHowToPage } from './how-to-page.ts';
import { LANDSCAPE_MM, PdfPages } from './pdf-page.ts';
import { deviceGrey, printedSheet } from './printed-sheet.ts';

export interface SheetsPdfOptions {
  readonly paper: Paper;
  /** Which sheets, 1 to 48; one page each, after a page that says how to tape them. */
  readonly numbers: readonly number[];
  /** The job's title, for the first page. */
  readonly title: string;
  readonly units?: Units;
  readonly words?: Dialect;
}

/**
 * A printable PDF of coded sheets at their true size: page 1 says how to print, check and tape them, then comes one
 * landscape page per sheet, all vectors, 1 mm in the design = 72/25.4 points.
 *
 * @throws InputError when no number is given, one is given twice, or there is no sheet of a number.
 */
export function sheetsPdf(options: SheetsPdfOptions): Uint8Array {
  const { paper, numbers, title } = options;
  if (numbers.length === 0) throw new InputError('sheet numbers', 'at least one', numbers);
  if (new Set(numbers).size !== numbers.length) {
    throw new InputError(
      'sheet numbers',
      'each number once: two sheets alike on one board cannot be told apart',
      numbers,
    );
  }
  const sheets = numbers.map((n) => printedSheet(n, paper));
  const pages = new PdfPages(`${title}: sheets ${numbers.join(', ')}`, LANDSCAPE_MM[paper]);
  drawHowToPage(pages, { title, numbers, paper, units: options.units ?? 'mm', words: options.words ?? 'gb' });
  for (const sheet of sheets) {
    pages.addPage();
    drawSheet(pages, sheet);
  }
  return pages.bytes();
}

function drawSheet(pages: PdfPages, sheet: SheetDesign): void {
  const x = (X: number): number => sheet.widthMm / 2 + X;
  const y = (Y: number): number => sheet.heightMm / 2 - Y;
  for (const s of sheet.shapes) {
    const ink = deviceGrey(s.reflectance);
    if (s.kind === 'disc') pages.fillDisc(x(s.centre.X), y(s.centre.Y), s.radiusMm, ink);
    else
      pages.fill(
        s.points.map((p) => ({ x: x(p.X), y: y(p.Y) })),
        ink,
      );
  }
  for (const t of sheet.texts) {
    pages.text(t.text, x(t.at.X), y(t.at.Y), { capMm: t.capHeightMm, anchor: t.anchor });
  }
}
