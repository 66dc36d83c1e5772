import type { LightGrid } from '../../sampling/light-grid.ts';
import type { AddedLight } from '../added-light.ts';
import { bentLineAt } from '../bent-line.ts';
import type { HotSpotMeasure } from '../hot-spot.ts';
import type { JointReading } from '../joint/joint-reading.ts';
import type { TracedEdge } from '../trace-edge.ts';

/** What a beam with a cut-off was read from: the material of its signs. */
export interface SeenLight {
  /** Light without what is not the lamp's. */
  readonly grid: LightGrid;
  readonly edge: TracedEdge;
  readonly spot: HotSpotMeasure;
  readonly joint: JointReading | null;
  /** What was taken away, in the grid's units. */
  readonly added: AddedLight;
  /** Half the lit height and half the lit width over the distance, tangent units. */
  readonly halfHeight: number;
  readonly halfWidth: number;
}

/** Height of the traced line at u, tangent units. */
export function lineAt(seen: SeenLight, u: number): number {
  return bentLineAt(seen.edge.line, u);
}

/** Where the flat part ends; the hot spot's column for a flat edge. */
export function middleOf(seen: SeenLight): number {
  return seen.edge.line.side === 0 ? seen.spot.u : seen.edge.line.bend;
}
