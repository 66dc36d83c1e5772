import { nearFieldShift } from '../beam/near-field.ts';
import type { AxisMethod } from '../geometry/bay/axis.ts';
import type { ShiftPct } from '../rules/judge-input.ts';
import { type Estimate, expandedUncertainty } from '../uncertainty/estimate.ts';
import type { BayFacts, PlanLampFacts, PlanU } from './facts.ts';
import type { LevelMethod } from './methods.ts';
import type { Place } from './places.ts';
import { type Forecast, forecast } from './predict.ts';
import { type LampProof, plannedAim, provable } from './provable.ts';
import { farShiftOf } from './told-filling.ts';

/** One lamp at one place, by the method chosen there. */
export interface LampForecast {
  readonly lamp: string;
  /** On the board, with every cause. */
  readonly dropPct: Estimate;
  readonly offsetPct: Estimate;
  /** Far = board + min to max, per cent. */
  readonly farShift: ShiftPct;
  readonly offsetFarShift: ShiftPct;
  readonly farProvable: boolean;
  /** U on the board, k = 2, per cent. */
  readonly dropU: number;
  readonly offsetU: number;
  /** Half of the interval in which the far value lies: U on the board and half of what near field leaves open. */
  readonly farDropU: number;
  readonly farOffsetU: number;
  readonly proof: LampProof;
  readonly leavesOut: readonly string[];
}

/** A lamp before a board at a place; `setup` names the placing when there are two. */
export interface LampAt {
  readonly facts: BayFacts;
  readonly place: Place;
  readonly distanceMm: number;
  readonly u: PlanU;
  readonly lamp: PlanLampFacts;
  readonly level: LevelMethod;
  readonly axis: AxisMethod;
  readonly setup: string | null;
}

/** Where no scheme gives an aim: 1.3 % down, the usual figure for a lamp of usual height (standards' RVLR-1). */
const USUAL_DROP_PCT = 1.3;
/** Doubt that the aim is chosen with before any is known: half of what a usual bay gives, standard, per cent. */
const USUAL_U_PCT = 0.1;
/**
 * How far near field may move the elbow sideways, as a share of lit width over distance: 0.6 % at 3 m and 0.15 % at
 * 10 m for 170 mm (design page, independent simulations) are 0.106 and 0.088.
 */
const ELBOW_SHARE = 0.106;
const UNKNOWN_LIT_MM = 170;

/** What near field leaves open of a lamp at a distance; a main beam fills its lamp evenly and keeps its middle. */
function nearFieldOf(lamp: PlanLampFacts, distanceMm: number) {
  const near = nearFieldShift(lamp.litHeightMm, distanceMm);
  const smeared = lamp.function !== 'driving';
  const aside = smeared ? (ELBOW_SHARE * 100 * (lamp.litWidthMm ?? UNKNOWN_LIT_MM)) / distanceMm : 0;
  return {
    farShift: smeared ? farShiftOf(lamp.filling, lamp.litHeightMm, distanceMm) : { min: 0, max: 0 },
    offsetFarShift: { min: -aside, max: aside },
    farProvable: near.farProvable || !smeared,
    farWhy: near.why,
  };
}

/** Drop and offset as a reading there would give them, with their causes: all that methods are compared by. */
export function seenAt(at: LampAt): Forecast {
  const { farShift } = nearFieldOf(at.lamp, at.distanceMm);
  const planned = plannedAim(
    at.lamp,
    at.facts.trafficSide,
    { distanceMm: at.distanceMm, farShift },
    USUAL_U_PCT,
  );
  const shared = planned.kind === 'shared';
  return forecast(at, {
    dropPct: shared ? planned.dropPct : USUAL_DROP_PCT,
    offsetPct: shared ? (planned.offsetPct ?? 0) : 0,
  });
}

/** Everything that one lamp would give at a place: doubts on the board and far, and what could be proven. */
export function lampForecast(at: LampAt): LampForecast {
  const near = nearFieldOf(at.lamp, at.distanceMm);
  const seen = seenAt(at);
  const dropU = expandedUncertainty(seen.dropPct);
  const offsetU = expandedUncertainty(seen.offsetPct);
  return {
    lamp: at.lamp.id,
    dropPct: seen.dropPct,
    offsetPct: seen.offsetPct,
    farShift: near.farShift,
    offsetFarShift: near.offsetFarShift,
    farProvable: near.farProvable,
    dropU,
    offsetU,
    farDropU: dropU + (near.farShift.max - near.farShift.min) / 2,
    farOffsetU: offsetU + near.offsetFarShift.max,
    proof: provable(at.lamp, at.facts.trafficSide, { ...seen, ...near, distanceMm: at.distanceMm }),
    leavesOut: seen.geometry.leavesOut,
  };
}
