/**
 * The only place that rounds. Everything a person reads passes through here, so that a value and its
 * uncertainty always end at the same place and a sign is always a word.
 */
import { degFromPct, MM_PER_INCH } from '../core/units.ts';

export type Units = 'mm' | 'cm' | 'in';

/** A value and its expanded uncertainty, rounded to the same place. */
export interface Rounded {
  readonly value: string;
  readonly U: string;
  /** Digits after the point (0 or more) that both were rounded to. */
  readonly places: number;
  /** The rounded value as a number, for choosing words by sign. */
  readonly number: number;
}

/** Fewest places to round a value whose uncertainty is unknown or nil. */
const PLACES_WITHOUT_U = 2;
/** No uncertainty is shown finer than this many places: finer digits would be noise of the arithmetic. */
const FINEST_PLACES = 4;

/**
 * Rounds U to two significant digits when its first digit is 1 or 2, else to one, and the value to the same place.
 * Ordinary rounding, but upwards when rounding down would take more than 5 % off U, so that no more is promised
 * than is known.
 *
 * @param value any finite number.
 * @param U expanded uncertainty (k = 2) in the value's unit, 0 or above; 0 rounds the value to two places.
 * @see JCGM 100:2008, 7.2.6: at most two significant digits, the value to match. The 5 % rule is common practice
 *   of calibration laboratories, no source seen.
 */
export function roundWithU(value: number, U: number): Rounded {
  if (!(U > 0) || !Number.isFinite(U)) {
    const text = fixed(value, PLACES_WITHOUT_U);
    return { value: text, U: fixed(0, PLACES_WITHOUT_U), places: PLACES_WITHOUT_U, number: Number(text) };
  }
  // Leading digit from the decimal text: log10 alone is off by one just below a power of ten.
  const [mantissa, exponent] = U.toExponential(12).split('e') as [string, string];
  let power = Number(exponent) - (Number(mantissa) < 3 ? 1 : 0);
  if (-power > FINEST_PLACES) power = -FINEST_PLACES;
  let rounded = roundUncertainty(U, power);
  // 0.296 becomes 0.30, whose second digit says nothing more: keep one place fewer from 3 on.
  if (rounded * 10 ** -power >= 30 - 1e-6 && Number(mantissa) < 3) {
    power += 1;
    rounded = roundUncertainty(U, power);
  }
  const places = Math.max(0, -power);
  const unit = 10 ** power;
  const shown = fixed(power > 0 ? Math.round(value / unit) * unit : value, places);
  return { value: shown, U: fixed(rounded, places), places, number: Number(shown) };
}

function roundUncertainty(U: number, power: number): number {
  const steps = U / 10 ** power;
  const near = Math.max(Math.round(steps), 1);
  const kept = near < steps * 0.95 ? Math.ceil(steps - 1e-9) : near;
  return kept * 10 ** power;
}

/** Digits after the point, halves away from nought, and never "-0". */
export function fixed(value: number, places: number): string {
  // toExponential carries the decimal digits that a person would see, so 1.005 rounds as written, not as stored.
  const scaled = Number(`${Math.abs(value)}e${places}`);
  const whole = Number.isFinite(scaled) ? Math.round(scaled + 1e-9) : Math.abs(value) * 10 ** places;
  const size = (whole / 10 ** places).toFixed(places);
  return value < 0 && Number(size) !== 0 ? `-${size}` : size;
}

/** Strips the sign of a rounded figure: the words that follow carry it. */
function bare(text: string): string {
  return text.replace(/^-/, '');
}

/** "down" or "up" for a rounded drop; null when it rounds to nought. */
function vertical(number: number): string | null {
  return number > 0 ? 'down' : number < 0 ? 'up' : null;
}

function sideways(number: number): string | null {
  return number > 0 ? 'to the right' : number < 0 ? 'to the left' : null;
}

