import type { TargetLine, TurnsAdvice } from '../core/adjusters/lamp-mechanics.ts';
import type { BeamFinding, BeamSign } from '../core/beam/finding.ts';
import type { FarByDistances } from '../core/beam/joint/distances.ts';
import type { Registration, RegistrationRefusal } from '../core/board-view.ts';
import type { LampView } from '../core/lamp-view.ts';
import type { PhotoFacts } from '../core/raster.ts';
import type { CommonAim } from '../core/rules/common-aim.ts';
import type { Verdict } from '../core/rules/verdict.ts';
import type { Estimate } from '../core/uncertainty/estimate.ts';
import type { FarAim } from './far-of.ts';

/** What came of one shot. A shot that can't be read is a result with its reason. */
export type ShotResult = ReadShot | UnreadShot;

export interface ReadShot {
  readonly state: 'read';
  readonly shot: string;
  readonly lamp: string;
  readonly facts: PhotoFacts;
  readonly registration: Registration;
  readonly view: LampView;
  /** The light alone, in tangents. */
  readonly beam: BeamFinding;
  /** With the bay's, lamp's and marks' causes added; null when the beam has no such thing. Seen on the board. */
  readonly dropPct: Estimate | null;
  readonly offsetPct: Estimate | null;
  readonly hotSpot: { readonly dropPct: Estimate; readonly offsetPct: Estimate } | null;
  readonly tiltDeg: Estimate | null;
  /** What an instrument far away would see: the likeliest value; what is judged is the interval below. */
  readonly farAim?: FarAim;
  /** The most causes that near field can still move the far value by, per cent: far drop lies in [drop + min, drop + max]. */
  readonly farShiftPct: { readonly min: number; readonly max: number };
  readonly verdicts: readonly SchemeVerdict[];
  readonly target: TargetLine | null;
  readonly turns: TurnsAdvice | null;
  /** The aim that all chosen schemes share, or why there is none. */
  readonly aim?: CommonAim | null;
  readonly warnings: readonly string[];
}

export interface SchemeVerdict {
  readonly scheme: string;
  readonly verdict: Verdict;
}

export interface UnreadShot {
  readonly state: 'unread';
  readonly shot: string;
  readonly lamp: string;
  /** Stage and reason, stable codes: 'photo', 'marks', 'beam'. */
  readonly stage: 'photo' | 'marks' | 'beam';
  readonly why: string;
  readonly detail: string;
  readonly advice: string;
  readonly facts: PhotoFacts | null;
  readonly registration: Registration | RegistrationRefusal | null;
  /** What the light gave away all the same: likely causes of the refusal. Left out where no light was looked at. */
  readonly signs?: readonly BeamSign[];
}

/** Two lamps of one function compared: the bay's shared errors are gone. */
export interface PairResult {
  readonly left: string;
  readonly right: string;
  /** left minus right. */
  readonly dropDifferencePct: Estimate | null;
  readonly offsetDifferencePct: Estimate | null;
  readonly remarks: readonly string[];
}

/** One lamp photographed at two or more distances: what the boards say together. */
export interface DistancesResult {
  readonly lamp: string;
  readonly shots: readonly string[];
  readonly distancesMm: readonly number[];
  readonly far: FarByDistances;
  /** Schemes that speak of far away, judged by the joint value. */
  readonly verdicts: readonly SchemeVerdict[];
  readonly remarks: readonly string[];
}

export interface JobResult {
  readonly title: string;
  readonly rendered: boolean;
  readonly shots: readonly ShotResult[];
  readonly distances?: readonly DistancesResult[];
  readonly pairs: readonly PairResult[];
  readonly warnings: readonly string[];
}
