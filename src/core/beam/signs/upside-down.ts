import type { LightGrid } from '../../sampling/light-grid.ts';
import { tanFromDeg } from '../../units.ts';
import { bentLineAt } from '../bent-line.ts';
import type { HotSpotMeasure } from '../hot-spot.ts';
import { traceEdge } from '../trace-edge.ts';

/** An edge with the dark below and the light above, deg below the hot spot, and over how many degrees it runs. */
export interface LowerEdge {
  readonly belowSpotDeg: number;
  readonly wideDeg: number;
}

/** A good edge over this much is no accident. */
const LEAST = { strength: 0.09, deg: 5, points: 30 } as const;

/**
 * Looks for a cut-off that is the wrong way up, in a beam that shows none the right way up: the same search on the light
 * turned over.
 */
export function lowerEdge(grid: LightGrid, spot: HotSpotMeasure, smear: number): LowerEdge | null {
  const edge = traceEdge(turnedOver(grid), smear);
  if (edge === null || edge.strength < LEAST.strength) return null;
  const used = edge.points.filter((p) => p.used);
  if (used.length < LEAST.points) return null;
  const wide = used[used.length - 1]!.u - used[0]!.u;
  const below = spot.v + bentLineAt(edge.line, spot.u);
  if (wide < tanFromDeg(LEAST.deg) || below < 0 || below > tanFromDeg(5)) return null;
  return { belowSpotDeg: below / tanFromDeg(1), wideDeg: wide / tanFromDeg(1) };
}

/** The same light with up and down exchanged. */
function turnedOver(grid: LightGrid): LightGrid {
  const { columns, rows } = grid;
  const over = (values: Float32Array): Float32Array => {
    const out = new Float32Array(values.length);
    for (let r = 0; r < rows; r++)
      out.set(values.subarray(r * columns, (r + 1) * columns), (rows - 1 - r) * columns);
    return out;
  };
  return {
    ...grid,
    v0: -(grid.v0 + (rows - 1) * grid.dv),
    light: over(grid.light),
    clipped: over(grid.clipped),
  };
}
