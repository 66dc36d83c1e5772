import type { BayFacts, PlanLampFacts, PlanU } from '../../../src/core/bay-plan/facts.ts';
import { type BayPlan, bayPlan, type OpenPlace, type PlannedKind } from '../../../src/core/bay-plan/plan.ts';
import { GB_INSPECTION_CAR } from '../../../src/core/rules/schemes/gb-inspection.ts';

/** Uncertainties with a value of their own in every place. */
export const U: PlanU = {
  distance: 11,
  lampMark: 3.1,
  boardHeight: 2.1,
  datumHeight: 1.9,
  lampForward: 51,
  axisMark: 4.2,
  axisMarkGuessed: 31,
  sheetPlace: 2.2,
  floorFlatnessMmPerM: 1,
  floorUnmeasuredMmPerM: 2,
  floorMeasuredMmPerM: 1.05,
  outOfPlumbDeg: 0.5,
  boardYawDeg: 0.9,
  levelLineDeg: 0.12,
  crossFallDeg: 0.3,
  crossFallMeasuredDeg: 0.11,
  noseMarksTangent: 0.003,
  levelSlope: { 'water-level': 0, laser: 0.0003, 'spirit-level': 0.001 },
  photo: { dropShotPct: 0.031, dropCameraPct: 0.074, offsetPct: 0.13, source: 'a test' },
};

export function lampAt(side: 'left' | 'right', over: Partial<PlanLampFacts> = {}): PlanLampFacts {
  return {
    id: side,
    function: 'passing',
    side,
    centreRight: { value: side === 'left' ? -545 : 545, u: 4 },
    centreUp: { value: 655, u: 3 },
    lowerEdge: null,
    litHeightMm: 170,
    litWidthMm: 168,
    filling: 'unknown',
    marking: 'unknown',
    beam: 'rise',
    schemes: [GB_INSPECTION_CAR],
    ...over,
  };
}

/** The newcomer's bay: a garage of 5.5 m, a drive that falls 6 %, a vehicle of 3.9 m, round lamps of 170 mm. */
export function bay(over: Partial<BayFacts> = {}): BayFacts {
  return {
    garage: {
      lengthMm: 5500,
      widthMm: 2650,
      doorWidthMm: 2120,
      doorHeightMm: 1980,
      slopePct: 0,
      flatnessMmPerM: 1,
    },
    drive: { lengthMm: 6100, slopePct: 6, flatnessMmPerM: null },
    elsewhere: true,
    elsewhereFlatnessMmPerM: null,
    vehicle: {
      lengthMm: 3900,
      widthMm: 1620,
      wheelbase: { value: 2410, u: 10 },
      noseAheadOfAxleMm: 690,
      lampBehindNoseMm: 140,
      loadU: 0.0005,
    },
    lamps: [lampAt('left'), lampAt('right')],
    trafficSide: 'left',
    tools: ['tape', 'water-level', 'string'],
    engineNeeded: false,
    ...over,
  };
}

/** The newcomer's bay as it stands; one object, so that its plan is made once. */
export const NEWCOMER: BayFacts = bay();
let newcomers: BayPlan | null = null;

/** A plan; the newcomer's is made once. */
export function planOf(facts: BayFacts): BayPlan {
  if (facts !== NEWCOMER) return bayPlan(facts, U);
  newcomers ??= bayPlan(NEWCOMER, U);
  return newcomers;
}

/** One open place of a plan. */
export function placeOf(facts: BayFacts, kind: PlannedKind): OpenPlace {
  const place = planOf(facts).places.find((p) => p.kind === kind);
  if (place === undefined || place.state !== 'open') throw new Error(`${kind} is not open`);
  return place;
}
