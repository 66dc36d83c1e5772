/** What trial turns taught about a lamp's screws, and the turns that follow from it. */
import type { TurnsAdvice } from '../core/adjusters/lamp-mechanics.ts';
import { boardAim } from '../core/adjusters/target-line.ts';
import { effectFromTrial, screwFromTrial, type TrialReading } from '../core/adjusters/trial.ts';
import { adviseFromEffects, type KnownScrew } from '../core/adjusters/turns.ts';
import { InputError } from '../core/errors.ts';
import { type Estimate, expandedUncertainty, standardUncertainty } from '../core/uncertainty/estimate.ts';
import type { JobLamp } from '../job/job.ts';
import type { JobResult, ReadShot } from '../job/result.ts';
import { dropWithU, offsetWithU, roundWithU, turnsOf } from './format.ts';

/** One screw turned between two shots of the same lamp. */
export interface Trial {
  readonly screw: string;
  /** + clockwise, as seen from the screwdriver. */
  readonly turns: number;
  readonly before: string;
  readonly after: string;
}

export interface TrialOutcome {
  /** A sentence per trial: what one turn does. */
  readonly learnt: readonly string[];
  readonly advice: TurnsAdvice;
}

/**
 * What the screws do, and the turns to the aim from the last shot of the last trial.
 * @throws InputError for a shot that is not there, was not read, or is of another lamp.
 */
export function adviceFromTrials(lamp: JobLamp, result: JobResult, trials: readonly Trial[]): TrialOutcome {
  const learnt: string[] = [];
  const known: KnownScrew[] = [];
  for (const trial of trials) {
    const effect = effectFromTrial(
      readingOf(shotOf(result, lamp, trial.before)),
      readingOf(shotOf(result, lamp, trial.after)),
      trial.turns,
    );
    const screw = screwFromTrial({ name: trial.screw, drivenFrom: drivenFrom(lamp, trial.screw) }, effect);
    if (screw === null) {
      learnt.push(
        `${trial.screw}: ${turnsOf(8 * trial.turns)} moved the beam by no more than the doubt of the two photos. Try a larger turn.`,
      );
      continue;
    }
    known.push(screw);
    const moves = [
      moved(effect.dropPct, dropWithU, 'not up or down'),
      effect.offsetPct === null ? null : moved(effect.offsetPct, offsetWithU, 'not sideways'),
    ].filter((m) => m !== null);
    learnt.push(`${trial.screw}: one turn clockwise moves the beam ${moves.join(', ')}.`);
  }
  const last = trials.at(-1);
  if (last === undefined) throw new InputError('trials', 'at least one trial turn', trials);
  const now = shotOf(result, lamp, last.after);
  return { learnt, advice: adviseFrom(now, known) };
}

/** A change in words; one within its own doubt is said to be none. */
function moved(change: Estimate, words: (value: number, U: number) => string, none: string): string {
  const U = expandedUncertainty(change);
  return Math.abs(change.value) > U
    ? words(change.value, U)
    : `${none} as far as can be told (± ${roundWithU(0, U).U} %)`;
}

function adviseFrom(now: ReadShot, known: readonly KnownScrew[]): TurnsAdvice {
  const { aim } = now;
  if (aim == null || aim.kind !== 'shared')
    return {
      kind: 'refused',
      why: 'no-reading',
      detail: aim?.why ?? 'No scheme gives an aim for this lamp.',
    };
  const reading = readingOf(now);
  const wanted = boardAim({
    target: aim,
    place: aim.place,
    band: aim.dropBand,
    farShiftPct: aim.farShiftPct,
    uDropPct: standardUncertainty(reading.dropPct),
  });
  return adviseFromEffects(known, reading, wanted);
}

function shotOf(result: JobResult, lamp: JobLamp, id: string): ReadShot {
  const shot = result.shots.find((s) => s.shot === id);
  if (shot === undefined) throw new InputError('trial', 'the id of a shot in the job', id);
  if (shot.lamp !== lamp.id) throw new InputError('trial', `a shot of ${lamp.id}`, `${id}, of ${shot.lamp}`);
  if (shot.state === 'unread')
    throw new InputError('trial', 'a shot that can be read', `${id}: ${shot.detail}`);
  return shot;
}

function readingOf(shot: ReadShot): TrialReading & { readonly dropPct: Estimate } {
  if (shot.dropPct !== null) return { dropPct: shot.dropPct, offsetPct: shot.offsetPct };
  if (shot.hotSpot !== null) return shot.hotSpot;
  throw new InputError('trial', 'a shot with an edge or a hot spot', shot.shot);
}

function drivenFrom(lamp: JobLamp, name: string): 'front' | 'rear' {
  const { mechanics } = lamp;
  if (mechanics?.kind === 'screws')
    return mechanics.screws.find((s) => s.name === name)?.drivenFrom ?? 'front';
  if (mechanics?.kind === 'supports')
    for (const s of mechanics.supports) if (s.kind === 'screw' && s.name === name) return s.drivenFrom;
  return 'front';
}
