import type { VehiclePoint } from '../../frames.ts';
import type { LampView } from '../../lamp-view.ts';
import { boardAxes, lampViewOf } from '../lamp-tangents.ts';

/** What fixes the board beside its stance, in numbers of one trial. */
export interface Placing {
  /** Lamp's reference centre in the vehicle frame, mm. */
  readonly centre: VehiclePoint;
  readonly distanceMm: number;
  readonly outOfPlumbDeg: number;
  readonly yawDeg: number;
  readonly rollDeg: number;
  /** Board X where the vehicle's median plane meets the board at the lamp's height. */
  readonly axisX: number;
  /** Height of the board's origin over the vehicle's ground plane, given where it stands (right, forward), mm. */
  readonly originUp: (right: number, forward: number) => number;
}

/**
 * The lamp's view of a board whose origin height depends, slightly, on where the origin stands.
 * Three passes settle it: each pass shrinks the error by the product of two small slopes (below 1e-6 mm for slopes
 * up to 5 %).
 */
export function placedView(p: Placing): LampView {
  const axes = boardAxes(p);
  let right = -p.axisX;
  let forward = p.centre.forward + p.distanceMm;
  let view: LampView | null = null;
  for (let pass = 0; pass < 4; pass++) {
    const up = p.originUp(right, forward);
    view = lampViewOf({ ...p, origin: { right, forward, up } }, p.centre);
    forward += p.distanceMm - view.distanceMm;
    // Board Y at which the median plane's mark stands: as high as the lamp.
    const markY = (p.centre.up - up - p.axisX * axes.ex.up) / axes.ey.up;
    right = -(p.axisX * axes.ex.right + markY * axes.ey.right);
  }
  return { ...view!, distanceMm: p.distanceMm };
}
