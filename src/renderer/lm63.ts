import { InputError } from '../core/errors.ts';
import type { IntensityTable } from './table-beam.ts';

/**
 * Goniometer types of LM-63. A: planes share a vertical axis, (0, 0) is straight ahead (lamps of vehicles). B: planes
 * share a horizontal axis, (0, 0) is the beam's axis (floodlights). C: vertical angle from straight down, horizontal
 * angle anticlockwise from above. In A and B horizontal angles grow clockwise from above: to the right.
 * @see ANSI/IESNA LM-63-02, section 3, key definitions.
 */
export type PhotometryType = 'A' | 'B' | 'C';

/** What an LM-63 file says. */
export interface Lm63 {
  /** First line, e.g. 'IESNA:LM-63-2002'. */
  readonly version: string;
  readonly keywords: readonly { readonly name: string; readonly value: string }[];
  readonly type: PhotometryType;
  /** Candela at horizontal (`uDeg`) and vertical (`vDeg`) angles of the file's own type, multipliers applied. */
  readonly table: IntensityTable;
}

const TYPES: Readonly<Record<number, PhotometryType>> = { 1: 'C', 2: 'B', 3: 'A' };

/** The numbers after the TILT line, each with the line it stands on. */
class Numbers {
  readonly #words: { readonly word: string; readonly line: number }[] = [];
  readonly #name: string;
  #at = 0;
  #last = 0;

  constructor(name: string, lines: readonly string[], from: number) {
    this.#name = name;
    lines.forEach((text, i) => {
      if (i < from) return;
      for (const word of text.split(/[\s,]+/)) if (word !== '') this.#words.push({ word, line: i + 1 });
    });
    this.#last = lines.length;
  }

  /** The next number; `what` is its name in the standard. */
  next(what: string): number {
    const item = this.#words[this.#at++];
    if (!item)
      throw new InputError(`${this.#name}:${this.#last}`, `${what}, a number`, 'the end of the file');
    const value = Number(item.word);
    if (!Number.isFinite(value)) {
      throw new InputError(`${this.#name}:${item.line}`, `${what}, a number`, item.word);
    }
    return value;
  }

  /** The next number, which must pass a test. */
  checked(what: string, expected: string, test: (value: number) => boolean): number {
    const value = this.next(what);
    if (!test(value)) throw new InputError(this.place(), `${what}: ${expected}`, value);
    return value;
  }

  /** Where the last number stood. */
  place(): string {
    return `${this.#name}:${this.#words[this.#at - 1]?.line ?? this.#last}`;
  }

  rest(): { readonly word: string; readonly line: number } | null {
    return this.#words[this.#at] ?? null;
  }
}

/**
 * Reads an LM-63 file (1991, 1995, 2002 or 2019; TILT=NONE).
 * @param text the file's text. @param name what to call the file in errors.
 * @throws InputError naming `file:line` and what was expected there.
 */
