import type { LampGeometry } from '../../lamp-view.ts';
import { inputTable, type Known } from './input-table.ts';
import { type BaySetup, bayInput, lampInput, stanceInputs } from './stance.ts';

/** Method A: the lamp's centre was marked on the board with the nose against it; then rolled straight back. */
export interface NoseToBoard extends BaySetup {
  /** Where the lamp's centre was marked, board mm. */
  readonly markX: Known;
  readonly markY: Known;
  /** Floor out of one plane, mm per m of distance (k = 1). */
  readonly flatnessMmPerM: number;
  /** Direction of the axis after rolling back, tangent (k = 1): one figure for all lamps, so that it cancels in a pair. */
  readonly axisU: number;
  /** Board X line against the floor's cross direction, deg (k = 1). */
  readonly crossFallU: number;
}

/**
 * The mark is where the lamp's axis meets the board, as long as nose and last place lie on one plane and the wheels
 * rolled straight. No lamp height or floor figure is needed.
 *
 * @returns inputs: mark (lamp), distance, floor, axis, cross-fall, board stance, load.
 * @see design: methods of axis and level, A. Common practice, no source.
 */
export function noseToBoardGeometry(g: NoseToBoard): LampGeometry {
  const table = inputTable({
    ...stanceInputs(g),
    markX: lampInput(g, 'lamp-side', g.markX),
    markY: lampInput(g, 'lamp-mark', g.markY),
    // As slopes, so that lamps at different distances share one error.
    floor: bayInput(g, 'floor', { value: 0, u: g.flatnessMmPerM / 1000 }),
    axis: bayInput(g, 'vehicle-axis', { value: 0, u: g.axisU }),
    crossFall: bayInput(g, 'cross-fall', { value: 0, u: g.crossFallU }),
  });
  return {
    inputs: table.inputs,
    view: (x) => {
      const n = table.named(x);
      return {
        axisFoot: {
          X: n.markX + n.axis * n.distance,
          Y: n.markY + (n.floor + n.load) * n.distance,
        },
        distanceMm: n.distance,
        outOfPlumbDeg: n.lean,
        yawDeg: n.turn,
        rollDeg: n.levelLine - n.crossFall,
      };
    },
    leavesOut: [
      'The floor is taken as one plane under the wheels and the board, both with the nose at the board and rolled back; a threshold or gully would show as aim.',
      'The wheels are taken to have rolled straight back.',
    ],
  };
}
