import { AXIS_U, type AxisMethod } from '../geometry/bay/axis.ts';
import { floorGeometry } from '../geometry/bay/floor.ts';
import type { Known } from '../geometry/bay/input-table.ts';
import { levelDatumGeometry } from '../geometry/bay/level-datum.ts';
import { noseToBoardGeometry } from '../geometry/bay/nose-to-board.ts';
import type { BaySetup } from '../geometry/bay/stance.ts';
import type { LampGeometry } from '../lamp-view.ts';
import type { BayFacts, PlanLampFacts, PlanU, Tool } from './facts.ts';
import type { Place, Stand } from './places.ts';

/** Ways to carry the vehicle's level to the board, in the order to offer them. */
export const LEVEL_METHODS = [
  'nose-to-board',
  'water-level',
  'laser',
  'spirit-level',
  'floor-measured',
  'floor-unmeasured',
] as const;
export type LevelMethod = (typeof LEVEL_METHODS)[number];

/** Ways to carry straight ahead, the surest first. */
export const AXIS_METHODS: readonly AxisMethod[] = ['sighting', 'strings', 'nose-marks', 'two-tapes', 'none'];

/** What stands in the way of a method: tools to get, or the place itself. */
export interface Hindrance {
  /** Any one of each list would do. */
  readonly tools: readonly (readonly Tool[])[];
  readonly place: 'not-one-plane' | 'nose-cannot-reach' | null;
}

const LEVEL_TOOLS: Readonly<Record<LevelMethod, readonly (readonly Tool[])[]>> = {
  // Each inner list: any one of these will do.
  'nose-to-board': [],
  'water-level': [['water-level'], ['tape']],
  laser: [['laser'], ['tape']],
  'spirit-level': [['spirit-level'], ['tape']],
  'floor-measured': [['water-level', 'laser', 'spirit-level'], ['tape']],
  'floor-unmeasured': [['tape']],
};
const AXIS_TOOLS: Readonly<Record<AxisMethod, readonly (readonly Tool[])[]>> = {
  sighting: [['string', 'plumb-bob']],
  strings: [['string']],
  'two-tapes': [['tape']],
  'nose-marks': [],
  none: [],
};

/** A step at the board's foot that can still be called one, mm: more is a slope, and wants a level line. */
const LARGEST_STEP_MM = 50;

/** What keeps a level method from being used here; null when nothing does. */
export function levelHindrance(
  method: LevelMethod,
  place: Pick<Place, 'onePlane' | 'noseReaches'>,
  stand: Pick<Stand, 'footAboveTyresMm' | 'astride'>,
  tools: readonly Tool[],
): Hindrance | null {
  const missing = missingTools(LEVEL_TOOLS[method], tools);
  const sloped = Math.abs(stand.footAboveTyresMm) > LARGEST_STEP_MM || stand.astride;
  const blocked = blockedBy(method, place, sloped);
  return missing.length === 0 && blocked === null ? null : { tools: missing, place: blocked };
}

function blockedBy(
  method: LevelMethod,
  place: Pick<Place, 'onePlane' | 'noseReaches'>,
  sloped: boolean,
): Hindrance['place'] {
  switch (method) {
    case 'nose-to-board':
      if (!place.noseReaches) return 'nose-cannot-reach';
      return place.onePlane && !sloped ? null : 'not-one-plane';
    case 'floor-measured':
    case 'floor-unmeasured':
      return sloped ? 'not-one-plane' : null;
    default:
      return null;
  }
}

/** What keeps an axis method from being used here; null when nothing does. */
export function axisHindrance(
  method: AxisMethod,
  place: Pick<Place, 'noseReaches'>,
  tools: readonly Tool[],
): Hindrance | null {
  const missing = missingTools(AXIS_TOOLS[method], tools);
  const blocked = method === 'nose-marks' && !place.noseReaches ? 'nose-cannot-reach' : null;
  return missing.length === 0 && blocked === null ? null : { tools: missing, place: blocked };
}

/** The axis to use with a level method: marks of the nose carry their own; else the surest that the tools allow. */
export function bestAxis(
  level: LevelMethod,
  place: Pick<Place, 'noseReaches'>,
  tools: readonly Tool[],
): AxisMethod {
  if (level === 'nose-to-board') return 'nose-marks';
  const open = AXIS_METHODS.filter((m) => axisHindrance(m, place, tools) === null);
  return open.reduce((best, m) => (AXIS_U[m].u < AXIS_U[best].u ? m : best), 'none');
}

function missingTools(
  wanted: readonly (readonly Tool[])[],
  tools: readonly Tool[],
): readonly (readonly Tool[])[] {
  return wanted.filter((any) => !any.some((tool) => tools.includes(tool)));
}

