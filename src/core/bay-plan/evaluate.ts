import { AXIS_U, type AxisMethod } from '../geometry/bay/axis.ts';
import { expandedUncertainty } from '../uncertainty/estimate.ts';
import { type BoardSize, boardSize } from './board-size.ts';
import type { BayFacts, PlanLampFacts, PlanU } from './facts.ts';
import { type LampAt, type LampForecast, lampForecast, seenAt } from './lamp-forecast.ts';
import {
  AXIS_METHODS,
  axisHindrance,
  bestAxis,
  type Hindrance,
  LEVEL_METHODS,
  type LevelMethod,
  levelHindrance,
} from './methods.ts';
import type { Place, Stand } from './places.ts';
import type { Forecast } from './predict.ts';
import { NEAR_SHARE, type SecondDistance, secondDistance } from './second-distance.ts';
import { farShiftOf } from './told-filling.ts';

/** A way to carry the level, compared at this place. */
export interface LevelCompared {
  readonly method: LevelMethod;
  readonly axis: AxisMethod;
  readonly hindrance: Hindrance | null;
  /** U of the drop on the board by it, the worst lamp's, per cent. */
  readonly dropU: number;
  readonly leavesOut: readonly string[];
}

/** A way to carry straight ahead, compared at this place. */
export interface AxisCompared {
  readonly method: AxisMethod;
  readonly hindrance: Hindrance | null;
  /** Standard uncertainty of the direction, per cent, and U of the elbow's offset with it. */
  readonly uPct: number;
  readonly offsetU: number;
  readonly why: string;
}

/** What a second board would add for one lamp, by the method that serves it best. */
export interface LampPair extends SecondDistance {
  readonly level: LevelMethod;
}

/** Everything the plan knows of one place at one distance. */
export interface PlaceForecast {
  readonly place: Place;
  readonly distanceMm: number;
  readonly stand: Stand;
  readonly level: LevelMethod;
  readonly axis: AxisMethod;
  readonly lamps: readonly LampForecast[];
  readonly board: BoardSize;
  readonly levels: readonly LevelCompared[];
  readonly axes: readonly AxisCompared[];
  /** What a second, nearer board would add, for each lamp; null where there is no room or nothing to add. */
  readonly pairs: readonly (LampPair | null)[];
}

/** An easier method is taken when it is at most this much worse: the default asks for no height and no floor figure. */
const EASIER_UP_TO = 1.15;
/** Forecast of one place at one distance, by the best method that tools and place allow. */
export function placeForecast(facts: BayFacts, place: Place, distanceMm: number, u: PlanU): PlaceForecast {
  const stand = place.stand(distanceMm);
  const at = (lamp: PlanLampFacts, level: LevelMethod, axis: AxisMethod): LampAt => ({
    facts,
    place,
    distanceMm,
    u,
    lamp,
    level,
    axis,
    setup: null,
  });
  const levels = LEVEL_METHODS.map((method): LevelCompared => {
    const axis = bestAxis(method, place, facts.tools);
    const each = facts.lamps.map((lamp) => seenAt(at(lamp, method, axis)));
    return {
      method,
      axis,
      hindrance: levelHindrance(method, place, stand, facts.tools),
      dropU: Math.max(...each.map((f) => expandedUncertainty(f.dropPct))),
      leavesOut: [...new Set(each.flatMap((f) => f.geometry.leavesOut))],
    };
  });
  const { method: level, axis } = chooseLevel(levels);
  const lamps = facts.lamps.map((lamp) => lampForecast(at(lamp, level, axis)));
  return {
    place,
    distanceMm,
    stand,
    level,
    axis,
    lamps,
    board: boardSize(facts.lamps, distanceMm, stand, limitsOf(facts.lamps)),
    levels,
    axes: axesCompared(facts, place, level, (lamp, by, way) => seenAt(at(lamp, by, way))),
    pairs: facts.lamps.map((lamp) => pairOf(facts, place, distanceMm, u, lamp)),
  };
}

