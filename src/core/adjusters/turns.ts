import { type Estimate, expandedUncertainty, standardUncertainty } from '../uncertainty/estimate.ts';
import { pctText } from '../uncertainty/words.ts';
import { type AimChange, type ScrewLever, supportEffects } from './effects.ts';
import type { LampMechanics, ScrewTurn, TurnsAdvice } from './lamp-mechanics.ts';
import { NO_READING, noScrews, refuseLargeChange, refuseTravel } from './refusals.ts';
import { roundToEighths, solveAmounts, sumOf } from './solve-turns.ts';
import { isKnown, screwToTry, tiltAdvice, tryLever, tryNamed } from './try-turn.ts';

/** The aim as read, per cent; drop + down, offset + right; null what was not read. */
export interface AimNow {
  readonly dropPct: Estimate | null;
  readonly offsetPct: Estimate | null;
}

/** The aim wanted, in the same place as the reading (both on this board, or both far). */
export interface AimWanted {
  readonly dropPct: number;
  /** null: leave the sideways aim as it is. */
  readonly offsetPct: number | null;
}

export interface TurnsOptions {
  /** With three screws and no pivot: the name of one to leave alone. Left out: the least movement of all three. */
  readonly leaveAlone?: string;
}

/** A screw whose effect is known: per cent for one turn clockwise as seen from the screwdriver. */
export interface KnownScrew {
  readonly name: string;
  readonly drivenFrom: 'front' | 'rear';
  readonly perTurn: AimChange;
  /** Thread pitch, to check the travel; null when not known. */
  readonly pitchMm: number | null;
}

/** A hand turns a screwdriver to within a sixteenth of a turn, evenly spread over that interval. */
const TURN_ERROR = 1 / 16;

/**
 * Which screw to turn, which way and how far, to bring the aim from where it was read to where it is wanted.
 *
 * The aim is left alone when it is as near as a sixteenth of a turn or the reading can tell: within U (k = 2) when the
 * beam stands too low, but only within u (k = 1) when it stands too high, since high dazzles. A sideways error
 * within its own U is not chased. Turns above 15, travel above 10 mm or a change above 7 % are refused: then something
 * else is wrong.
 *
 * @param now the reading; without a drop there is no advice.
 * @returns advice; `expected` counts the turning error (± 1/16 turn, rectangular) and the reading's own uncertainty. Without a
 *   sideways reading `expected.offsetPct` is the change alone.
 * @see JCGM 100:2008, 4.3.7 (rectangular distribution).
 */
export function adviseTurns(
  mechanics: LampMechanics,
  now: AimNow,
  wanted: AimWanted,
  options: TurnsOptions = {},
): TurnsAdvice {
  if (now.dropPct === null) return NO_READING;
  const change = wantedChange(now, wanted);
  const tooFar = refuseLargeChange(change);
  if (tooFar !== null) return tooFar;

  if (mechanics.kind === 'slacken-and-tilt')
    return isNearEnough(now, wanted, null) ? leave(now, wanted) : tiltAdvice(change);
  if (mechanics.kind === 'screws') {
    if (mechanics.screws.length === 0) return noScrews();
    return isNearEnough(now, wanted, null) ? leave(now, wanted) : tryNamed(mechanics.screws, change);
  }

  const effects = supportEffects(mechanics.supports);
  if (effects.kind === 'refused') return effects;
  const used = effects.levers.filter(({ screw }) => screw.name !== options.leaveAlone);
  const unknown = screwToTry(used, change);
  if (unknown !== null && 'refused' in unknown) return unknown.refused;
  if (unknown !== null) {
    if (isNearEnough(now, wanted, null)) return leave(now, wanted);
    return tryLever(unknown.lever, unknown.travelMm);
  }
  // Screws that are not needed may still be unknown: they stay out of it.
  const known = used.filter(isKnown).map(knownScrew);
  return adviseFromEffects(known, now, wanted);
}

/**
 * The same from known effects of the screws, measured by trial turns or worked out from supports.
 * @param screws one, two or three.
 */
export function adviseFromEffects(
  screws: readonly KnownScrew[],
  now: AimNow,
  wanted: AimWanted,
): TurnsAdvice {
  if (screws.length === 0) return noScrews();
  if (now.dropPct === null) return NO_READING;
  const change = wantedChange(now, wanted);
  const tooFar = refuseLargeChange(change);
  if (tooFar !== null) return tooFar;
  if (isNearEnough(now, wanted, screws)) return leave(now, wanted);

  const perTurn = screws.map((s) => s.perTurn);
  const solved = solveAmounts(perTurn, change);
  if (solved.kind === 'near-singular')
    return { kind: 'refused', why: 'near-singular', detail: solved.detail };
  const exact = solved.amounts;
  const tooMuch = refuseTravel(screws, exact);
  if (tooMuch !== null) return tooMuch;

  const eighths = roundToEighths(exact, perTurn);
  const steps = screws
    .map((screw, i) => stepOf(screw, exact[i]!, eighths[i]!))
    .filter((step) => step !== null)
    // Height last: sideways turns may still shift it, and it is the one that dazzles.
    .sort((a, b) => Math.abs(a.effect.dropPct) - Math.abs(b.effect.dropPct));
  if (steps.length === 0)
    return {
      kind: 'leave',
      why: 'The aim is off by less than a sixteenth of a turn, finer than a hand can set.',
    };
  return {
    kind: 'turn',
    steps,
    expected: expectedAfter(now, screws, eighths),
    notes: notesFor(steps, screws, change, now),
  };
}

