/** Lines of text for a screen 80 columns wide. */
import { holdFigures } from './picture/lettering.ts';

export const COLUMNS = 80;

/** Text from outside without characters that could steer a terminal. */
export function harmless(text: string): string {
  return text.replace(/[\p{Cc}\p{Cf}\u2028\u2029]/gu, ' ');
}

/** Breaks text at spaces to `width` columns, never inside a figure; every line after the first starts with `hang`. */
export function wrapColumns(text: string, width = COLUMNS, first = '', hang = first): string[] {
  const lines: string[] = [];
  let line = first;
  let empty = true;
  for (const word of holdFigures(harmless(text)).split(' ').filter(Boolean)) {
    if (!empty && [...line].length + 1 + [...word].length > width) {
      lines.push(line);
      line = hang;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  lines.push(line);
  return lines.map((l) => l.replaceAll('\u00a0', ' '));
}

/** A labelled paragraph: the label in its own column, the text hanging beside it. */
export function field(label: string, text: string, labelWidth = 12): string[] {
  return wrapColumns(text, COLUMNS, `  ${label.padEnd(labelWidth)}`, ' '.repeat(labelWidth + 2));
}

/** A heading with a rule under it as long as the screen. */
export function heading(text: string, right = ''): string[] {
  const title = harmless(text);
  const gap = COLUMNS - [...title].length - [...right].length;
  const line = right === '' || gap < 2 ? title : title + ' '.repeat(gap) + right;
  return [line, '-'.repeat(COLUMNS)];
}
