import type { TrafficSide } from '../frames.ts';
import type { Estimate } from '../uncertainty/estimate.ts';
import type { LampFunction, LensMarking } from './scheme.ts';

/** A height with its standard uncertainty, mm. */
export interface HeightMm {
  readonly mm: number;
  readonly uMm: number;
}

/** An interval of corrections, per cent, `min` not above `max`. */
export interface ShiftPct {
  readonly min: number;
  readonly max: number;
}

export const NO_SHIFT: ShiftPct = { min: 0, max: 0 };

/** What tells which rows of a scheme speak of this lamp and beam. */
export interface BeamCase {
  readonly lamp: {
    readonly function: LampFunction;
    readonly centreHeight: HeightMm | null;
    readonly lowerEdge: HeightMm | null;
    readonly marking: LensMarking;
  };
  readonly trafficSide: TrafficSide;
  /** null: no cut-off was found, at most a hot spot. */
  readonly cutOffKind: 'flat' | 'rise' | 'step' | null;
  /** Which way the cut-off rises, seen from the vehicle; null when not known. */
  readonly riseSide: 'left' | 'right' | 'none' | null;
  readonly boardDistanceMm: number;
  /** The far drop lies between the drop on the board + min and + max, per cent. */
  readonly farShiftPct: ShiftPct;
}

/**
 * A reading as the rules need it: per cent as seen on the board, drops + down, offsets + to the vehicle's right, with
 * all causes of bay, lamp, camera and light in each Estimate.
 */
export interface JudgeInput extends BeamCase {
  /** Flat part at 2.5 deg from the elbow, flat side. */
  readonly dropPct: Estimate | null;
  /** Elbow. */
  readonly offsetPct: Estimate | null;
  /** Drop of the elbow; left out: that of the flat part. */
  readonly elbowDropPct?: Estimate | null;
  /** Drop of the edge 2.0 deg right of V-V, for the US right cut-off (see `dropOnEdgeLine`). */
  readonly dropAt2RightPct?: Estimate | null;
  /** Ends of the whole upper edge, peak included (see `topEdgeOf`). */
  readonly topEdge?: TopEdge | null;
  readonly hotSpot: {
    readonly dropPct: Estimate;
    readonly offsetPct: Estimate;
    /** Left out: none for a main beam, which fills its lamp evenly; that of the edge for a dipped beam. */
    readonly farShiftPct?: ShiftPct;
  } | null;
  readonly brightZone: {
    readonly topDropPct: Estimate | null;
    readonly leftOffsetPct: Estimate | null;
  } | null;
  /** Same as farShiftPct, for the elbow's offset; left out: none. */
  readonly offsetFarShiftPct?: ShiftPct;
  /** False: too near, and lit over too much height, for one distance to prove what an instrument would see. */
  readonly farProvable: boolean;
  /** Why not, in plain words; null or left out: a general sentence. */
  readonly farWhy?: string | null;
}

export interface TopEdge {
  /** The highest point's drop, the smallest. */
  readonly highestDropPct: Estimate;
  readonly lowestDropPct: Estimate;
}
