import { InputError } from '../core/errors.ts';
import { MM_PER_FOOT, MM_PER_INCH, pctFromDeg } from '../core/units.ts';
import { NUMBER, numberOf, plainText } from './typed-number.ts';

/**
 * The doors for numbers that people type: lengths become mm, aim figures become per cent. Formatting is not here:
 * `report` rounds and writes.
 */

export type LengthUnit = 'mm' | 'cm' | 'm' | 'in' | 'ft';

const MM_PER: Readonly<Record<LengthUnit, number>> = {
  mm: 1,
  cm: 10,
  m: 1000,
  in: MM_PER_INCH,
  ft: MM_PER_FOOT,
};

/** Longest length anyone measures here: a board stands within 100 m. */
const MAX_LENGTH_MM = 100_000;
/** Steepest aim figure that is still one: 30 % is 17 deg. */
const MAX_AIM_PCT = 30;

const LENGTH_UNIT = String.raw`millimet(?:re|er)s?|centimet(?:re|er)s?|met(?:re|er)s?|inch(?:es)?|feet|foot|mm|cm|m|in\.?|ft\.?|"|'`;
const PIECE = new RegExp(`^(${NUMBER}) ?(${LENGTH_UNIT})?(?![a-z])`, 'i');

const A_LENGTH = 'a length such as 650, "65 cm", "7.62 m", "25 ft" or "2 ft 3 1/2 in"';
const A_SLOPE =
  'an aim figure such as 1.3, "1.3 %", "0.57 deg", "41 min", "12 cm at 10 m" or "4 in at 25 ft"';

/**
 * A length in mm from what was typed. Text may hold a sign, a decimal comma, fractions, and several falling units
 * ("2 ft 3 1/2 in", `2' 3"`, "1 m 20 cm"). A bare number is in `bareUnit`.
 *
 * @param field path for the error message, in the caller's words.
 * @throws InputError when it is no length, could be read in two ways ("1,200"), or is over 100 m.
 */
export function lengthMm(input: number | string, field: string, bareUnit: LengthUnit = 'mm'): number {
  const mm =
    typeof input === 'number'
      ? input * MM_PER[bareUnit]
      : lengthOfText(plainText(input), field, input, bareUnit);
  if (!Number.isFinite(mm)) throw new InputError(field, A_LENGTH, input);
  if (Math.abs(mm) > MAX_LENGTH_MM) throw new InputError(field, 'a length up to 100 m', input);
  return mm;
}

function lengthOfText(text: string, field: string, typed: string, bareUnit: LengthUnit): number {
  const signed = /^([+-]?) ?(.*)$/.exec(text)!;
  const sign = signed[1] === '-' ? -1 : 1;
  let rest = signed[2]!;
  let mm = 0;
  let lastUnit = Number.POSITIVE_INFINITY;
  if (rest === '') throw new InputError(field, A_LENGTH, typed);
  for (let pieces = 0; rest !== ''; pieces++) {
    const match = PIECE.exec(rest);
    if (!match) throw new InputError(field, A_LENGTH, typed);
    const value = numberOf(match[1]!);
    if (value === null) {
      throw new InputError(field, `${A_LENGTH}, without a thousands mark and not divided by 0`, typed);
    }
    const perUnit = unitMm(match[2], pieces, lastUnit, bareUnit);
    // "2 ft 30 cm" or "3 in 2 ft" is a slip of the pen, not a length.
    if (perUnit === null || perUnit >= lastUnit) throw new InputError(field, A_LENGTH, typed);
    mm += value * perUnit;
    lastUnit = perUnit;
    rest = rest
      .slice(match[0].length)
      .replace(/^(?: ?(?:,|and) | - | )/, '')
      .trim();
  }
  return sign * mm;
}

/** mm per unit of one piece; null when the piece cannot follow the one before. */
function unitMm(word: string | undefined, pieces: number, last: number, bareUnit: LengthUnit): number | null {
  if (word === undefined) {
    if (pieces === 0) return MM_PER[bareUnit];
    // 2' 3: inches after feet; nothing else is plain.
    return last === MM_PER_FOOT ? MM_PER_INCH : null;
  }
  const per = MM_PER[unitOf(word)];
  const imperial = per === MM_PER_INCH || per === MM_PER_FOOT;
  const lastImperial = last === MM_PER_INCH || last === MM_PER_FOOT;
  return pieces > 0 && imperial !== lastImperial ? null : per;
}

function unitOf(word: string): LengthUnit {
  const w = word.toLowerCase().replace('.', '');
  if (w === "'" || w.startsWith('f')) return 'ft';
  if (w === '"' || w.startsWith('in')) return 'in';
  if (w === 'mm' || w.startsWith('milli')) return 'mm';
  if (w === 'cm' || w.startsWith('centi')) return 'cm';
  return 'm';
}

