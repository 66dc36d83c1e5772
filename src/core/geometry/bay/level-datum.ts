import type { LampGeometry } from '../../lamp-view.ts';
import { causeId } from '../../uncertainty/estimate.ts';
import { radFromDeg } from '../../units.ts';
import { AXIS_U, type AxisMethod } from './axis.ts';
import { axisNote, shifted } from './floor.ts';
import { inputTable, type Known } from './input-table.ts';
import { placedView } from './placed-board.ts';
import { type BaySetup, bayInput, lampInput, stanceInputs } from './stance.ts';

/** Method B: every height is a distance from one level line (water level or laser). Heights + above it, mm. */
export interface LevelDatum extends BaySetup {
  readonly wheelbaseMm: Known;
  /** Ground at the tyre contacts: middle of the front and of the rear axle. */
  readonly frontContact: Known;
  readonly rearContact: Known;
  /** Cross-fall of the ground under the wheels, deg, + right side higher. */
  readonly crossFallDeg: Known;
  readonly boardOrigin: Known;
  /** The lamp's centre: over the ground plane of the tyres, or counted from the datum. */
  readonly centreUp: { readonly from: 'ground' | 'datum'; readonly height: Known };
  readonly centreRight: Known;
  /** Lamp's reference centre ahead of the front axle, mm. */
  readonly centreForward: Known;
  readonly axis: AxisMethod;
  readonly axisX: Known;
  /** How much the level itself may be out between vehicle and board, slope (k = 1). A tilt of the whole line cancels. */
  readonly levelU: number;
}

/**
 * Pitch of the vehicle's ground from the axle contacts, then board and lamp in the vehicle frame by exact rotation
 * (pitch after cross-fall). `boardRollDeg` counts against the level here, so the board's roll against the vehicle is
 * that less the cross-fall; out of plumb likewise gains the pitch.
 *
 * Floor falling towards the board makes a beam's drop against the vehicle smaller than against the level
 * (standards W11, W12); a low rear raises the beam on the board (W13).
 */
export function levelDatumGeometry(g: LevelDatum): LampGeometry {
  const table = inputTable({
    ...stanceInputs(g),
    // Its pull on the pitch is second order, so it has no kind of its own.
    wheelbase: { ...g.wheelbaseMm, cause: causeId('distance', 'wheelbase') },
    front: bayInput(g, 'floor', g.frontContact, 'front-contact'),
    rear: bayInput(g, 'floor', g.rearContact, 'rear-contact'),
    crossFall: bayInput(g, 'cross-fall', g.crossFallDeg),
    boardHeight: bayInput(g, 'board-height', g.boardOrigin),
    centreUp: lampInput(g, 'lamp-height', g.centreUp.height),
    centreRight: lampInput(g, 'lamp-side', g.centreRight),
    centreForward: { ...g.centreForward, cause: causeId('distance', `${g.lampId}-forward`) },
    axis: bayInput(g, 'vehicle-axis', { value: 0, u: AXIS_U[g.axis].u }),
    axisX: bayInput(g, 'vehicle-axis', g.axisX, 'centre-mark'),
    level: bayInput(g, 'levelness', { value: 0, u: g.levelU }),
  });
  return {
    inputs: table.inputs,
    view: (x) => {
      const n = table.named(x);
      const pitch = Math.asin((n.front - n.rear) / n.wheelbase);
      const roll = radFromDeg(n.crossFall);
      // Height over the ground plane of a place known by its height over the front contact and where it stands.
      const upAt = (height: number, right: number, forward: number): number =>
        ((height - forward * Math.sin(pitch)) / Math.cos(pitch) - right * Math.sin(roll)) / Math.cos(roll);
      const centreUp =
        g.centreUp.from === 'ground'
          ? n.centreUp
          : upAt(n.centreUp - n.front, n.centreRight, n.centreForward);
      const view = placedView({
        centre: { right: n.centreRight, forward: n.centreForward, up: centreUp },
        distanceMm: n.distance,
        outOfPlumbDeg: n.lean + (pitch * 180) / Math.PI,
        yawDeg: n.turn,
        rollDeg: n.levelLine - n.crossFall,
        axisX: n.axisX,
        originUp: (right, forward) => upAt(n.boardHeight + n.level * n.distance - n.front, right, forward),
      });
      return shifted(view, n.axis, n.load);
    },
    leavesOut: [
      "The vehicle's ground is the plane through the middles of its axles; the floor in between does not matter.",
      ...axisNote(g.axis),
    ],
  };
}
