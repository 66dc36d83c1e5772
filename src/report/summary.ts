/** What is said of one reading, sentence by sentence: the one source for the terminal, the picture and the page. */
import { expandedUncertainty } from '../core/uncertainty/estimate.ts';
import type { Job, JobLamp } from '../job/job.ts';
import type { ReadShot, ShotResult } from '../job/result.ts';
import * as format from './format.ts';
import { mainPlace } from './main-place.ts';
import { markPlaceOf } from './picture/frame.ts';
import { lampWord, sideWord, type Voice } from './words.ts';

/** How this job's person is spoken to. */
export function voiceOf(job: Pick<Job, 'words' | 'units' | 'trafficSide'>): Voice {
  return { words: job.words, units: job.units, trafficSide: job.trafficSide };
}

/** The lamp of a shot; null when the job no longer holds it. */
export function lampOf(job: Pick<Job, 'lamps'>, shot: Pick<ShotResult, 'lamp'>): JobLamp | null {
  return job.lamps.find((l) => l.id === shot.lamp) ?? null;
}

/** "Left dipped beam (nearside)": the person's own title, or side and function in their words. */
export function lampTitle(job: Job, shot: Pick<ShotResult, 'lamp'>): string {
  const lamp = lampOf(job, shot);
  if (lamp === null) return shot.lamp;
  const plain = lamp.title === lamp.id || lamp.title === '' ? lampPlain(job, lamp) : lamp.title;
  return plain.charAt(0).toUpperCase() + plain.slice(1);
}

function lampPlain(job: Job, lamp: JobLamp): string {
  const side = lamp.side === 'centre' ? '' : `${lamp.side} `;
  return `${side}${lampWord(lamp.function, job.words)}`;
}

/** "nearside", "driver's side", or null in the middle. */
export function sideNote(job: Job, shot: Pick<ShotResult, 'lamp'>): string | null {
  const lamp = lampOf(job, shot);
  if (lamp === null || lamp.side === 'centre') return null;
  return /\((.*)\)/.exec(sideWord(lamp.side, voiceOf(job)))?.[1] ?? null;
}

const U = expandedUncertainty;

/** What the main figure is called: "Drop", "Edge" when it stands above the lamp's centre, or "Hot spot". */
export function dropLabel(shot: ReadShot): string {
  if (shot.dropPct === null) return 'Hot spot';
  return format.roundWithU(shot.dropPct.value, U(shot.dropPct)).number < 0 ? 'Edge' : 'Drop';
}

/** Drop as read on the board, and the same on the tape; null when the beam gave none. */
export function dropLine(shot: ReadShot): string | null {
  const reading = shot.dropPct ?? shot.hotSpot?.dropPct ?? null;
  return reading === null ? null : format.dropWithU(reading.value, U(reading));
}

/** "The edge is 30 ± 12 mm below the centre mark." */
export function tapeLine(shot: ReadShot, voice: Voice): string | null {
  const main = mainPlace(shot);
  if (main === null) return null;
  const above = markPlaceOf(shot.view, main.drop.value, main.offsetPct).aboveMm;
  const spread = (U(main.drop) * shot.view.distanceMm) / 100;
  const way = above < 0 ? 'below' : 'above';
  return `The ${main.what} is ${format.onTapeWithU(above, spread, voice.units)} ${way} the centre mark.`;
}

/** Sideways place of the elbow, or of the hot spot where there is no elbow; null when neither was found. */
export function offsetLine(shot: ReadShot): { readonly what: string; readonly text: string } | null {
  if (shot.offsetPct !== null)
    return { what: 'elbow', text: format.offsetWithU(shot.offsetPct.value, U(shot.offsetPct)) };
  if (shot.hotSpot !== null && shot.dropPct === null)
    return {
      what: 'hot spot',
      text: format.offsetWithU(shot.hotSpot.offsetPct.value, U(shot.hotSpot.offsetPct)),
    };
  return null;
}

/** The hot spot's place where the edge is the main thing: "1.72 ± 0.22 % down, 2.00 ± 0.18 % to the left". */
export function hotSpotLine(shot: ReadShot): string | null {
  if (shot.dropPct === null || shot.hotSpot === null) return null;
  const { dropPct, offsetPct } = shot.hotSpot;
  return `${format.dropWithU(dropPct.value, U(dropPct))}, ${format.offsetWithU(offsetPct.value, U(offsetPct))}`;
}