/**
 * An aim figure in per cent, + down: "1.3 %", "0.57 deg", "41'", "12 cm at 10 m", "4 in at 25 ft", "0.2 % up".
 * @throws InputError when it is none, says left or right, or says both minus and up.
 */
export function dropPct(input: number | string, field: string): number {
  return aimPct(input, field, 'down', 'up');
}

/** A sideways aim figure in per cent, + right: "1 % left", "2 in right at 25 ft". @throws InputError as dropPct. */
export function offsetPct(input: number | string, field: string): number {
  return aimPct(input, field, 'right', 'left');
}

/** An amount of slope in per cent, never negative: a tolerance or an uncertainty. @throws InputError */
export function slopePct(input: number | string, field: string): number {
  const pct = aimPct(input, field, 'none', 'none');
  if (pct < 0) throw new InputError(field, 'a figure of 0 or more', input);
  return pct;
}

type Way = 'down' | 'up' | 'right' | 'left' | 'none';
const WAYS: Readonly<Record<string, Way>> = {
  down: 'down',
  below: 'down',
  low: 'down',
  d: 'down',
  up: 'up',
  above: 'up',
  high: 'up',
  u: 'up',
  left: 'left',
  l: 'left',
  right: 'right',
  r: 'right',
};

function aimPct(input: number | string, field: string, plus: Way, minus: Way): number {
  if (typeof input === 'number') return checkedAim(input, field, input);
  let text = plainText(input);
  let way: Way | null = null;
  const found = /(^|[\s\d%°'"])(down|below|low|up|above|high|left|right|[udlrUDLR])(?=$|\s)/i.exec(text);
  if (found) {
    way = WAYS[found[2]!.toLowerCase()]!;
    const at = found.index + found[1]!.length;
    text = `${text.slice(0, at)}${text.slice(at + found[2]!.length)}`.replace(/\s+/g, ' ').trim();
  }
  if (way !== null && way !== plus && way !== minus) {
    throw new InputError(field, `${A_SLOPE}, without "${found![2]}"`, input);
  }
  const pct = slopeOfText(text, field, input);
  if (way !== null && pct < 0) throw new InputError(field, 'a minus sign or a direction, not both', input);
  return checkedAim(way === minus && way !== null ? -pct : pct, field, input);
}

function checkedAim(pct: number, field: string, typed: number | string): number {
  if (!Number.isFinite(pct)) throw new InputError(field, A_SLOPE, typed);
  if (Math.abs(pct) > MAX_AIM_PCT)
    throw new InputError(field, `an aim figure within ${MAX_AIM_PCT} %`, typed);
  return pct;
}

const SLOPE = new RegExp(
  String.raw`^([+-]?) ?(${NUMBER}) ?(%|per ?cent|pct\.?|mrad|deg(?:rees?|\.)?|°|arc ?min(?:utes?)?|min(?:utes?|\.)?|')?$`,
  'i',
);
const DEG_MIN = new RegExp(
  String.raw`^([+-]?) ?(${NUMBER}) ?(?:deg(?:rees?|\.)?|°) ?(${NUMBER}) ?(?:min(?:utes?|\.)?|')$`,
  'i',
);

function slopeOfText(text: string, field: string, typed: string): number {
  const overLength = /^(.+?) ?(?:\bat\b|@|\bon\b|\bper\b(?! ?cent)|\/(?= ?[\d.]* ?m\b)) ?(.+)$/i.exec(text);
  if (overLength) return slopeOverLength(overLength[1]!, overLength[2]!, field, typed);
  const degMin = DEG_MIN.exec(text);
  if (degMin) {
    const deg = number(degMin[2]!, field, typed);
    const min = number(degMin[3]!, field, typed);
    if (min >= 60) throw new InputError(field, 'minutes below 60 after degrees', typed);
    return (degMin[1] === '-' ? -1 : 1) * pctFromDeg(deg + min / 60);
  }
  const match = SLOPE.exec(text);
  if (!match) throw new InputError(field, A_SLOPE, typed);
  const value = number(match[2]!, field, typed) * (match[1] === '-' ? -1 : 1);
  const unit = (match[3] ?? '%').toLowerCase();
  if (unit === '%' || unit.startsWith('p')) return value;
  if (unit === 'mrad') return value / 10;
  if (unit.startsWith('d') || unit === '°') return pctFromDeg(value);
  return pctFromDeg(value / 60);
}

function slopeOverLength(rise: string, run: string, field: string, typed: string): number {
  const riseMm = lengthMm(rise, field);
  const runMm = lengthMm(/^(?:m|met(?:re|er))$/i.test(run) ? '1 m' : run, field);
  if (!/[a-z"']/i.test(rise) || !(runMm > 0)) {
    throw new InputError(field, 'a length at a distance, both with units: "12 cm at 10 m"', typed);
  }
  return (100 * riseMm) / runMm;
}

function number(text: string, field: string, typed: string): number {
  const value = numberOf(text);
  if (value === null) throw new InputError(field, `${A_SLOPE}, without a thousands mark`, typed);
  return value;
}
