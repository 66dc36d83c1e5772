import { MM_PER_FOOT, MM_PER_INCH } from '../../units.ts';
import type { Band, SchemeRow } from '../scheme.ts';

/** Parts that many rows share, so that a table reads as its figures. */

type Height = SchemeRow['height'];

export const ANY_HEIGHT: Height = {
  overMm: 0,
  overInclusive: true,
  upToMm: Number.POSITIVE_INFINITY,
  upToInclusive: true,
};

/** Up to and with `mm`. */
export function upTo(mm: number): Height {
  return { ...ANY_HEIGHT, upToMm: mm };
}

/** Below, not with, `mm`. */
export function below(mm: number): Height {
  return { ...ANY_HEIGHT, upToMm: mm, upToInclusive: false };
}

/** Above, not with, `mm`. */
export function above(mm: number): Height {
  return { ...ANY_HEIGHT, overMm: mm, overInclusive: false };
}

/** From and with `fromMm` up to and with `toMm`. */
export function between(fromMm: number, toMm: number): Height {
  return { overMm: fromMm, overInclusive: true, upToMm: toMm, upToInclusive: true };
}

/** Above, not with, `overMm` up to and with `toMm`. */
export function aboveUpTo(overMm: number, toMm: number): Height {
  return { overMm, overInclusive: false, upToMm: toMm, upToInclusive: true };
}

/** Limits in per cent; drops + down, offsets + right. */
export function band(minPct: number | null, maxPct: number | null): Band {
  return { minPct, maxPct };
}

/** No limit either way: an aim without a tolerance, or a figure that we do not hold. */
export const NO_LIMITS: Band = { minPct: null, maxPct: null };

export const FAR = { kind: 'far' } as const;

/** The US board: 25 ft = 7620 mm (standards' row US-17). */
export const BOARD_25_FT = { kind: 'board', distanceMm: 25 * MM_PER_FOOT } as const;

/** Inches on a board 25 ft (300 in) away, in per cent: 4 in is 1.33333 %. */
export function pctFromInchesAt25Ft(inches: number): number {
  return (100 * inches * MM_PER_INCH) / BOARD_25_FT.distanceMm;
}
