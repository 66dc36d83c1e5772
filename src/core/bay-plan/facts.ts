import type { LampFilling } from '../beam/joint/lamp-filling.ts';
import type { Side, TrafficSide } from '../frames.ts';
import type { Known } from '../geometry/bay/input-table.ts';
import type { LampFunction, LensMarking, Scheme } from '../rules/scheme.ts';

/**
 * What a person can say of a place before anything is printed. Lengths in mm, slopes in per cent. `along` runs on one
 * line from the garage's end wall (0) out through the door to the end of the drive.
 */

export const TOOLS = [
  'tape',
  'spirit-level',
  'water-level',
  'laser',
  'string',
  'plumb-bob',
  'helper',
  'tripod',
] as const;
export type Tool = (typeof TOOLS)[number];

export interface GarageFacts {
  /** End wall to the inside of the door. */
  readonly lengthMm: number;
  readonly widthMm: number | null;
  readonly doorWidthMm: number | null;
  readonly doorHeightMm: number | null;
  /** + falls towards the door, per cent. */
  readonly slopePct: number;
  /** Floor out of one plane, mm per m (k = 1); null when nobody looked. */
  readonly flatnessMmPerM: number | null;
}

export interface DriveFacts {
  /** From the door (or the house wall) to where the public road or footway begins. */
  readonly lengthMm: number;
  /** + falls away from the door, per cent. */
  readonly slopePct: number;
  readonly flatnessMmPerM: number | null;
}

/** One lamp that is to be aimed. */
export interface PlanLampFacts {
  readonly id: string;
  readonly function: LampFunction;
  readonly side: Side;
  /** Reference centre from the median plane, mm, + right. */
  readonly centreRight: Known;
  /** Reference centre over the ground, mm. */
  readonly centreUp: Known;
  /** Lower edge of the lit part over the ground, mm; null when not measured. */
  readonly lowerEdge: Known | null;
  /** Lit part, mm; null when not measured (taken as a 170 mm bowl). */
  readonly litHeightMm: number | null;
  readonly litWidthMm: number | null;
  /** How the light fills the lit part, where the person can tell. */
  readonly filling: LampFilling | 'unknown';
  readonly marking: LensMarking;
  /** What the beam is likely to show; a photo may contradict it. */
  readonly beam: 'rise' | 'flat' | 'step' | 'no-cut-off';
  /** The chosen schemes that speak of this lamp. */
  readonly schemes: readonly Scheme[];
}

export interface VehicleFacts {
  readonly lengthMm: number;
  readonly widthMm: number | null;
  readonly wheelbase: Known;
  /** Foremost point ahead of the front axle, mm. */
  readonly noseAheadOfAxleMm: number;
  /** Lamp centres behind the foremost point, mm. */
  readonly lampBehindNoseMm: number;
  /** Pitch that load and springs leave open on level ground, tangent (k = 1). */
  readonly loadU: number;
}

export interface BayFacts {
  readonly garage: GarageFacts | null;
  readonly drive: DriveFacts | null;
  /** A yard or car park can be driven to. */
  readonly elsewhere: boolean;
  /** Its floor out of one plane, mm per m (k = 1); null when nobody looked. */
  readonly elsewhereFlatnessMmPerM: number | null;
  readonly vehicle: VehicleFacts;
  readonly lamps: readonly PlanLampFacts[];
  readonly trafficSide: TrafficSide;
  readonly tools: readonly Tool[];
  /** The lamps burn only with the engine running: then outdoors only. */
  readonly engineNeeded: boolean;
}

/**
 * Standard uncertainties (k = 1) that the plan counts with, handed in so that plan and reading use the same ones.
 * mm unless the name says otherwise.
 */
export interface PlanU {
  readonly distance: number;
  readonly lampMark: number;
  readonly boardHeight: number;
  readonly datumHeight: number;
  readonly lampForward: number;
  readonly axisMark: number;
  readonly axisMarkGuessed: number;
  readonly sheetPlace: number;
  readonly floorFlatnessMmPerM: number;
  readonly floorUnmeasuredMmPerM: number;
  readonly floorMeasuredMmPerM: number;
  readonly outOfPlumbDeg: number;
  readonly boardYawDeg: number;
  readonly levelLineDeg: number;
  readonly crossFallDeg: number;
  readonly crossFallMeasuredDeg: number;
  readonly noseMarksTangent: number;
  /** Growth of a level's error with distance, slope. */
  readonly levelSlope: Readonly<Record<'water-level' | 'laser' | 'spirit-level', number>>;
  /** What reading the photo adds, per cent, with where the figure is from. */
  readonly photo: PhotoU;
}

/**
 * The light's own part of a reading, measured on photographs with a known answer. `shot` is new in every photo,
 * `camera` is the same in all photos of one camera and so cancels between two distances.
 */
export interface PhotoU {
  readonly dropShotPct: number;
  readonly dropCameraPct: number;
  readonly offsetPct: number;
  readonly source: string;
}