/** Why no elbow is reported, for a beam that has a cut-off; null when there is one or none is expected. */
export function noElbowLine(shot: ReadShot): string | null {
  if (shot.beam.found !== 'cut-off' || shot.beam.elbow.found) return null;
  return {
    'flat-beam': 'none: the edge is flat, so this beam has no sideways aim to read',
    'outside-board': 'not on the board: move the board or turn the photo so that it shows',
    'too-vague': 'too vague to place',
  }[shot.beam.elbow.why];
}

/** What an instrument with a lens would see, as an interval; null when near field moves nothing that shows. */
export function farLine(shot: ReadShot): string | null {
  if (shot.dropPct === null) return null;
  const { min, max } = shot.farShiftPct;
  if (max - min < 0.01 && Math.abs(max) < 0.01) return null;
  const spread = U(shot.dropPct);
  const interval = format.dropInterval(shot.dropPct.value + min - spread, shot.dropPct.value + max + spread);
  const likely = shot.farAim?.dropPct ?? null;
  return likely === null ? interval : `${interval}, most likely ${format.drop(likely.value, 1)}`;
}

/** The edge lies inside a band that is proven to be within: nothing has to be turned. */
export function mayStay(shot: ReadShot): boolean {
  return (
    shot.target !== null &&
    shot.target.halfWidthMeans === 'tolerance' &&
    Math.abs(shot.target.moveMm) <= shot.target.halfWidthMm
  );
}

/** Said before turns that are not needed. */
export const ONLY_IF_WANTED = 'Nothing has to be turned. To come nearer to the best place:';

/** "Bring the edge to 51 mm below the centre mark: 21 mm down from where it is." */
export function targetLine(shot: ReadShot, voice: Voice): string | null {
  if (shot.target === null) return null;
  const what = mainPlace(shot)?.what ?? 'edge';
  const { aboveCentreMm, halfWidthMm, moveMm } = shot.target;
  const place = format.fromCentreMark(aboveCentreMm, voice.units);
  const half = format.onTape(halfWidthMm, voice.units);
  const sure =
    shot.target.halfWidthMeans === 'tolerance' ? `, give or take ${half}` : ` (itself sure to ${half})`;
  const give = halfWidthMm >= 1 ? sure : '';
  const move = format.moveUpDown(moveMm, voice.units);
  if (mayStay(shot) && move !== 'no further')
    return `The ${what} may stay where it is. The best place is ${place}${give}: ${move} from here.`;
  if (shot.turns?.kind === 'leave' && move !== 'no further')
    return `The best place for the ${what} would be ${place}${give}; it is ${format.onTape(moveMm, voice.units)} from there.`;
  return move === 'no further'
    ? `The ${what} is where it should be: ${place}${give}.`
    : `Bring the ${what} to ${place.startsWith('level') ? 'a line ' : ''}${place}${give}: ${move} from where it is.`;
}

/** How the aim was chosen, or why there is none; null when no scheme was chosen. */
export function aimLine(shot: ReadShot): string | null {
  if (shot.aim == null) return null;
  const { why } = shot.aim;
  if (shot.aim.kind === 'shared') return `Why there: ${why.charAt(0).toLowerCase()}${why.slice(1)}`;
  return `No line to bring it to: ${why}`;
}

/** "Bring the elbow to 7 mm left of the centre mark."; null when no scheme asks for it. */
export function sidewaysTargetLine(shot: ReadShot, voice: Voice): string | null {
  if (shot.target?.rightOfCentreMm == null || shot.offsetPct === null) return null;
  if (shot.turns?.kind === 'leave') return null;
  return `Bring the elbow to ${format.besideCentreMark(shot.target.rightOfCentreMm, voice.units)}.`;
}

/** How a shot was exposed, for the small print; null when the file does not say. */
export function exposureLine(shot: ShotResult): string | null {
  if (shot.facts === null) return null;
  const { exposureS, fNumber, iso } = shot.facts;
  const parts = [
    exposureS === null ? null : format.exposure(exposureS),
    fNumber === null ? null : `f/${format.limitNumber(fNumber)}`,
    iso === null ? null : `ISO ${Math.round(iso)}`,
  ].filter((p) => p !== null);
  return parts.length === 0 ? null : parts.join(', ');
}
