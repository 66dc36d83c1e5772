import type { Tangent } from '../frames.ts';
import type { Estimate } from '../uncertainty/estimate.ts';
import type { FarReading } from './joint/far-reading.ts';
import type { LightAtDrop } from './signs/light-by-drop.ts';

/**
 * What the light itself says, before the bay's uncertainty is added. Everything is in the lamp's (u, v) frame,
 * per cent (100 x tangent): drops positive down, offsets positive to the vehicle's right.
 */
export type BeamFinding = CutOffFinding | HotSpotFinding | NothingFound;

/** Flat: one line. Rise: straight up to 15 deg or so. Step: a steep ramp up to a level shelf. */
export type CutOffKind = 'flat' | 'rise' | 'step';

export interface CutOffFinding {
  readonly found: 'cut-off';
  readonly kind: CutOffKind;
  /** Which way the cut-off rises, seen from the vehicle; 'none' for a flat one. */
  readonly riseSide: 'left' | 'right' | 'none';
  /** The flat part at 2.5 deg from the elbow (from V-V when there is none), by the inflection of log10 E. */
  readonly dropPct: Estimate;
  /** Offset of the column where `dropPct` holds, per cent. */
  readonly dropAtOffsetPct: number;
  /** Tilt of the flat part, deg, + right side up. */
  readonly tiltDeg: Estimate;
  /** Where the flat part ends and the rise begins. */
  readonly elbow: ElbowFinding;
  /** Sharpness G over 0.1 deg at 2.5 deg (not judged at home distances), and the spread of the inflection over 1.5-3.5 deg. */
  readonly sharpnessG: number | null;
  readonly linearitySpreadDeg: number | null;
  readonly hotSpot: HotSpot | null;
  /** Light above the cut-off as a share of the peak; median of the zone 1 to 2.5 % above the flat part on the flat side. */
  readonly glareShare: number | null;
  /** The edge, column by column, for drawing: used ones and rejected ones. */
  readonly edge: readonly EdgePoint[];
  /** The fitted edge line as a polyline in tangents. */
  readonly line: readonly Tangent[];
  /** The same drop by the scan and by the joint fit; `apart` = their difference over its standard uncertainty. */
  readonly twoWays: { readonly scanPct: number; readonly jointPct: number; readonly apart: number } | null;
  /** What an instrument far away would see; null when the lamp's lit size is not known. */
  readonly far: FarReading | null;
  /** Light by height on the level side, highest first: what a scheme's dark zone is looked up in. */
  readonly lightByDrop?: readonly LightAtDrop[];
  readonly signs: readonly BeamSign[];
}

export type ElbowFinding =
  | { readonly found: true; readonly offsetPct: Estimate; readonly dropPct: Estimate }
  | { readonly found: false; readonly why: 'flat-beam' | 'outside-board' | 'too-vague' };

export interface HotSpotFinding {
  readonly found: 'hot-spot';
  readonly hotSpot: HotSpot;
  /** Top and left edge of the bright zone (inflection of log10 E through the hot spot), where found. */
  readonly topEdgeDropPct: Estimate | null;
  readonly leftEdgeOffsetPct: Estimate | null;
  readonly whyNoCutOff: string;
  readonly signs: readonly BeamSign[];
}

/** Centroid of intensity above 80 % of the smoothed peak. */
export interface HotSpot {
  readonly dropPct: Estimate;
  readonly offsetPct: Estimate;
  /** Share of the zone above 80 % that is clipped; above 0 the centroid leans on what is not clipped. */
  readonly clippedShare: number;
}

export interface NothingFound {
  readonly found: 'nothing';
  readonly why:
    | 'too-dark'
    | 'too-bright'
    | 'no-edge'
    | 'edge-off-board'
    | 'too-little-board'
    | 'several-edges'
    | 'not-a-beam'
    | 'blurred'
    | 'knife-edge'
    | 'shadow-at-edge'
    | 'broken-edge'
    | 'other-light'
    | 'leaning'
    | 'black-clipped'
    | 'elbow-far-aside'
    | 'lines-on-board'
    | 'marks-too-vague';
  readonly detail: string;
  readonly advice: string;
  readonly signs: readonly BeamSign[];
}

/** One column's edge. */
export interface EdgePoint {
  readonly u: number;
  readonly v: number;
  /** Standard uncertainty of v from noise, tangent units. */
  readonly uV: number;
  readonly used: boolean;
}

/** Something worth telling about beam or photo. `code` is stable; `text` is for the person. */
export interface BeamSign {
  readonly code: string;
  readonly text: string;
}
