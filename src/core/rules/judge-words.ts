import { budget, expandedUncertainty } from '../uncertainty/estimate.ts';
import { causeWords, dropText, pctText } from '../uncertainty/words.ts';
import type { JudgeInput } from './judge-input.ts';
import { judgeLimits, type LimitsJudged } from './judge-limits.ts';
import { type Measured, measureForRow } from './measurand.ts';
import type { SchemeRow } from './scheme.ts';

/** The sentences that go with a verdict: why there is none, and what would settle one that is too close. */

/**
 * How close to a row's stated board distance a reading must be taken: near field moves the edge roughly with one over
 * the distance squared, so 3 % of distance is 6 % of the shift. That is 0.06 % of aim for a 170 mm lamp at 5 m,
 * below what a tape and a level leave open.
 */
const BOARD_DISTANCE_TOLERANCE = 0.03;

/** Whether a board stands as far off as a row says. */
export function isAtDistance(boardDistanceMm: number, wantedMm: number): boolean {
  return Math.abs(boardDistanceMm - wantedMm) <= BOARD_DISTANCE_TOLERANCE * wantedMm;
}

/** Why a row can't be judged from where the photo was taken, or for the side the beam rises to; null when it can. */
export function whyNotJudged(row: SchemeRow, input: JudgeInput): string | null {
  const { riseSide, trafficSide } = input;
  const ofCutOff = row.feature !== 'hot-spot-centre' && row.feature !== 'bright-zone-top-left';
  if (ofCutOff && (riseSide === 'left' || riseSide === 'right') && riseSide !== trafficSide)
    return `The edge rises to the ${riseSide}, towards oncoming traffic: this lamp is made for traffic that keeps ${riseSide}, and no setting of it can be right here.`;
  if (row.place.kind === 'board') {
    if (isAtDistance(input.boardDistanceMm, row.place.distanceMm)) return null;
    return `This figure holds on a board ${metres(row.place.distanceMm)} away, give or take 3 %; yours is at ${metres(input.boardDistanceMm)}, where the edge stands elsewhere.`;
  }
  if (input.farProvable || !isSmeared(row, input)) return null;
  const why = input.farWhy ?? 'so near, the size of the lamp smears the edge';
  return `Can't be proven from here: ${why}.${farAsItLooks(row, input)}`;
}

/** An evenly filled main beam keeps its hot spot in place from near; a stated shift is taken at its word. */
function isSmeared(row: SchemeRow, input: JudgeInput): boolean {
  if (row.feature !== 'hot-spot-centre') return true;
  return input.lamp.function !== 'driving' && input.hotSpot?.farShiftPct === undefined;
}

/** What can be said all the same, for a reading that proves nothing. */
function farAsItLooks(row: SchemeRow, input: JudgeInput): string {
  const { vertical } = measureForRow(row, input);
  if (vertical === null) return '';
  const { forMin, forMax, shift } = vertical;
  const U = expandedUncertainty(forMin);
  const range = ` From further off it would stand between ${dropText(forMin.value + shift.min)} and ${dropText(forMax.value + shift.max)}, each give or take ${pctText(U)}.`;
  if (!hasLimit(row.vertical)) return range;
  const { outcome } = judgeLimits(vertical, row.vertical);
  if (outcome === 'below-min') return `${range} All of that is too high: lower it.`;
  return outcome === 'above-max' ? `${range} All of that is too low.` : range;
}

/** What a row without limits has to say: how far the reading is from its figure, or that there is none. */
export function aimWithoutLimits(row: SchemeRow, measured: Measured | null): string {
  if (row.aimPct === null) return `We hold no figure for this.${row.note === null ? '' : ` ${row.note}`}`;
  const target = `This is one figure to set to, ${dropText(row.aimPct)}, without limits.`;
  if (measured === null) return target;
  const { forMin, shift } = measured;
  const from = forMin.value + shift.min - row.aimPct;
  const to = forMin.value + shift.max - row.aimPct;
  const lower = (pct: number): string => `${pctText(Math.abs(pct))} ${pct < 0 ? 'higher' : 'lower'}`;
  const away = shift.max > shift.min ? `between ${lower(from)} and ${lower(to)}` : lower(from);
  return `${target} Your reading is ${away}, give or take ${pctText(expandedUncertainty(forMin))}.`;
}

/** What would settle a verdict that is too close: another place, or the biggest cause made smaller. */
export function whatSettles(judged: LimitsJudged, { shift }: Measured): string {
  const nearField = (shift.max - shift.min) / 2;
  if (nearField > expandedUncertainty(judged.doubted))
    return `Photograph the beam from further off, or from two distances: so near, the size of the lamp leaves ${pctText(shift.max - shift.min)} open.`;
  const biggest = budget(judged.doubted)[0];
  if (biggest === undefined) return 'Move the aim further inside the limits.';
  const { what, shrink } = causeWords(biggest.cause);
  return `The biggest doubt is ${what}. ${shrink}`;
}

/** Why a reading whose doubt is wider than the band proves nothing, wherever in the band it lies. */
export function tooWideToProve(judged: LimitsJudged, measured: Measured, probability: number): string {
  const U = expandedUncertainty(judged.doubted);
  const near = measured.shift.max - measured.shift.min;
  const doubt =
    near > 0.005
      ? `give or take ${pctText(U)}, and ${pctText(near)} more left open by the size of the lamp,`
      : `give or take ${pctText(U)}`;
  const likely = Math.round(100 * probability);
  return `Can't be proven from here: ${doubt} is wider than the limits are apart, so not even their middle would pass for sure. ${likely < 1 || likely > 99 ? '' : `As it stands it lies inside with a likelihood of some ${likely} %. `}${whatSettles(judged, measured)}`;
}

/** Whether a band limits anything. */
export function hasLimit(limits: SchemeRow['vertical']): boolean {
  return limits.minPct !== null || limits.maxPct !== null;
}

function metres(mm: number): string {
  return `${(mm / 1000).toFixed(2)} m (${(mm / 304.8).toFixed(1)} ft)`;
}
