import { MARK_SIZE_MM, type Paper, type SheetDesign } from '../../vision/mark-design.ts';
import { deviceGrey, printedSheet } from './printed-sheet.ts';

/** The sheets as open data: everything needed to print, draw or recognise them elsewhere. */
export interface SheetsData {
  readonly format: 'dipcard-sheets';
  readonly version: 1;
  readonly units: 'mm';
  /** What the frame and the numbers mean, in words. */
  readonly frame: string;
  readonly markSizeMm: number;
  readonly sheets: readonly SheetDesign[];
}

/**
 * The design of some sheets as plain data, ready for JSON.
 * @throws InputError when there is no sheet of a number.
 */
export function sheetsJson(options: {
  readonly paper: Paper;
  readonly numbers: readonly number[];
}): SheetsData {
  return {
    format: 'dipcard-sheets',
    version: 1,
    units: 'mm',
    frame:
      'Sheet frame: origin at the centre cross, X to the right, Y up. Shapes are painted in order, later ones over ' +
      'earlier ones; reflectance 0 to 1, bare paper 0.85. A text stands at the left or middle end of its base line. ' +
      "A mark's corners run upper left, upper right, lower right, lower left.",
    markSizeMm: MARK_SIZE_MM,
    sheets: options.numbers.map((n) => printedSheet(n, options.paper)),
  };
}

/**
 * One sheet as an SVG of its true size.
 * @throws InputError when there is no sheet of that number.
 */
export function sheetsSvg(options: { readonly paper: Paper; readonly number: number }): string {
  const sheet = printedSheet(options.number, options.paper);
  const { widthMm: w, heightMm: h } = sheet;
  const x = (X: number): string => mm(w / 2 + X);
  const y = (Y: number): string => mm(h / 2 - Y);
  const ink = (reflectance: number): string => {
    const level = Math.round(255 * deviceGrey(reflectance));
    return `rgb(${level},${level},${level})`;
  };
  const shapes = sheet.shapes.map((s) =>
    s.kind === 'disc'
      ? `<circle cx="${x(s.centre.X)}" cy="${y(s.centre.Y)}" r="${mm(s.radiusMm)}" fill="${ink(s.reflectance)}"/>`
      : `<polygon points="${s.points.map((p) => `${x(p.X)},${y(p.Y)}`).join(' ')}" fill="${ink(s.reflectance)}"/>`,
  );
  const texts = sheet.texts.map((t) => {
    const anchor = t.anchor === 'middle' ? 'middle' : 'start';
    const place = `x="${x(t.at.X)}" y="${y(t.at.Y)}"`;
    return `<text ${place} font-size="${mm(t.capHeightMm / 0.718)}" text-anchor="${anchor}">${escaped(t.text)}</text>`;
  });
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${w}mm" height="${h}mm" viewBox="0 0 ${w} ${h}" ` +
      'font-family="Helvetica, Arial, sans-serif" shape-rendering="geometricPrecision">',
    `<title>Sheet ${sheet.number}</title>`,
    `<rect width="${w}" height="${h}" fill="white"/>`,
    ...shapes,
    ...texts,
    '</svg>',
    '',
  ].join('\n');
}

/** Micrometres, and no needless noughts. */
function mm(value: number): string {
  return String(Number(value.toFixed(3)));
}

function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
