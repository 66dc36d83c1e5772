import { nearFieldShift } from '../beam/near-field.ts';
import type { ShiftPct } from '../rules/judge-input.ts';
import {
  type CauseId,
  causeId,
  difference,
  type Estimate,
  standardUncertainty,
} from '../uncertainty/estimate.ts';

/** What photographs from a second, nearer board would leave open of the far drop. */
export interface SecondDistance {
  readonly nearMm: number;
  /** The far drop lies between the far board's drop + min and + max, per cent. */
  readonly shift: ShiftPct;
  /** Half the open interval with one distance and with both, per cent. */
  readonly halfOnePct: number;
  readonly halfBothPct: number;
  /** The same when the vehicle is moved and the board stays: its ground is another one then. */
  readonly halfVehicleMovedPct: number;
}

/**
 * What no pair of distances tells of the filling, as a share of the full shift at the farther board: a lamp filled from
 * its middle and one filled in its upper half do not keep one proportion from 5 to 10 m. From the design page's
 * simulations of a 170 mm lamp (0.45 and 0.13 against full shifts of 1.31 and 0.57): 0.20 at worst.
 */
const FILLING_SHAPE = 0.2;
/** The nearer board, as a share of the farther one: nearer still, and the edge is too soft to find. */
export const NEAR_SHARE = 0.6;

/**
 * With the edge's far drop F and the filling's share s of the full shift S(d), a board at d shows F - s·S(d). Two boards
 * give s = (difference)/(S1 - S2), and F from the farther board + s·S2. What the difference is not sure of comes in
 * with S2/(S1 - S2); when that is worse than knowing nothing, one distance is kept.
 *
 * @param near, far forecasts of the same lamp with a named placing each, so that what both share cancels.
 * @returns the interval for a lamp half filled, the middle of what one distance leaves open.
 */
export function secondDistance(
  litHeightMm: number | null,
  near: { readonly distanceMm: number; readonly dropPct: Estimate },
  far: { readonly distanceMm: number; readonly dropPct: Estimate },
): SecondDistance {
  const s1 = nearFieldShift(litHeightMm, near.distanceMm).maxPct;
  const s2 = nearFieldShift(litHeightMm, far.distanceMm).maxPct;
  const halfOnePct = s2 / 2;
  const half = (a: Estimate, b: Estimate): number => {
    const uDifference = standardUncertainty(difference(a, b));
    const fromPair = s1 > s2 ? FILLING_SHAPE * s2 + (2 * uDifference * s2) / (s1 - s2) : Infinity;
    return Math.min(halfOnePct, fromPair);
  };
  const halfBothPct = half(groundShared(far.dropPct), groundShared(near.dropPct));
  return {
    nearMm: near.distanceMm,
    shift: { min: s2 / 2 - halfBothPct, max: s2 / 2 + halfBothPct },
    halfOnePct,
    halfBothPct,
    halfVehicleMovedPct: half(far.dropPct, near.dropPct),
  };
}

/** The vehicle stays: the heights under its tyres were taken once, so their errors are the same in both placings. */
function groundShared(e: Estimate): Estimate {
  const parts: Partial<Record<CauseId, number>> = {};
  for (const [id, part] of Object.entries(e.parts) as [CauseId, number][]) {
    const own = /^floor@.*-(front|rear)-contact$/.exec(id);
    const cause: CauseId = own === null ? id : causeId('floor', `${own[1]}-contact`);
    parts[cause] = (parts[cause] ?? 0) + part;
  }
  return { value: e.value, parts };
}