/** The surest method at hand; marks of the nose instead when they are nearly as good. */
function chooseLevel(levels: readonly LevelCompared[]): LevelCompared {
  const open = levels.filter((l) => l.hindrance === null);
  // With no method that works here the floor as it is stands for all: its doubt says that it is no way to measure.
  const last = levels[levels.length - 1]!;
  const best = open.reduce((a, b) => (b.dropU < a.dropU ? b : a), open[0] ?? last);
  const nose = open.find((l) => l.method === 'nose-to-board');
  return nose !== undefined && nose.dropU <= EASIER_UP_TO * best.dropU ? nose : best;
}

function axesCompared(
  facts: BayFacts,
  place: Place,
  level: LevelMethod,
  seen: (lamp: PlanLampFacts, level: LevelMethod, axis: AxisMethod) => Forecast,
): readonly AxisCompared[] {
  // Marks of the nose carry their own direction: the others are compared by what heights from the floor would give.
  const heights: LevelMethod = level === 'nose-to-board' ? 'floor-measured' : level;
  return AXIS_METHODS.map((method) => {
    const by = level === 'nose-to-board' && method === 'nose-marks' ? level : heights;
    const each = facts.lamps.map((lamp) => seen(lamp, by, method));
    return {
      method,
      hindrance: axisHindrance(method, place, facts.tools),
      uPct: 100 * AXIS_U[method].u,
      offsetU: Math.max(...each.map((f) => expandedUncertainty(f.offsetPct))),
      why: AXIS_U[method].why,
    };
  });
}

/** Nearer than this the edge is too soft to be found, mm. */
const NEAREST_OF_PAIR = 2000;

/** With the filling told, its own shift counts on every board: a second one only checks it. */
function toldPair(lamp: PlanLampFacts, nearMm: number, distanceMm: number): SecondDistance {
  const shift = farShiftOf(lamp.filling, lamp.litHeightMm, distanceMm);
  const half = (shift.max - shift.min) / 2;
  return { nearMm, shift, halfOnePct: half, halfBothPct: half, halfVehicleMovedPct: half };
}

/** By the method that serves a pair best: heights taken once for both placings cancel, a floor's slope does not. */
function pairOf(
  facts: BayFacts,
  place: Place,
  distanceMm: number,
  u: PlanU,
  lamp: PlanLampFacts,
): LampPair | null {
  const nearMm = NEAR_SHARE * distanceMm;
  if (!place.boardMoves || lamp.function === 'driving' || nearMm < NEAREST_OF_PAIR) return null;
  if (lamp.filling !== 'unknown') return { ...toldPair(lamp, nearMm, distanceMm), level: 'floor-measured' };
  const stands = [nearMm, distanceMm].map((mm) => place.stand(mm));
  const open = LEVEL_METHODS.filter((method) =>
    stands.every((stand) => levelHindrance(method, place, stand, facts.tools) === null),
  );
  const pairs = open.map((level): LampPair => {
    const axis = bestAxis(level, place, facts.tools);
    const seen = (mm: number, setup: string) => ({
      distanceMm: mm,
      dropPct: seenAt({ facts, place, distanceMm: mm, u, lamp, level, axis, setup }).dropPct,
    });
    return {
      ...secondDistance(lamp.litHeightMm, seen(nearMm, 'near'), seen(distanceMm, 'far')),
      level,
    };
  });
  return pairs.reduce<LampPair | null>(
    (best, p) => (best === null || p.halfBothPct < best.halfBothPct ? p : best),
    null,
  );
}

/** Widest limits of all schemes for these lamps: the board must show the edge wherever it may lawfully stand. */
function limitsOf(lamps: readonly PlanLampFacts[]): { minPct: number | null; maxPct: number | null } {
  const rows = lamps.flatMap((lamp) =>
    lamp.schemes.flatMap((s) => s.rows.filter((row) => row.lamp === lamp.function)),
  );
  const mins = rows.flatMap((row) => row.vertical.minPct ?? []);
  const maxs = rows.flatMap((row) => row.vertical.maxPct ?? []);
  return {
    minPct: mins.length === 0 ? null : Math.min(...mins),
    maxPct: maxs.length === 0 ? null : Math.max(...maxs),
  };
}