/** Everything that fixes one lamp's look at one planned board. */
export interface PlannedShot {
  readonly facts: BayFacts;
  readonly lamp: PlanLampFacts;
  readonly place: Place;
  readonly distanceMm: number;
  readonly level: LevelMethod;
  readonly axis: AxisMethod;
  readonly u: PlanU;
  /** Names the placing when there are two. */
  readonly setup: string | null;
}

/** Slope moves weight from axle to axle: 1 % of slope pitches a body by about 0.02 %. Common practice, no source. */
const SPRINGS_PER_SLOPE = 0.0002;
/** Half a sheet and a hand's room over the floor, and how far below the lamp the sheets hang; as for a new job. */
const LOWEST_LINE = 130;

/**
 * The geometry that a reading made here would have: the same functions as for a real job, fed with what is planned.
 * @returns LampGeometry with every input at its planned value and standard uncertainty.
 */
export function plannedGeometry(shot: PlannedShot): LampGeometry {
  const { lamp, u, distanceMm } = shot;
  const stand = shot.place.stand(distanceMm);
  const setup = baySetup(shot, stand);
  const lineUp = Math.max(LOWEST_LINE, lamp.centreUp.value - 0.04 * distanceMm - 110);
  if (shot.level === 'nose-to-board') {
    return noseToBoardGeometry({
      ...setup,
      markX: { value: lamp.centreRight.value, u: u.lampMark },
      markY: { value: lamp.centreUp.value - lineUp, u: u.lampMark },
      flatnessMmPerM: shot.place.flatnessMmPerM ?? u.floorUnmeasuredMmPerM,
      axisU: u.noseMarksTangent,
      crossFallU: u.crossFallDeg,
    });
  }
  const axisX: Known = { value: 0, u: shot.axis === 'none' ? u.axisMarkGuessed : u.axisMark };
  const metres = distanceMm / 1000;
  if (shot.level === 'floor-measured' || shot.level === 'floor-unmeasured') {
    const measured = shot.level === 'floor-measured';
    return floorGeometry({
      ...setup,
      centreUp: lamp.centreUp,
      centreRight: lamp.centreRight,
      originAboveFoot: { value: lineUp - stand.footAboveTyresMm, u: u.boardHeight },
      footAboveTyrePlane: {
        value: measured ? stand.footAboveTyresMm : 0,
        u: metres * (measured ? u.floorMeasuredMmPerM : unmeasuredMmPerM(shot, stand, metres)),
      },
      footMeasured: measured,
      axis: shot.axis,
      axisX,
      crossFallU: u.crossFallDeg,
    });
  }
  // A level line 500 mm over the front contact: any other gives the same figures.
  const front = -500;
  const { wheelbase, noseAheadOfAxleMm, lampBehindNoseMm } = shot.facts.vehicle;
  const lampForward = noseAheadOfAxleMm - lampBehindNoseMm;
  const pitch = Math.asin(stand.pitchPct / 100);
  return levelDatumGeometry({
    ...setup,
    wheelbaseMm: wheelbase,
    frontContact: { value: front, u: u.datumHeight },
    rearContact: { value: front - (wheelbase.value * stand.pitchPct) / 100, u: u.datumHeight },
    crossFallDeg: { value: 0, u: u.crossFallMeasuredDeg },
    boardOrigin: {
      value:
        front +
        (lampForward + distanceMm) * Math.sin(pitch) +
        (stand.footAboveTyresMm + lineUp) * Math.cos(pitch),
      u: u.datumHeight,
    },
    centreUp: { from: 'ground', height: lamp.centreUp },
    centreRight: lamp.centreRight,
    centreForward: { value: lampForward, u: u.lampForward },
    axis: shot.axis,
    axisX,
    levelU: u.levelSlope[shot.level],
  });
}

/** A slope that nobody measured is itself the error: half of what the plan knows of it, at least the usual doubt. */
function unmeasuredMmPerM(shot: PlannedShot, stand: Stand, metres: number): number {
  const known = Math.abs(stand.footAboveTyresMm) / metres / 2;
  return Math.max(shot.u.floorUnmeasuredMmPerM, known);
}

function baySetup({ facts, lamp, setup, distanceMm, u }: PlannedShot, stand: Stand): BaySetup {
  return {
    lampId: lamp.id,
    setup,
    distanceMm: { value: distanceMm, u: u.distance },
    distanceShared: true,
    outOfPlumbDeg: { value: 0, u: u.outOfPlumbDeg },
    yawDeg: { value: 0, u: u.boardYawDeg },
    rollDeg: { value: 0, u: u.levelLineDeg },
    loadU: Math.hypot(facts.vehicle.loadU, SPRINGS_PER_SLOPE * Math.abs(stand.pitchPct)),
  };
}
