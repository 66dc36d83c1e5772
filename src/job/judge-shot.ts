import type { TargetLine, TurnsAdvice } from '../core/adjusters/lamp-mechanics.ts';
import { boardAim, targetLine } from '../core/adjusters/target-line.ts';
import { adviseTurns } from '../core/adjusters/turns.ts';
import type { BeamFinding } from '../core/beam/finding.ts';
import type { LampView } from '../core/lamp-view.ts';
import { type CommonAim, commonAim, type SchemeAim } from '../core/rules/common-aim.ts';
import { judgeScheme } from '../core/rules/judge.ts';
import type { BeamCase, JudgeInput } from '../core/rules/judge-input.ts';
import type { Band } from '../core/rules/scheme.ts';
import { dropOnEdgeLine, topEdgeOf, VOR_OFFSET_PCT } from '../core/rules/top-edge.ts';
import { type Estimate, standardUncertainty } from '../core/uncertainty/estimate.ts';
import { farInterval } from './far-interval.ts';
import type { Job, JobLamp } from './job.ts';
import type { SchemeVerdict } from './result.ts';
import { schemesForLamp } from './schemes-of.ts';

/** What was read of one beam, with every cause in it. */
export interface BeamAim {
  readonly dropPct: Estimate | null;
  readonly offsetPct: Estimate | null;
  readonly elbowDropPct: Estimate | null;
  readonly hotSpot: { readonly dropPct: Estimate; readonly offsetPct: Estimate } | null;
  readonly brightZone: {
    readonly topDropPct: Estimate | null;
    readonly leftOffsetPct: Estimate | null;
  } | null;
}

/** What rules and mechanics make of a reading. */
export interface ShotAdvice {
  readonly farShiftPct: { readonly min: number; readonly max: number };
  readonly verdicts: readonly SchemeVerdict[];
  readonly aim: CommonAim | null;
  readonly target: TargetLine | null;
  readonly turns: TurnsAdvice | null;
}

/**
 * Verdict of every scheme that speaks of this lamp, one aim that suits them all, the line to bring the edge to and the
 * turns that do it.
 */
export function judgeShot(
  job: Pick<Job, 'schemes' | 'trafficSide'>,
  lamp: JobLamp,
  view: LampView,
  beam: BeamFinding,
  aim: BeamAim,
): ShotAdvice {
  const near = farInterval(lamp.litHeight?.mm ?? null, view.distanceMm, beam);
  const farShiftPct = { min: near.minPct, max: near.maxPct };
  const beamCase: BeamCase = {
    lamp,
    trafficSide: job.trafficSide,
    cutOffKind: beam.found === 'cut-off' ? beam.kind : null,
    riseSide: beam.found === 'cut-off' ? beam.riseSide : null,
    boardDistanceMm: view.distanceMm,
    farShiftPct,
  };
  const input: JudgeInput = {
    ...beamCase,
    dropPct: aim.dropPct,
    offsetPct: aim.offsetPct,
    elbowDropPct: aim.elbowDropPct,
    ...edgeElsewhere(beam, aim.dropPct),
    hotSpot: aim.hotSpot,
    brightZone: aim.brightZone,
    farProvable: near.farProvable,
    farWhy: near.why,
  };
  const schemes = schemesForLamp(job, lamp.id);
  const verdicts = schemes.flatMap((scheme) =>
    judgeScheme(scheme, input).map((verdict) => ({ scheme: scheme.id, verdict })),
  );
  if (schemes.length === 0) return { farShiftPct, verdicts, aim: null, target: null, turns: null };
  return { farShiftPct, verdicts, ...adviceFor(lamp, view, beam, aim, beamCase, schemes) };
}

function adviceFor(
  lamp: JobLamp,
  view: LampView,
  beam: BeamFinding,
  read: BeamAim,
  beamCase: BeamCase,
  schemes: Job['schemes'],
): Pick<ShotAdvice, 'aim' | 'target' | 'turns'> {
  const anyDrop = read.dropPct ?? read.hotSpot?.dropPct ?? null;
  const uDropPct = anyDrop === null ? 0 : standardUncertainty(anyDrop);
  const aim = commonAim(schemes, { ...beamCase, uDropPct });
  if (aim.kind !== 'shared') return { aim, target: null, turns: null };
  const now = aimedAt(aim.feature, beam, read);
  const wanted = boardAim({
    target: aim,
    place: aim.place,
    band: limitsOf(aim.each),
    farShiftPct: aim.farShiftPct,
    uDropPct,
  });
  const turns = lamp.mechanics === null ? null : adviseTurns(lamp.mechanics, now, wanted);
  if (now.dropPct === null) return { aim, target: null, turns };
  return {
    aim,
    target: targetLine({
      view,
      now: { dropPct: now.dropPct.value },
      atOffsetPct: now.atOffsetPct,
      aim: wanted,
    }),
    turns,
  };
}

/** What all rows' limits leave over. A single figure to set to is no limit: missing it by U dazzles nobody. */
export function limitsOf(each: readonly SchemeAim[]): Band | null {
  const mins = each.flatMap(({ band }) => (band.minPct === null ? [] : [band.minPct]));
  const maxs = each.flatMap(({ band }) => (band.maxPct === null ? [] : [band.maxPct]));
  if (mins.length === 0 && maxs.length === 0) return null;
  return {
    minPct: mins.length === 0 ? null : Math.max(...mins),
    maxPct: maxs.length === 0 ? null : Math.min(...maxs),
  };
}

interface AimedNow {
  readonly dropPct: Estimate | null;
  readonly offsetPct: Estimate | null;
  /** Column where the drop holds, per cent. */
  readonly atOffsetPct: number;
}

/** Where the part of the beam that the aim speaks of stands now. */
function aimedAt(
  feature: Extract<CommonAim, { kind: 'shared' }>['feature'],
  beam: BeamFinding,
  read: BeamAim,
): AimedNow {
  const flatAt = beam.found === 'cut-off' ? beam.dropAtOffsetPct : 0;
  switch (feature) {
    case 'cut-off':
      return { dropPct: read.dropPct, offsetPct: read.offsetPct, atOffsetPct: flatAt };
    case 'cut-off-2.0R': {
      const { dropAt2RightPct } = edgeElsewhere(beam, read.dropPct);
      return { dropPct: dropAt2RightPct, offsetPct: null, atOffsetPct: VOR_OFFSET_PCT };
    }
    case 'hot-spot':
      return {
        dropPct: read.hotSpot?.dropPct ?? null,
        offsetPct: read.hotSpot?.offsetPct ?? null,
        atOffsetPct: read.hotSpot?.offsetPct.value ?? 0,
      };
    case 'bright-zone':
      return {
        dropPct: read.brightZone?.topDropPct ?? null,
        offsetPct: read.brightZone?.leftOffsetPct ?? null,
        atOffsetPct: read.hotSpot?.offsetPct.value ?? 0,
      };
  }
}

/** The edge in the other places that rules ask about. */
function edgeElsewhere(
  beam: BeamFinding,
  dropPct: Estimate | null,
): { readonly dropAt2RightPct: Estimate | null; readonly topEdge: ReturnType<typeof topEdgeOf> } {
  if (beam.found !== 'cut-off' || dropPct === null) return { dropAt2RightPct: null, topEdge: null };
  return {
    dropAt2RightPct: dropOnEdgeLine(beam.line, beam.dropAtOffsetPct, dropPct, VOR_OFFSET_PCT),
    topEdge: topEdgeOf(beam.line, beam.dropAtOffsetPct, dropPct),
  };
}
