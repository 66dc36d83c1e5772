import type { LampGeometry } from '../../lamp-view.ts';
import { AXIS_U, type AxisMethod } from './axis.ts';
import { inputTable, type Known } from './input-table.ts';
import { placedView } from './placed-board.ts';
import { type BaySetup, bayInput, lampInput, stanceInputs } from './stance.ts';

/** Plain method: the floor is one plane but for a known step at the board's foot. */
export interface OnFloor extends BaySetup {
  /** Lamp's reference centre over the ground, mm. */
  readonly centreUp: Known;
  /** Lamp's reference centre from the median plane, mm, + right. */
  readonly centreRight: Known;
  /** Board origin above the board's foot, along the board, mm. */
  readonly originAboveFoot: Known;
  /** Board's foot above the plane of the tyres, mm, negative below. */
  readonly footAboveTyrePlane: Known;
  readonly footMeasured: boolean;
  readonly axis: AxisMethod;
  /** Board X of the vehicle's median plane, mm. */
  readonly axisX: Known;
  readonly crossFallU: number;
}

/**
 * Heights taped from the floor at both ends: drop = 100·(lamp centre - (foot + height on the board))/distance.
 *
 * @returns inputs: lamp height and side (lamp), distance, floor, board height, axis, cross-fall, stance, load.
 * @see design 3, worked number: foot 20 mm below, cut-off 605 above the foot, lamp 650, 5 m: 1.30 %.
 */
export function floorGeometry(g: OnFloor): LampGeometry {
  const table = inputTable({
    ...stanceInputs(g),
    centreUp: lampInput(g, 'lamp-height', g.centreUp),
    centreRight: lampInput(g, 'lamp-side', g.centreRight),
    boardHeight: bayInput(g, 'board-height', g.originAboveFoot),
    foot: bayInput(g, 'floor', g.footAboveTyrePlane),
    axis: bayInput(g, 'vehicle-axis', { value: 0, u: AXIS_U[g.axis].u }),
    axisX: bayInput(g, 'vehicle-axis', g.axisX, 'centre-mark'),
    crossFall: bayInput(g, 'cross-fall', { value: 0, u: g.crossFallU }),
  });
  return {
    inputs: table.inputs,
    view: (x) => {
      const n = table.named(x);
      const view = placedView({
        centre: { right: n.centreRight, forward: 0, up: n.centreUp },
        distanceMm: n.distance,
        outOfPlumbDeg: n.lean,
        yawDeg: n.turn,
        rollDeg: n.levelLine - n.crossFall,
        axisX: n.axisX,
        originUp: () => n.foot + n.boardHeight * Math.cos((n.lean * Math.PI) / 180),
      });
      return shifted(view, n.axis, n.load);
    },
    leavesOut: [
      g.footMeasured
        ? 'Apart from the step at the board, the floor under the wheels is taken as one plane.'
        : 'The floor is taken as one plane from the wheels to the board: it was not measured.',
      ...axisNote(g.axis),
    ],
  };
}

/** The view with its axis turned by small slopes: + `right` to the right, + `up` upwards. */
export function shifted<V extends { axisFoot: { X: number; Y: number }; distanceMm: number }>(
  view: V,
  right: number,
  up: number,
): V {
  return {
    ...view,
    axisFoot: {
      X: view.axisFoot.X + right * view.distanceMm,
      Y: view.axisFoot.Y + up * view.distanceMm,
    },
  };
}

/** What to say when nobody measured the axis. */
export function axisNote(axis: AxisMethod): readonly string[] {
  return axis === 'none'
    ? [
        "The vehicle's axis was not carried to the board: sideways figures are only rough, and drop is not touched.",
      ]
    : [];
}