export function readLm63(text: string, name: string): Lm63 {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
  const version = (lines[0] ?? '').trim();
  if (!/^(IESNA:LM-63-(1995|2002)|IES:LM-63-2019|IESNA91)$/.test(version)) {
    throw new InputError(`${name}:1`, "a first line such as 'IESNA:LM-63-2002'", version);
  }
  const tilt = lines.findIndex((line) => /^\s*TILT\s*=/.test(line));
  if (tilt < 0) throw new InputError(`${name}:${lines.length}`, "a line 'TILT=NONE'", 'the end of the file');
  const tiltValue = (lines[tilt] ?? '').split('=')[1]?.trim();
  if (tiltValue !== 'NONE') {
    throw new InputError(
      `${name}:${tilt + 1}`,
      'TILT=NONE (a lamp whose light does not change with tilt)',
      tiltValue,
    );
  }
  const keywords = lines.slice(1, tilt).flatMap((line) => {
    const match = /^\[([^\]]+)\]\s*(.*)$/.exec(line.trim());
    return match ? [{ name: match[1] ?? '', value: match[2] ?? '' }] : [];
  });
  const numbers = new Numbers(name, lines, tilt + 1);
  const whole = (value: number): boolean => Number.isInteger(value) && value > 0;
  numbers.checked('number of lamps', 'a whole number above 0', whole);
  numbers.next('lumens per lamp');
  const multiplier = numbers.checked('candela multiplier', 'above 0', (value) => value > 0);
  const most = 'a whole number from 2 to 2000';
  const fits = (value: number): boolean => whole(value) && value >= 2 && value <= 2000;
  const rows = numbers.checked('number of vertical angles', most, fits);
  const columns = numbers.checked(
    'number of horizontal angles',
    'a whole number from 1 to 2000',
    (value) => whole(value) && value <= 2000,
  );
  const typeNumber = numbers.checked('photometric type', '1 (C), 2 (B) or 3 (A)', (value) => value in TYPES);
  const type = TYPES[typeNumber] ?? 'A';
  numbers.checked('units type', '1 (feet) or 2 (metres)', (value) => value === 1 || value === 2);
  for (const what of ['width', 'length', 'height']) numbers.next(`${what} of the luminous opening`);
  const ballast = numbers.checked('ballast factor', 'above 0', (value) => value > 0);
  numbers.next('ballast-lamp factor, for future use');
  numbers.next('input watts');
  const vDeg = angles(numbers, rows, 'vertical angle');
  const uDeg = angles(numbers, columns, 'horizontal angle');
  const byColumn = uDeg.map(() =>
    vDeg.map(
      () => numbers.checked('candela value', '0 or more', (value) => value >= 0) * multiplier * ballast,
    ),
  );
  const extra = numbers.rest();
  if (extra)
    throw new InputError(`${name}:${extra.line}`, 'nothing after the last candela value', extra.word);
  const values = vDeg.map((_, j) => byColumn.map((column) => column[j] ?? 0));
  return { version, keywords, type, table: fullTable(type, { uDeg, vDeg, values }) };
}

function angles(numbers: Numbers, count: number, what: string): number[] {
  const list: number[] = [];
  for (let i = 0; i < count; i++) {
    const angle = numbers.next(what);
    const before = list.at(-1);
    if (before !== undefined && !(angle > before)) {
      throw new InputError(numbers.place(), `${what}s in rising order (after ${before})`, angle);
    }
    list.push(angle);
  }
  return list;
}

/** Symmetric files hold only a part of the angles: adds the rest. */
function fullTable(type: PhotometryType, table: IntensityTable): IntensityTable {
  const last = table.uDeg.at(-1) ?? 0;
  const mirrored = (middle: number): IntensityTable => {
    const order = table.uDeg.map((u, i) => ({ u, i }));
    const added = order.filter(({ u }) => u !== middle).map(({ u, i }) => ({ u: 2 * middle - u, i }));
    const all = [...order, ...added].sort((a, b) => a.u - b.u);
    return {
      uDeg: all.map(({ u }) => u),
      vDeg: table.vDeg,
      values: table.values.map((row) => all.map(({ i }) => row[i] ?? 0)),
    };
  };
  if (type !== 'C') return table.uDeg[0] === 0 && last > 0 ? mirrored(0) : table;
  if (table.uDeg.length === 1) {
    return {
      uDeg: [0, 360],
      vDeg: table.vDeg,
      values: table.values.map((row) => [row[0] ?? 0, row[0] ?? 0]),
    };
  }
  if (last === 90) return fullTable('C', mirrored(90));
  return last === 180 ? mirrored(180) : table;
}

/**
 * Writes a table as an LM-63-2002 file.
 * @param lumens -1 says that the candela values are absolute.
 */
export function writeLm63(
  type: PhotometryType,
  table: IntensityTable,
  keywords: readonly { readonly name: string; readonly value: string }[],
  lumens = -1,
): string {
  const wrap = (list: readonly string[]): string => {
    const lines: string[] = [];
    let line = '';
    for (const word of list) {
      // LM-63 allows 132 characters per line; 80 reads better.
      if (line !== '' && line.length + 1 + word.length > 80) {
        lines.push(line);
        line = word;
      } else line = line === '' ? word : `${line} ${word}`;
    }
    return [...lines, line].join('\n');
  };
  const number = { C: 1, B: 2, A: 3 }[type];
  return [
    'IESNA:LM-63-2002',
    ...keywords.map(({ name, value }) => `[${name}] ${value}`),
    'TILT=NONE',
    `1 ${lumens} 1 ${table.vDeg.length} ${table.uDeg.length} ${number} 2 0 0 0`,
    '1 1 0',
    wrap(table.vDeg.map(String)),
    wrap(table.uDeg.map(String)),
    ...table.uDeg.map((_, i) => wrap(table.values.map((row) => String(row[i])))),
    '',
  ].join('\n');
}
