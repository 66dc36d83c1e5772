import { pctText } from '../uncertainty/words.ts';
import { degFromPct } from '../units.ts';
import type { AimChange, ScrewLever } from './effects.ts';
import type { NamedScrew, ScrewTurn, TurnsAdvice } from './lamp-mechanics.ts';
import { solveAmounts } from './solve-turns.ts';

/** Advice where what a screw does is not known yet: one trial turn, then another photo. */

const FULL_TURN_EIGHTHS = 8;
/** A screw that has less than a tenth of the largest travel to make is left out of trials. */
const WORTH_TRYING = 0.1;

const TRIAL_NOTES = [
  'Mark where the screw stands, so that you can turn it back.',
  'Turn it clockwise as you look at it along the screwdriver, then photograph the lamp again and type in the turn: the change says what this screw does.',
  'If the beam goes the wrong way, the same turn back puts it where it was.',
  'Never force a seized screw: let oil creep in, and wait.',
] as const;

/**
 * The screw with the longest way to go whose thread or direction is not known.
 * @returns null when all that must move are known; `refused` when no amounts can be told at all.
 */
export function screwToTry(
  levers: readonly ScrewLever[],
  change: AimChange,
): { readonly lever: ScrewLever; readonly travelMm: number } | { readonly refused: TurnsAdvice } | null {
  if (levers.every(isKnown)) return null;
  const solved = solveAmounts(
    levers.map((l) => l.perMm),
    change,
  );
  if (solved.kind === 'near-singular')
    return { refused: { kind: 'refused', why: 'near-singular', detail: solved.detail } };
  const travels = levers
    .map((lever, i) => ({ lever, travelMm: Math.abs(solved.amounts[i]!) }))
    .toSorted((a, b) => b.travelMm - a.travelMm);
  const longest = travels[0]!.travelMm;
  const worth = travels.filter((t) => t.travelMm >= WORTH_TRYING * longest);
  return worth.find((t) => !isKnown(t.lever)) ?? null;
}

/** Whether thread and direction of a screw are known. */
export function isKnown({ screw }: ScrewLever): boolean {
  return screw.pitchMm !== null && screw.pitchMm > 0 && screw.clockwise !== 'unknown';
}

/** One trial with a screw of known place: as far as it may have to go when the thread is known, else a full turn. */
export function tryLever({ screw }: ScrewLever, travelMm: number): TurnsAdvice {
  const eighths =
    screw.pitchMm === null || !(screw.pitchMm > 0)
      ? FULL_TURN_EIGHTHS
      : Math.min(FULL_TURN_EIGHTHS, Math.max(1, Math.round((8 * travelMm) / screw.pitchMm)));
  return { kind: 'try', step: trialStep(screw, eighths), notes: TRIAL_NOTES };
}

/** One trial with a screw known by name only: the one said to move what is most out, a full turn. */
export function tryNamed(screws: readonly NamedScrew[], change: AimChange): TurnsAdvice {
  const main = Math.abs(change.dropPct) >= Math.abs(change.offsetPct) ? 'vertical' : 'horizontal';
  const order = [main, 'both', 'unknown'];
  const best = screws.toSorted((a, b) => rank(order, a.moves) - rank(order, b.moves))[0]!;
  return { kind: 'try', step: trialStep(best, FULL_TURN_EIGHTHS), notes: TRIAL_NOTES };
}

/** A lamp that is slackened, tilted by hand and tightened. */
export function tiltAdvice({ dropPct, offsetPct }: AimChange): TurnsAdvice {
  const notes = [
    `Slacken the fixing just enough to move the lamp by hand. Tilt it ${dropPct > 0 ? 'down' : 'up'} until the edge on the board stands on the target line: ${pctText(Math.abs(dropPct))}, or ${degFromPct(Math.abs(dropPct)).toFixed(2)} deg.`,
  ];
  if (offsetPct !== 0)
    notes.push(
      `Turn it ${pctText(Math.abs(offsetPct))} to the ${offsetPct > 0 ? 'right' : 'left'} at the same time.`,
    );
  notes.push(
    'Tighten a little at a time and watch the edge: tightening often moves it. Then photograph the lamp again.',
  );
  return { kind: 'tilt', notes };
}

function rank(order: readonly string[], moves: string): number {
  const at = order.indexOf(moves);
  return at < 0 ? order.length : at;
}

function trialStep(screw: Pick<NamedScrew, 'name' | 'drivenFrom'>, eighths: number): ScrewTurn {
  return {
    screw: screw.name,
    drivenFrom: screw.drivenFrom,
    direction: 'try',
    eighths,
    exactTurns: eighths / 8,
    // Not known yet: that is what the trial is for.
    effect: { dropPct: 0, offsetPct: 0 },
  };
}
