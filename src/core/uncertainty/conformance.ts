import { InputError } from '../errors.ts';
import { normalCdf } from './normal.ts';

/** Limits of a quantity, in its own unit; `null` = no limit that side. */
export interface Limits {
  readonly min: number | null;
  readonly max: number | null;
}

/**
 * Probability that the true value lies inside the limits, taking it as normal around the measured one.
 * With u = 0 it is 1 on or inside the limits and 0 outside.
 *
 * @param u standard uncertainty, 0 or above, in the value's unit.
 * @throws InputError when `u` is below 0 or not a number.
 * @see JCGM 106:2012, 7.2 to 7.4 (conformance probability, normal). Clause numbers from memory.
 */
export function conformanceProbability(value: number, u: number, limits: Limits): number {
  if (!(u >= 0)) throw new InputError('u', 'a standard uncertainty of 0 or more', u);
  const { min, max } = limits;
  if (u === 0) return (min === null || value >= min) && (max === null || value <= max) ? 1 : 0;
  // Taken as the two tails outside, so that a probability close to 1 loses no digits of what is missing.
  const below = min === null ? 0 : normalCdf((min - value) / u);
  const above = max === null ? 0 : normalCdf((value - max) / u);
  return Math.max(0, 1 - below - above);
}

/**
 * Where a measured value proves conformity: the limits moved inwards by U on both sides. `min > max` means that
 * nothing can be proven with this U.
 * @see JCGM 106:2012, 8.3.2 (guarded acceptance with guard band U); ISO 14253-1:2017, same rule.
 */
export function acceptanceLimits(limits: Limits, U: number): Limits {
  return moved(limits, U);
}

/**
 * Where a measured value proves non-conformity: outside the limits moved outwards by U.
 * @see JCGM 106:2012, 8.3.3 (guarded rejection).
 */
export function rejectionLimits(limits: Limits, U: number): Limits {
  return moved(limits, -U);
}

function moved(limits: Limits, inwards: number): Limits {
  return {
    min: limits.min === null ? null : limits.min + inwards,
    max: limits.max === null ? null : limits.max - inwards,
  };
}
