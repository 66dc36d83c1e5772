import { conformanceProbability } from '../uncertainty/conformance.ts';
import { type Estimate, expandedUncertainty, standardUncertainty } from '../uncertainty/estimate.ts';
import type { Measured } from './measurand.ts';
import type { Band } from './scheme.ts';

/** What a pair of limits says of one measured thing. */
export interface LimitsJudged {
  readonly outcome: 'within' | 'below-min' | 'above-max' | 'too-close';
  /** Probability of lying inside, at the end of the near-field interval that speaks most against it. */
  readonly insideAtWorst: number;
  /** The same at the end that speaks most for it. */
  readonly insideAtBest: number;
  readonly nearest: 'min' | 'max';
  /** The estimate that stands against the nearest limit. */
  readonly doubted: Estimate;
  /** True when limits lie so close together that no value could be proven inside them. */
  readonly bandTooNarrow: boolean;
}

/** Slack for sums of decimal figures: far below anything that is measured. */
const ROUNDING_PCT = 1e-9;

/**
 * Decides with a guard band of U (k = 2) on both sides, at both ends of the near-field interval: inside only when
 * value ± U is inside at both, outside only when value ± U is outside the same limit at both.
 *
 * The dazzle limit is a row's smallest drop. The smallest correction leaves the drop smallest, so it is the one that
 * the dazzle limit is held against; the largest is held against the limit for too low.
 *
 * @param limits at least one of them is not null.
 * @see JCGM 106:2012, 8.3 (guard bands); ISO 14253-1 (same rule, standards' row MET-3).
 */
export function judgeLimits(measured: Measured, limits: Band): LimitsJudged {
  const { forMin, forMax, shift } = measured;
  const { minPct: min, maxPct: max } = limits;
  const uMin = expandedUncertainty(forMin);
  const uMax = expandedUncertainty(forMax);
  // Signed room left over beyond U: above 0 proves it.
  const roomToMin = min === null ? Infinity : forMin.value + shift.min - uMin - min + ROUNDING_PCT;
  const roomToMax = max === null ? Infinity : max - (forMax.value + shift.max) - uMax + ROUNDING_PCT;
  const surelyBelow = min !== null && forMin.value + shift.max + uMin < min - ROUNDING_PCT;
  const surelyAbove = max !== null && forMax.value + shift.min - uMax > max + ROUNDING_PCT;

  const inside = (s: number): number => {
    const low = conformanceProbability(forMin.value + s, standardUncertainty(forMin), {
      min: min === null ? null : min - ROUNDING_PCT,
      max: null,
    });
    const high = conformanceProbability(forMax.value + s, standardUncertainty(forMax), {
      min: null,
      max: max === null ? null : max + ROUNDING_PCT,
    });
    return Math.max(0, low + high - 1);
  };
  const ends = [inside(shift.min), inside(shift.max)];
  const nearest = roomToMin <= roomToMax ? 'min' : 'max';
  return {
    outcome:
      roomToMin >= 0 && roomToMax >= 0
        ? 'within'
        : surelyBelow
          ? 'below-min'
          : surelyAbove
            ? 'above-max'
            : 'too-close',
    insideAtWorst: Math.min(...ends),
    insideAtBest: Math.max(...ends),
    nearest,
    doubted: nearest === 'min' ? forMin : forMax,
    bandTooNarrow: min !== null && max !== null && max - min < uMin + uMax + shift.max - shift.min,
  };
}