/** "1.24 ± 0.12 % down"; U is expanded (k = 2). Level: "0.0 ± 0.2 %, level with the lamp's centre". */
export function dropWithU(pct: number, U: number): string {
  const r = roundWithU(pct, U);
  const way = vertical(r.number);
  return way === null
    ? `${r.value} ± ${r.U} %, level with the lamp's centre`
    : `${bare(r.value)} ± ${r.U} % ${way}`;
}

/** "0.3 ± 0.2 % to the left". */
export function offsetWithU(pct: number, U: number): string {
  const r = roundWithU(pct, U);
  const way = sideways(r.number);
  return way === null ? `${r.value} ± ${r.U} %, straight ahead` : `${bare(r.value)} ± ${r.U} % ${way}`;
}

/** "1.24 % down", "0.2 % up", "0 %" to `places` digits. */
export function drop(pct: number, places = 2): string {
  const text = fixed(pct, places);
  const way = vertical(Number(text));
  return way === null ? `${bare(text)} %` : `${bare(text)} % ${way}`;
}

/** "0.3 % to the left", "0 % (straight ahead)". */
export function offset(pct: number, places = 2): string {
  const text = fixed(pct, places);
  const way = sideways(Number(text));
  return way === null ? `${bare(text)} % (straight ahead)` : `${bare(text)} % ${way}`;
}

/** A published limit: at most two digits after the point and no needless noughts: "2.75", "0.5". */
export function limitNumber(pct: number): string {
  return String(Number(fixed(pct, 2)));
}

/** "between 1.2 and 1.9 % down"; ends are rounded outwards, so that nothing true is left out. */
export function dropInterval(minPct: number, maxPct: number, places = 1): string {
  const step = 10 ** -places;
  const low = Math.floor(minPct / step + 1e-9) * step;
  const high = Math.ceil(maxPct / step - 1e-9) * step;
  const a = fixed(low, places);
  const b = fixed(high, places);
  if (a === b) return drop(low, places);
  if (Number(a) >= 0) return `between ${a} and ${b} % down`;
  if (Number(b) <= 0) return `between ${bare(b)} and ${bare(a)} % up`;
  return `between ${bare(a)} % up and ${b} % down`;
}

/** "0.7 deg" style angle: degrees with two places and a word for the sense. */
export function dropDegrees(pct: number): string {
  const text = fixed(degFromPct(pct), 2);
  const way = vertical(Number(text));
  return way === null ? `${bare(text)}°` : `${bare(text)}° ${way}`;
}

/** 25 ft, the distance of US boards, mm. */
const US_BOARD_MM = 7620;

/** The same drop in other terms: "0.38° up", for an inch tape with "2 in at 25 ft". */
export function dropAlso(pct: number, units: Units): string {
  const inches = units === 'in' ? `, ${onTape((pct * US_BOARD_MM) / 100, units)} at 25 ft` : '';
  return `${dropDegrees(pct)}${inches}`;
}

/** "0.4 ± 0.3°, right end up". */
export function tiltWithU(deg: number, U: number): string {
  const r = roundWithU(deg, U);
  const way = r.number > 0 ? ', right end up' : r.number < 0 ? ', left end up' : ', level';
  return `${bare(r.value)} ± ${r.U}°${way}`;
}

/** A likelihood in words: "about 80 %", "more than 99 %". Never 0 or 100. */
export function likelihood(p: number): string {
  if (p > 0.99) return 'more than 99 %';
  if (p < 0.01) return 'less than 1 %';
  const pct = p * 100;
  const near = pct > 10 && pct < 90 ? Math.round(pct / 5) * 5 : Math.round(pct);
  return `about ${near} %`;
}

/** A share of the whole in words: nobody needs 53 rather than 55 per cent of a doubt. */
export function share(part: number): string {
  if (part > 0.85) return 'nearly all of it';
  if (part > 0.6) return 'about two thirds of it';
  if (part > 0.42) return 'about half of it';
  if (part > 0.29) return 'about a third of it';
  return part > 0.2 ? 'about a quarter of it' : 'a small part of it, like several others';
}

