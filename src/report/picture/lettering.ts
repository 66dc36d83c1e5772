import opentype from 'opentype.js';

export type Weight = 'regular' | 'bold';

/**
 * Lettering as outlines. A picture made of outlines needs no font on the machine that shows it: on a fresh computer
 * without any, ordinary SVG text vanishes without an error.
 */
export interface Lettering {
  /** Width of `text` set at `size`, in the same unit as `size`. */
  readonly width: (text: string, size: number, weight: Weight) => number;
  /** SVG path data of `text` with its baseline's left end at (x, y). */
  readonly path: (text: string, x: number, y: number, size: number, weight: Weight) => string;
}

/** Height of a capital letter over the size it is set at, nearly the same for both weights. */
export const CAP_HEIGHT = 0.67;

/**
 * Lettering from two font files (TrueType, OpenType or WOFF).
 * @throws Error when the bytes are no font.
 */
export function letteringFrom(regular: ArrayBuffer, bold: ArrayBuffer): Lettering {
  const fonts = { regular: opentype.parse(regular), bold: opentype.parse(bold) };
  return {
    width: (text, size, weight) => fonts[weight].getAdvanceWidth(plain(text), size),
    path: (text, x, y, size, weight) => {
      let d = '';
      for (const c of fonts[weight].getPath(plain(text), x, y, size).commands) {
        // Written out here because the library's own writer turns some numbers into NaN when it rounds.
        if (c.type === 'Z') d += 'Z';
        else if (c.type === 'Q') d += `Q${n(c.x1)} ${n(c.y1)} ${n(c.x)} ${n(c.y)}`;
        else if (c.type === 'C') d += `C${n(c.x1)} ${n(c.y1)} ${n(c.x2)} ${n(c.y2)} ${n(c.x)} ${n(c.y)}`;
        else d += `${c.type}${n(c.x)} ${n(c.y)}`;
      }
      return d;
    },
  };
}

/** The font has no drawing for the unbreakable space. */
function plain(text: string): string {
  return text.replaceAll('\u00a0', ' ');
}

/** A page coordinate to a tenth: finer would only make the file longer. */
export function n(value: number): string {
  return String(Math.round(value * 10) / 10);
}

/** Keeps a number with its unit and a ± between its figures: such spaces become unbreakable ones. */
export function holdFigures(text: string): string {
  return text
    .replace(/(\d) (?=(\d+\/\d|%|mm|cm|in|ft|m|s|turns?)(?![a-z]))/g, '$1\u00a0')
    .replace(/ ± /g, '\u00a0±\u00a0');
}

/** Breaks `text` into lines no wider than `width` at spaces, never inside a figure; a longer word stays whole. */
export function wrap(
  lettering: Lettering,
  text: string,
  width: number,
  size: number,
  weight: Weight,
): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of holdFigures(text).split(' ').filter(Boolean)) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && lettering.width(longer, size, weight) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  if (line !== '') lines.push(line);
  return lines;
}