function leave(now: AimNow, wanted: AimWanted): TurnsAdvice {
  const off = Math.abs(wanted.dropPct - now.dropPct!.value);
  const U = expandedUncertainty(now.dropPct!);
  return {
    kind: 'leave',
    why: `The beam is ${pctText(off)} from where it should be, and the reading is sure to ${pctText(U)}: nothing that a screwdriver could better for certain.`,
  };
}

function wantedChange(now: AimNow, wanted: AimWanted): AimChange {
  const sideways =
    now.offsetPct === null || wanted.offsetPct === null ? 0 : wanted.offsetPct - now.offsetPct.value;
  const noise = now.offsetPct === null ? 0 : expandedUncertainty(now.offsetPct);
  return {
    dropPct: wanted.dropPct - now.dropPct!.value,
    offsetPct: Math.abs(sideways) <= noise ? 0 : sideways,
  };
}

/** Whether what is left is below what the reading, or a sixteenth of a turn, can tell. */
function isNearEnough(now: AimNow, wanted: AimWanted, screws: readonly KnownScrew[] | null): boolean {
  const change = wantedChange(now, wanted);
  // The screw that moves it most decides how finely it can be set.
  const finest = (pick: (c: AimChange) => number): number =>
    screws === null ? 0 : TURN_ERROR * Math.max(...screws.map((s) => Math.abs(pick(s.perTurn))));
  const mustGoDown = change.dropPct > 0;
  const sure = mustGoDown ? standardUncertainty(now.dropPct!) : expandedUncertainty(now.dropPct!);
  // One screw can do nothing about the sideways aim, so it does not count.
  const offsetLeft = screws?.length === 1 ? 0 : Math.abs(change.offsetPct);
  return (
    Math.abs(change.dropPct) <=
      Math.max(
        sure,
        finest((c) => c.dropPct),
      ) && offsetLeft <= finest((c) => c.offsetPct)
  );
}

function stepOf(screw: KnownScrew, exactTurns: number, eighths: number): ScrewTurn | null {
  if (eighths === 0) return null;
  return {
    screw: screw.name,
    drivenFrom: screw.drivenFrom,
    direction: eighths > 0 ? 'clockwise' : 'anticlockwise',
    eighths: Math.abs(eighths),
    exactTurns,
    effect: sumOf([screw.perTurn], [eighths / 8]),
  };
}

function expectedAfter(
  now: AimNow,
  screws: readonly KnownScrew[],
  eighths: readonly number[],
): Extract<TurnsAdvice, { kind: 'turn' }>['expected'] {
  const change = sumOf(
    screws.map((s) => s.perTurn),
    eighths.map((e) => e / 8),
  );
  const uTurn = TURN_ERROR / Math.sqrt(3);
  const spread = (pick: (c: AimChange) => number, reading: Estimate | null): number => {
    const turned = screws.filter((_, i) => eighths[i] !== 0).map((s) => uTurn * pick(s.perTurn));
    return Math.hypot(reading === null ? 0 : standardUncertainty(reading), ...turned);
  };
  return {
    dropPct: now.dropPct!.value + change.dropPct,
    offsetPct: (now.offsetPct?.value ?? 0) + change.offsetPct,
    uDropPct: spread((c) => c.dropPct, now.dropPct),
    uOffsetPct: spread((c) => c.offsetPct, now.offsetPct),
  };
}

const SHOOT_AGAIN = 'Then photograph the lamp again: the next reading tells, not the count of turns.';
const SEIZED = 'Never force a seized screw: let oil creep in, and wait.';

function notesFor(
  steps: readonly ScrewTurn[],
  screws: readonly KnownScrew[],
  change: AimChange,
  now: AimNow,
): readonly string[] {
  const notes: string[] = [];
  if (steps.some((s) => s.direction === 'anticlockwise'))
    notes.push(
      'Anticlockwise: go a quarter of a turn too far, then come back clockwise by that quarter, so that the screw ends against its spring and the slack is taken up (common practice, no source).',
    );
  if (screws.length === 1 && change.offsetPct !== 0)
    notes.push('One screw can only set the height: the sideways error stays.');
  if (now.offsetPct === null) notes.push('The sideways aim was not read: it is left as it is.');
  notes.push(SHOOT_AGAIN, SEIZED);
  return notes;
}

function knownScrew({ screw, perMm }: ScrewLever): KnownScrew {
  const perTurnMm = (screw.clockwise === 'forward' ? 1 : -1) * screw.pitchMm!;
  return {
    name: screw.name,
    drivenFrom: screw.drivenFrom,
    pitchMm: screw.pitchMm,
    perTurn: { dropPct: perMm.dropPct * perTurnMm, offsetPct: perMm.offsetPct * perTurnMm },
  };
}
