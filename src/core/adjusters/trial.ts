import { InputError } from '../errors.ts';
import { combine, difference, type Estimate, expandedUncertainty } from '../uncertainty/estimate.ts';
import type { KnownScrew } from './turns.ts';

/** One reading of the same lamp, per cent; null what was not read. */
export interface TrialReading {
  readonly dropPct: Estimate;
  readonly offsetPct: Estimate | null;
}

/** What one turn clockwise did, per cent per turn. */
export interface TrialEffect {
  readonly dropPct: Estimate;
  readonly offsetPct: Estimate | null;
}

/**
 * What a trial turn tells of its screw. The bay's errors stand in both readings and cancel; only the noise of the two
 * shots is left.
 *
 * @param turns signed turns made between the two, + clockwise as seen from the screwdriver.
 * @throws InputError when no turn was made.
 */
export function effectFromTrial(before: TrialReading, after: TrialReading, turns: number): TrialEffect {
  if (!Number.isFinite(turns) || turns === 0)
    throw new InputError('turns', 'how far the screw was turned, not 0', turns);
  const perTurn = (a: Estimate, b: Estimate): Estimate =>
    combine([{ weight: 1 / turns, of: difference(a, b) }]);
  return {
    dropPct: perTurn(after.dropPct, before.dropPct),
    offsetPct:
      before.offsetPct === null || after.offsetPct === null
        ? null
        : perTurn(after.offsetPct, before.offsetPct),
  };
}

/**
 * A screw learnt by trial, ready for `adviseFromEffects`; null when the trial moved the beam by no more than its own U
 * both ways, so that it told nothing.
 */
export function screwFromTrial(
  screw: { readonly name: string; readonly drivenFrom: 'front' | 'rear' },
  effect: TrialEffect,
): KnownScrew | null {
  const tells = (e: Estimate | null): boolean => e !== null && Math.abs(e.value) > expandedUncertainty(e);
  if (!tells(effect.dropPct) && !tells(effect.offsetPct)) return null;
  return {
    name: screw.name,
    drivenFrom: screw.drivenFrom,
    pitchMm: null,
    perTurn: { dropPct: effect.dropPct.value, offsetPct: effect.offsetPct?.value ?? 0 },
  };
}