/** Sixteenths of an inch as a tape shows them: "2 9/16 in", "3/8 in", "4 in". No sign. */
function inchesOnTape(mm: number): string {
  const sixteenths = Math.round((Math.abs(mm) / MM_PER_INCH) * 16);
  const whole = Math.floor(sixteenths / 16);
  let top = sixteenths % 16;
  let bottom = 16;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  const fraction = top === 0 ? '' : `${top}/${bottom}`;
  return `${[whole === 0 && fraction !== '' ? '' : String(whole), fraction].filter(Boolean).join(' ')} in`;
}

/** A length as read off a tape held to the board, without sign: "65 mm", "6.5 cm", "2 9/16 in". */
export function onTape(mm: number, units: Units): string {
  const size = Math.abs(mm);
  if (units === 'mm') return `${fixed(size, 0)} mm`;
  if (units === 'cm') return `${fixed(size / 10, 1)} cm`;
  return inchesOnTape(size);
}

/** A tape length with its U: "62 ± 14 mm", "6.2 ± 1.4 cm", "2.4 ± 0.6 in"; no sign. U is never finer than 1 mm. */
export function onTapeWithU(mm: number, U: number, units: Units): string {
  const per = units === 'in' ? MM_PER_INCH : units === 'cm' ? 10 : 1;
  const finest = units === 'mm' ? 1 : 0.1;
  const r = roundWithU(Math.abs(mm) / per, Math.max(U / per, finest));
  const places = Math.min(r.places, units === 'mm' ? 0 : 1);
  return `${fixed(r.number, places)} ± ${fixed(Number(r.U), places)} ${units}`;
}

const INCHES_PER_FOOT = 12;

/** A distance across the room: "5.00 m", or "16 ft 5 in". */
export function acrossRoom(mm: number, units: Units): string {
  if (units !== 'in') return `${fixed(mm / 1000, 2)} m`;
  const inches = Math.round(mm / MM_PER_INCH);
  const feet = Math.floor(inches / INCHES_PER_FOOT);
  const rest = inches - feet * INCHES_PER_FOOT;
  return rest === 0 ? `${feet} ft` : `${feet} ft ${rest} in`;
}

/** "65 mm below the centre mark", "12 mm above the centre mark", "level with the centre mark". + is above. */
export function fromCentreMark(aboveMm: number, units: Units): string {
  const text = onTape(aboveMm, units);
  if (/^0(\.0)? /.test(text)) return 'level with the centre mark';
  return `${text} ${aboveMm < 0 ? 'below' : 'above'} the centre mark`;
}

/** "12 mm right of the centre mark", or "straight above or below the centre mark". + is right. */
export function besideCentreMark(rightMm: number, units: Units): string {
  const text = onTape(rightMm, units);
  if (/^0(\.0)? /.test(text)) return 'straight in line with the centre mark';
  return `${text} ${rightMm < 0 ? 'left' : 'right'} of the centre mark`;
}

/** "34 mm down", "5 mm up", "no further". + is up. */
export function moveUpDown(upMm: number, units: Units): string {
  const text = onTape(upMm, units);
  if (/^0(\.0)? /.test(text)) return 'no further';
  return `${text} ${upMm < 0 ? 'down' : 'up'}`;
}

/** Eighths of a turn as a person says them: "3/8 of a turn", "1 turn", "1 1/4 turns". */
export function turnsOf(eighths: number): string {
  const n = Math.abs(Math.round(eighths));
  const whole = Math.floor(n / 8);
  let top = n % 8;
  let bottom = 8;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  if (top === 0) return whole === 1 ? '1 turn' : `${whole} turns`;
  if (whole === 0) return top === 1 && bottom === 2 ? 'half a turn' : `${top}/${bottom} of a turn`;
  return `${whole} ${top}/${bottom} turns`;
}

/** Exposure time as a photographer writes it: "1/60 s", "2 s". */
export function exposure(seconds: number): string {
  return seconds >= 0.4 ? `${Number(fixed(seconds, 1))} s` : `1/${Math.round(1 / seconds)} s`;
}
