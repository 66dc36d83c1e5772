import { tanFromDeg } from '../units.ts';
import { type BentLine, bentLineAt, fitBent, fitFlat, type LinePoint } from './bent-line.ts';

export interface ShapeHints {
  /** Half width over which a bend may be smeared, tangent units. */
  readonly smear: number;
  /** Residual beyond which a point counts less, tangent units. */
  readonly scale: number;
  /** Search about this line only. */
  readonly about?: BentLine | null;
}

/** A rise of 15 deg with room for tilt and worn lamps: 6 to 25 deg. */
const RISE = { min: 0.1, max: 0.47 } as const;
/** A step's ramp is 45 deg as drawn in the regulation; lamps and near field flatten it. */
const STEP = { min: 0.22, max: 1.5 } as const;
/** How much of the edge must be seen on either side of a bend. */
const LEVEL_SEEN = tanFromDeg(2);
const RISE_SEEN = tanFromDeg(1);
/** An elbow further aside than this is no aim that a lamp on its mounts can have. */
const FARTHEST = 0.11;
/** How many times the squared misfit must fall before a more bent shape is believed. */
const BELIEVE = 1.6;
/** A bend that lifts the edge by less than this at its end is not told from a level edge. */
const LEAST_LIFT = tanFromDeg(0.2);

/**
 * Level, bent once, or bent up and levelled again, to either side: the simplest shape that the points support.
 * @param points edge points, ordered by u; at least 8.
 */
export function chooseShape(points: readonly LinePoint[], hints: ShapeHints): BentLine {
  const flat = fitFlat(points, hints.scale);
  const us = points.map((p) => p.u);
  const first = us[0]!;
  const last = us[us.length - 1]!;
  const about = hints.about && hints.about.side !== 0 ? hints.about : null;
  const step = tanFromDeg(about ? 0.05 : 0.2);
  const lengths = [0.3, 0.5, 0.7, 0.9, 1.2, 1.6, 2.1].map(tanFromDeg);

  let rise: BentLine | null = null;
  let stepped: BentLine | null = null;
  for (const side of about ? [about.side as 1 | -1] : ([1, -1] as const)) {
    // The level part must be seen over 2 deg, the rise over 1 deg: less is a corner of something else.
    const least = Math.max(-FARTHEST, first + (side > 0 ? LEVEL_SEEN : RISE_SEEN));
    const most = Math.min(FARTHEST, last - (side > 0 ? RISE_SEEN : LEVEL_SEEN));
    const from = about ? Math.max(least, about.bend - tanFromDeg(0.8)) : least;
    const to = about ? Math.min(most, about.bend + tanFromDeg(0.8)) : most;
    const bends: number[] = [];
    for (let b = from; b <= to; b += step) bends.push(b);
    if (bends.length === 0) continue;
    const common = { side, bends, smear: hints.smear };
    const r = fitBent(
      points,
      { ...common, lengths: [Number.POSITIVE_INFINITY], minSlope: RISE.min, maxSlope: RISE.max },
      hints.scale,
    );
    if (r && lifts(r, points) && (!rise || r.cost < rise.cost)) rise = r;
    const s = fitBent(points, { ...common, lengths, minSlope: STEP.min, maxSlope: STEP.max }, hints.scale);
    if (s && s.slope * s.length > LEAST_LIFT && beyond(s, points) >= 4 && (!stepped || s.cost < stepped.cost))
      stepped = s;
  }
  // Misfit that measuring noise alone would leave: without it a perfect fit would always look "many times better".
  const floor = points.reduce((s, p) => s + p.weight, 0) * tanFromDeg(0.01) ** 2;
  const better = (a: BentLine | null, b: BentLine) =>
    a !== null && b.cost + floor > BELIEVE * (a.cost + floor);
  let chosen = flat;
  if (better(rise, flat)) chosen = rise!;
  if (stepped && better(stepped, flat) && (chosen === flat || better(stepped, chosen))) chosen = stepped;
  return chosen;
}

/** Whether the rise lifts the edge measurably at the last point on its side. */
function lifts(line: BentLine, points: readonly LinePoint[]): boolean {
  const end = line.side > 0 ? points[points.length - 1]! : points[0]!;
  return bentLineAt(line, end.u) - (line.atBend + line.tilt * (end.u - line.bend)) > LEAST_LIFT;
}

/** How many points lie on the shelf beyond the ramp. */
function beyond(line: BentLine, points: readonly LinePoint[]): number {
  return points.filter((p) => line.side * (p.u - line.bend) > line.length).length;
}
