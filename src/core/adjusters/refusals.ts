import { pctText } from '../uncertainty/words.ts';
import type { AimChange } from './effects.ts';
import type { TurnsAdvice } from './lamp-mechanics.ts';

/** When there is no advice to give, and why. */

/** The most that adjusters are made for: lamps are built to be aimed over about 4 deg (from memory), 7 %. */
const LARGEST_CHANGE_PCT = 7;
/** 7 % on a lever of 150 mm is 10.5 mm of travel. */
const LARGEST_TRAVEL_MM = 10;
/** About 10 mm of travel on the finest common thread, 0.7 mm. */
const LARGEST_TURNS = 15;

export const NO_READING: TurnsAdvice = {
  kind: 'refused',
  why: 'no-reading',
  detail: 'Without a measured height of the beam there is nothing to turn towards.',
};

export function noScrews(): TurnsAdvice {
  return {
    kind: 'refused',
    why: 'no-screws',
    detail:
      'No adjusting screw is given for this lamp. Bring the edge to the target line by whatever moves it.',
  };
}

/** A change larger than adjusters are made for; null when it is not. */
export function refuseLargeChange({ dropPct, offsetPct }: AimChange): TurnsAdvice | null {
  const size = Math.max(Math.abs(dropPct), Math.abs(offsetPct));
  if (size <= LARGEST_CHANGE_PCT) return null;
  return {
    kind: 'refused',
    why: 'travel',
    detail: `The beam is ${pctText(size)} off, more than adjusters are made for (${pctText(LARGEST_CHANGE_PCT)}). Look for a bulb not seated, a lamp not home in its seat, or a wrong number.`,
  };
}

/**
 * More turns or travel than an adjuster has; null when none is.
 * @param exact signed turns, one for each screw.
 */
export function refuseTravel(
  screws: readonly { readonly name: string; readonly pitchMm: number | null }[],
  exact: readonly number[],
): TurnsAdvice | null {
  for (const [i, { name, pitchMm }] of screws.entries()) {
    const turns = Math.abs(exact[i]!);
    const travelMm = pitchMm === null ? 0 : turns * pitchMm;
    if (turns <= LARGEST_TURNS && travelMm <= LARGEST_TRAVEL_MM) continue;
    const travel = pitchMm === null ? '' : `, ${travelMm.toFixed(1)} mm of travel`;
    return {
      kind: 'refused',
      why: 'travel',
      detail: `Screw "${name}" would take ${turns.toFixed(1)} turns${travel}; more than ${LARGEST_TURNS} turns or ${LARGEST_TRAVEL_MM} mm points to something else: a bulb not seated, a lamp not home in its seat, or a wrong measure of the supports.`,
    };
  }
  return null;
}
