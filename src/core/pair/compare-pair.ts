import { difference, type Estimate, expandedUncertainty } from '../uncertainty/estimate.ts';
import { pctText } from '../uncertainty/words.ts';

/** One lamp of a pair; per cent, drop + down, offset + right, tilt in deg + right side up; null what was not read. */
export interface PairReading {
  readonly dropPct: Estimate | null;
  readonly offsetPct: Estimate | null;
  readonly tiltDeg: Estimate | null;
}

/** Left minus right. Errors that both share, such as the floor's or the axis's, are gone from the uncertainty. */
export interface PairComparison {
  readonly dropDifferencePct: Estimate | null;
  readonly offsetDifferencePct: Estimate | null;
  readonly tiltDifferenceDeg: Estimate | null;
  readonly remarks: readonly string[];
}

/**
 * Compares the aim of two lamps of one function. Nothing is said of brightness or colour: two photos with their own
 * exposures can't tell.
 *
 * @param left, right estimates whose shared causes carry the same ids, and causes of one shot or lamp ids of their own.
 */
export function comparePair(left: PairReading, right: PairReading): PairComparison {
  const dropDifferencePct = minus(left.dropPct, right.dropPct);
  const offsetDifferencePct = minus(left.offsetPct, right.offsetPct);
  const tiltDifferenceDeg = minus(left.tiltDeg, right.tiltDeg);
  return {
    dropDifferencePct,
    offsetDifferencePct,
    tiltDifferenceDeg,
    remarks: [
      dropRemark(dropDifferencePct),
      offsetRemark(offsetDifferencePct),
      tiltRemark(tiltDifferenceDeg),
      sameLeanRemark(left.tiltDeg, right.tiltDeg, tiltDifferenceDeg),
    ].filter((r) => r !== null),
  };
}

function minus(left: Estimate | null, right: Estimate | null): Estimate | null {
  return left === null || right === null ? null : difference(left, right);
}

function dropRemark(d: Estimate | null): string | null {
  if (d === null) return "The heights of the two beams can't be compared: one of them was not read.";
  const size = `${pctText(Math.abs(d.value))}, give or take ${pctText(expandedUncertainty(d))}`;
  if (!stands(d)) return `Both lamps aim alike in height, as far as the photos tell (${size}).`;
  return `The ${d.value > 0 ? 'left' : 'right'} lamp aims lower than the other by ${size}.`;
}

function offsetRemark(d: Estimate | null): string | null {
  if (d === null) return null;
  const size = `${pctText(Math.abs(d.value))}, give or take ${pctText(expandedUncertainty(d))}`;
  if (!stands(d)) return `Both lamps aim alike sideways, as far as the photos tell (${size}).`;
  return d.value > 0
    ? `The beams cross: the left lamp aims further right than the right one by ${size}.`
    : `The beams spread: the left lamp aims further left than the right one by ${size}.`;
}

function tiltRemark(d: Estimate | null): string | null {
  if (d === null || !stands(d)) return null;
  return `One beam is twisted against the other by ${Math.abs(d.value).toFixed(1)} deg: look for a bulb not seated, or a lamp turned in its seat.`;
}

/** Less lean than this is left unsaid, deg: as for one lamp. */
const LEAST_LEAN = 1.2;

/** Two lamps that lean alike are not both twisted: what they share does it. */
function sameLeanRemark(left: Estimate | null, right: Estimate | null, d: Estimate | null): string | null {
  if (left === null || right === null || d === null || stands(d)) return null;
  const least = Math.min(Math.abs(left.value), Math.abs(right.value));
  if (Math.sign(left.value) !== Math.sign(right.value) || least < LEAST_LEAN) return null;
  const side = left.value > 0 ? 'right' : 'left';
  return `Both beams lean alike, ${side} side up (left ${Math.abs(left.value).toFixed(1)} deg, right ${Math.abs(right.value).toFixed(1)} deg): check the board's level line and whether the vehicle stands level before you touch a lamp.`;
}

/** More than its own U: not chance. */
function stands(d: Estimate): boolean {
  return Math.abs(d.value) > expandedUncertainty(d);
}
