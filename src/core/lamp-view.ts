import type { BoardPoint } from './frames.ts';
import type { UncertainInput } from './uncertainty/estimate.ts';

/**
 * One lamp looking at the board: what turns a board point into tangents.
 * `axisFoot`: where the line through the lamp's reference centre, parallel to the vehicle's forward axis and ground
 * plane, meets the board (that is, V-V crosses H-H there), board mm. `distanceMm`: from reference centre to that point.
 */
export interface LampView {
  readonly axisFoot: BoardPoint;
  readonly distanceMm: number;
  readonly outOfPlumbDeg: number;
  readonly yawDeg: number;
  readonly rollDeg: number;
}

/**
 * The bay's and lamp's numbers as uncertain inputs, and how they make a LampView: kept together so that every
 * sensitivity comes from the same function as the value.
 */
export interface LampGeometry {
  readonly inputs: readonly UncertainInput[];
  readonly view: (x: readonly number[]) => LampView;
  /** What this method leaves out, in plain words. */
  readonly leavesOut: readonly string[];
}
