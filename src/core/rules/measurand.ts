import { combine, type Estimate, expandedUncertainty } from '../uncertainty/estimate.ts';
import { tanFromDeg } from '../units.ts';
import { type JudgeInput, NO_SHIFT, type ShiftPct } from './judge-input.ts';
import type { SchemeRow } from './scheme.ts';

/**
 * One measured thing against a pair of limits. Most features have one value; a whole upper edge has its highest point
 * for the limit above and its lowest for the limit below.
 */
export interface Measured {
  /** Compared with the row's `minPct`. */
  readonly forMin: Estimate;
  /** Compared with the row's `maxPct`. */
  readonly forMax: Estimate;
  /** What near field may still add, far minus board, per cent. */
  readonly shift: ShiftPct;
}

export interface RowMeasured {
  readonly vertical: Measured | null;
  readonly lateral: Measured | null;
  /** Why one that the row needs is missing; null when nothing is. */
  readonly missing: string | null;
}

/** Slope of a 15-degree rise and of a 45-degree step, tangents (standards' rows CUT-2, W24 and W26). */
const RISE_SLOPE = tanFromDeg(15);
const STEP_SLOPE = tanFromDeg(45);
/** A step ends in a shelf 1 % above H, that is 2 % above a flat part aimed 1 % down (rows CUT-2, CUT-4), per cent. */
const SHELF_PCT = 2;

/** Takes from a reading what a row speaks of. */
export function measureForRow(row: SchemeRow, input: JudgeInput): RowMeasured {
  const far = row.place.kind === 'far';
  const dropShift = far ? input.farShiftPct : NO_SHIFT;
  const offsetShift = far ? (input.offsetFarShiftPct ?? NO_SHIFT) : NO_SHIFT;
  const elbow = one(input.offsetPct, offsetShift);
  const needsLateral = row.lateral !== null;
  switch (row.feature) {
    case 'flat-part':
      return found(one(input.dropPct, dropShift), elbow, needsLateral, NO_CUT_OFF, NO_ELBOW);
    case 'flat-part-2.0R':
      return found(
        one(input.dropAt2RightPct ?? null, dropShift),
        elbow,
        needsLateral,
        'The edge 2.0 deg right of straight ahead was not read.',
        NO_ELBOW,
      );
    case 'elbow':
      return found(
        one(input.elbowDropPct ?? input.dropPct, dropShift),
        elbow,
        needsLateral,
        NO_CUT_OFF,
        NO_ELBOW,
      );
    case 'whole-top-edge': {
      const top = input.topEdge ?? null;
      const vertical =
        top === null ? null : { forMin: top.highestDropPct, forMax: top.lowestDropPct, shift: dropShift };
      return found(vertical, elbow, needsLateral, 'The whole upper edge was not read.', NO_ELBOW);
    }
    case 'rise-against-zone':
      return found(
        one(edgeStraightAhead(input), dropShift),
        null,
        false,
        'The edge straight ahead was not read: it takes the flat part and the place of the elbow.',
        '',
      );
    case 'hot-spot-centre': {
      const spot = input.hotSpot;
      const shift = far ? hotSpotShift(input) : NO_SHIFT;
      return found(
        one(spot?.dropPct ?? null, shift),
        one(spot?.offsetPct ?? null, NO_SHIFT),
        needsLateral,
        'No hot spot was read.',
        'No hot spot was read.',
      );
    }
    case 'bright-zone-top-left':
      return found(
        one(input.brightZone?.topDropPct ?? null, dropShift),
        one(input.brightZone?.leftOffsetPct ?? null, offsetShift),
        needsLateral,
        'The top edge of the bright zone was not read.',
        'The left edge of the bright zone was not read.',
      );
  }
}

/**
 * What near field may still add to the height of a hot spot. It follows the middle of the lit area: a main beam fills
 * its lamp evenly about the centre, a dipped beam mostly from above it, so its hot spot may read too high, at most
 * like an edge.
 */
function hotSpotShift(input: JudgeInput): ShiftPct {
  const evenly = input.lamp.function === 'driving';
  return input.hotSpot?.farShiftPct ?? (evenly ? NO_SHIFT : input.farShiftPct);
}

const NO_CUT_OFF = 'No cut-off was read.';
const NO_ELBOW = 'The elbow, where the flat part of the edge ends, was not found.';

function one(e: Estimate | null, shift: ShiftPct): Measured | null {
  return e === null ? null : { forMin: e, forMax: e, shift };
}

function found(
  vertical: Measured | null,
  lateral: Measured | null,
  needsLateral: boolean,
  noVertical: string,
  noLateral: string,
): RowMeasured {
  return {
    vertical,
    lateral: needsLateral ? lateral : null,
    missing: vertical === null ? noVertical : needsLateral && lateral === null ? noLateral : null,
  };
}

/**
 * Drop of the highest light from V-V to the oncoming side: the flat part, or, with an elbow on that side of V-V, the
 * rise where it crosses V-V. The elbow's part in the uncertainty is taken towards the side where the edge is higher.
 */
function edgeStraightAhead(input: JudgeInput): Estimate | null {
  const { dropPct, offsetPct, cutOffKind } = input;
  if (dropPct === null || offsetPct === null || cutOffKind === null) return null;
  const towardsOncoming = input.trafficSide === 'left' ? 1 : -1;
  const rise = (elbowPct: number): number => {
    const past = Math.max(0, towardsOncoming * elbowPct);
    return cutOffKind === 'step' ? Math.min(STEP_SLOPE * past, SHELF_PCT) : RISE_SLOPE * past;
  };
  if (cutOffKind === 'flat') return dropPct;
  const now = rise(offsetPct.value);
  const U = expandedUncertainty(offsetPct);
  const slope = U === 0 ? 0 : (rise(offsetPct.value + towardsOncoming * U) - now) / U;
  const weight = -towardsOncoming * slope;
  return combine(
    [
      { weight: 1, of: dropPct },
      { weight, of: offsetPct },
    ],
    -now - weight * offsetPct.value,
  );
}
