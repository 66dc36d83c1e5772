import {
  BLACK_REFLECTANCE,
  PAPER_REFLECTANCE,
  type Paper,
  type PrintedText,
  type SheetDesign,
  sheetDesign,
} from '../../vision/mark-design.ts';

/** Print of the design that says "this line" where no line is near; the note beside the line takes its place. */
const REPLACED: readonly string[] = ['Put this line', 'on the level line.'];

/** Added to the design's own print: which line goes where, beside that line, and what could hurt. */
const NOTES: readonly PrintedText[] = [
  { text: 'this line along your level line', at: { X: -124, Y: 1.4 }, capHeightMm: 2, anchor: 'left' },
  { text: 'Tape the white', at: { X: -40, Y: -70 }, capHeightMm: 2.6, anchor: 'left' },
  { text: 'edges only.', at: { X: -40, Y: -75 }, capHeightMm: 2.6, anchor: 'left' },
  { text: "Don't stare", at: { X: -40, Y: -83 }, capHeightMm: 2.6, anchor: 'left' },
  { text: 'into a lamp.', at: { X: -40, Y: -88 }, capHeightMm: 2.6, anchor: 'left' },
];

/**
 * A sheet as it leaves the printer: the marks' design and a few lines of help.
 * @throws InputError when there is no sheet of that number.
 */
export function printedSheet(number: number, paper: Paper): SheetDesign {
  const design = sheetDesign(number, paper);
  return { ...design, texts: [...design.texts.filter((t) => !REPLACED.includes(t.text)), ...NOTES] };
}

/**
 * The device grey to print for a reflectance: 0 for the marks' black, 1 for bare paper, and between them the usual
 * printer's curve of 2.2. Printers differ widely here (common practice, no source), which is why the reader treats
 * the grey steps as a help and never as a truth.
 */
export function deviceGrey(reflectance: number): number {
  if (reflectance <= BLACK_REFLECTANCE) return 0;
  return Math.min(1, (reflectance / PAPER_REFLECTANCE) ** (1 / 2.2));
}
