import type { Golden, GoldenFigure, GoldenReading, GoldenRefusal } from './readings.ts';

/**
 * How far a figure may stray from the accepted one. The file and the code are the same; what may differ is another
 * processor's floating point, and another build of the JPEG decoder, which may round single levels the other way.
 */
export const TOLERANCE = {
  /** Per cent. 0.4 mm at 8 m; the edge is a fit over some 100 000 pixels, so single levels average out. */
  drop: 0.005,
  /** Per cent. The bend is found along a slope of 15 deg: four times as loose as the edge's height. */
  elbow: 0.02,
  /** Deg. The drop's tolerance at the ends of some 4 deg of edge. */
  tilt: 0.02,
  /** Per cent. A centroid whose border jumps by whole cells of 0.1 deg. */
  hotSpot: 0.02,
  /** Share of U: uncertainties are wanted to two digits. */
  uncertainty: 0.05,
  /** Board mm: the target line is worked out, not measured. */
  targetMm: 0.05,
} as const;

export interface Change {
  readonly shot: string;
  readonly text: string;
}

/** Everything in which a run differs from the accepted readings by more than its tolerance, in words with numbers. */
export function changes(now: Golden, accepted: Golden): readonly Change[] {
  const out: Change[] = [];
  const shots = new Set([...Object.keys(accepted.shots), ...Object.keys(now.shots)]);
  for (const shot of shots) {
    const say = (text: string): void => void out.push({ shot, text: `${shot}: ${text}` });
    const a = now.shots[shot];
    const b = accepted.shots[shot];
    if (a === undefined || b === undefined) say(a === undefined ? 'no longer there' : 'new');
    else if (a.state === 'read' && b.state === 'read') compareReadings(a, b, say);
    else compareTexts(a, b, say);
  }
  const pairs = new Set([...accepted.pairs, ...now.pairs].map((p) => p.lamps));
  for (const lamps of pairs) {
    const say = (text: string): void => void out.push({ shot: lamps, text: `${lamps}: ${text}` });
    const [a, b] = [now, accepted].map((g) => g.pairs.find((p) => p.lamps === lamps));
    // Two readings' tolerances together.
    compareFigure('drop difference', a?.dropDifference, b?.dropDifference, 2 * TOLERANCE.drop, say);
    compareFigure('offset difference', a?.offsetDifference, b?.offsetDifference, 2 * TOLERANCE.elbow, say);
  }
  return out;
}

type Say = (text: string) => void;

function compareReadings(a: GoldenReading, b: GoldenReading, say: Say): void {
  compareFigure('drop', a.drop, b.drop, TOLERANCE.drop, say);
  compareFigure('elbow', a.elbow, b.elbow, TOLERANCE.elbow, say);
  compareFigure('tilt', a.tilt, b.tilt, TOLERANCE.tilt, say);
  compareFigure('hot spot drop', a.hotSpotDrop, b.hotSpotDrop, TOLERANCE.hotSpot, say);
  compareFigure('hot spot offset', a.hotSpotOffset, b.hotSpotOffset, TOLERANCE.hotSpot, say);
  compareNumber('far shift, least', a.farShift.min, b.farShift.min, TOLERANCE.drop, say);
  compareNumber('far shift, most', a.farShift.max, b.farShift.max, TOLERANCE.drop, say);
  compareNumber('target line', a.targetAboveCentreMm, b.targetAboveCentreMm, TOLERANCE.targetMm, say);
  const [now, then] = [a.verdicts.join('; '), b.verdicts.join('; ')];
  if (now !== then) say(`verdicts were "${then}", are "${now}"`);
  if (a.turns !== b.turns) say(`turns were "${b.turns}", are "${a.turns}"`);
}

function compareTexts(a: GoldenReading | GoldenRefusal, b: GoldenReading | GoldenRefusal, say: Say): void {
  const text = (s: GoldenReading | GoldenRefusal): string =>
    s.state === 'read' ? `read, drop ${s.drop?.value}` : `${s.stage} ${s.why}: ${s.detail} ${s.advice}`;
  if (text(a) !== text(b)) say(`was "${text(b)}", is "${text(a)}"`);
}

function compareFigure(
  what: string,
  a: GoldenFigure | null | undefined,
  b: GoldenFigure | null | undefined,
  tolerance: number,
  say: Say,
): void {
  compareNumber(what, a?.value ?? null, b?.value ?? null, tolerance, say);
  if (a && b) compareNumber(`U of ${what}`, a.U, b.U, TOLERANCE.uncertainty * b.U, say);
}

function compareNumber(what: string, a: number | null, b: number | null, tolerance: number, say: Say): void {
  if (a === null && b === null) return;
  // Not a number is never within a tolerance.
  if (a !== null && b !== null && Math.abs(a - b) <= tolerance) return;
  say(`${what} was ${b}, is ${a} (tolerance ${tolerance.toFixed(4)})`);
}
