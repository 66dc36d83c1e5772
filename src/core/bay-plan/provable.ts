import { boardAim } from '../adjusters/target-line.ts';
import { type CommonAim, commonAim } from '../rules/common-aim.ts';
import { judgeScheme } from '../rules/judge.ts';
import type { BeamCase, JudgeInput, ShiftPct } from '../rules/judge-input.ts';
import { judgeLimits } from '../rules/judge-limits.ts';
import { hasLimit, whyNotJudged } from '../rules/judge-words.ts';
import { measureForRow } from '../rules/measurand.ts';
import type { Band, Scheme, SchemeRow } from '../rules/scheme.ts';
import { selectRows } from '../rules/select-rows.ts';
import type { Verdict } from '../rules/verdict.ts';
import { type Estimate, standardUncertainty } from '../uncertainty/estimate.ts';
import type { PlanLampFacts } from './facts.ts';

/** What a scheme would say here of a lamp that stands exactly where the target line puts it. */
export interface Provable {
  readonly scheme: string;
  readonly title: string;
  readonly lamp: string;
  readonly outcome: 'within' | 'within-unchecked' | 'too-close' | 'too-wide' | 'not-from-here' | 'no-figure';
  /** The verdict's own sentence, for all but 'within'. */
  readonly why: string | null;
}

/** What can be proven of one lamp from one place. */
export interface LampProof {
  readonly each: readonly Provable[];
  /** Where the edge should stand on this board, per cent; null when no scheme gives an aim. */
  readonly aimOnBoardPct: number | null;
  /** How far off it the edge may end up and still be proven, either way; null: no such room. */
  readonly roomPct: number | null;
}

/** What the light allows at a place: how sure, how smeared. */
export interface Seeing {
  readonly distanceMm: number;
  readonly dropPct: Estimate;
  readonly offsetPct: Estimate;
  readonly farShift: ShiftPct;
  readonly offsetFarShift: ShiftPct;
  readonly farProvable: boolean;
  readonly farWhy: string | null;
}

/** The beam as the rules want it, before any photo. */
export function beamCaseOf(
  lamp: PlanLampFacts,
  trafficSide: BeamCase['trafficSide'],
  at: Pick<Seeing, 'distanceMm' | 'farShift'>,
): BeamCase {
  const height = (k: PlanLampFacts['lowerEdge']) => (k === null ? null : { mm: k.value, uMm: k.u });
  return {
    lamp: {
      function: lamp.function,
      centreHeight: height(lamp.centreUp),
      lowerEdge: height(lamp.lowerEdge),
      marking: lamp.marking,
    },
    trafficSide,
    cutOffKind: lamp.function === 'driving' || lamp.beam === 'no-cut-off' ? null : lamp.beam,
    riseSide:
      lamp.function === 'driving' || lamp.beam === 'no-cut-off'
        ? null
        : lamp.beam === 'flat'
          ? 'none'
          : trafficSide,
    boardDistanceMm: at.distanceMm,
    farShiftPct: at.farShift,
  };
}

/** The one aim that a lamp's schemes share at a distance, as a reading there would find it. */
export function plannedAim(
  lamp: PlanLampFacts,
  trafficSide: BeamCase['trafficSide'],
  at: Pick<Seeing, 'distanceMm' | 'farShift'>,
  uDropPct: number,
): CommonAim {
  return commonAim(lamp.schemes, { ...beamCaseOf(lamp, trafficSide, at), uDropPct });
}

/**
 * Judges a perfectly aimed lamp by every scheme that speaks of it. With rules as strict as for a real reading: what
 * is not 'within' here can never come out 'within' from this place.
 */
export function provable(
  lamp: PlanLampFacts,
  trafficSide: BeamCase['trafficSide'],
  seeing: Seeing,
): LampProof {
  const beamCase = beamCaseOf(lamp, trafficSide, seeing);
  const uDropPct = standardUncertainty(seeing.dropPct);
  const aim = commonAim(lamp.schemes, { ...beamCase, uDropPct });
  const onBoard =
    aim.kind !== 'shared'
      ? null
      : boardAim({
          target: aim,
          place: aim.place,
          band: bandOf(aim),
          farShiftPct: aim.farShiftPct,
          uDropPct,
        });
  const drop = { ...seeing.dropPct, value: onBoard?.dropPct ?? seeing.dropPct.value };
  const offset = { ...seeing.offsetPct, value: onBoard?.offsetPct ?? 0 };
  const spot = lamp.function === 'driving' || lamp.beam === 'no-cut-off';
  const input: JudgeInput = {
    ...beamCase,
    dropPct: spot ? null : drop,
    offsetPct: spot ? null : offset,
    dropAt2RightPct: drop,
    topEdge: { highestDropPct: drop, lowestDropPct: drop },
    hotSpot: spot ? { dropPct: drop, offsetPct: offset } : null,
    brightZone: spot ? { topDropPct: drop, leftOffsetPct: offset } : null,
    offsetFarShiftPct: seeing.offsetFarShift,
    farProvable: seeing.farProvable,
    farWhy: seeing.farWhy,
  };
  return {
    each: lamp.schemes.map((scheme) => ofScheme(scheme, lamp, input)),
    aimOnBoardPct: onBoard?.dropPct ?? null,
    roomPct: onBoard?.tolerancePct ?? null,
  };
}

function ofScheme(scheme: Scheme, lamp: PlanLampFacts, input: JudgeInput): Provable {
  const named = { scheme: scheme.id, title: scheme.title, lamp: lamp.id };
  const selection = selectRows(scheme, input);
  const barred =
    selection.kind === 'none' ? [] : selection.rows.flatMap(({ row }) => whyNotJudged(row, input) ?? []);
  if (barred.length > 0) return { ...named, outcome: 'not-from-here', why: barred[0]! };
  const verdicts = judgeScheme(scheme, input);
  const narrow = selection.kind === 'rows' && selection.rows.some(({ row }) => isTooNarrow(row, input));
  if (narrow) {
    const open = verdicts.find((v) => v.kind === 'no-verdict' || v.kind === 'too-close');
    const why = open?.kind === 'too-close' ? open.settledBy : open?.kind === 'no-verdict' ? open.why : null;
    return { ...named, outcome: 'too-wide', why };
  }
  const worst = verdicts.reduce((a, b) => (RANK[b.kind] > RANK[a.kind] ? b : a));
  switch (worst.kind) {
    case 'within':
      return {
        ...named,
        outcome: verdicts.every((v) => v.kind !== 'within' || v.figureChecked)
          ? 'within'
          : 'within-unchecked',
        why: null,
      };
    case 'too-close':
      return { ...named, outcome: 'too-close', why: worst.settledBy };
    case 'over':
      return {
        ...named,
        outcome: 'too-close',
        why: 'The aim that the rules share lies outside one of them.',
      };
    case 'no-verdict':
      return { ...named, outcome: 'no-figure', why: worst.why };
  }
}

/** U and near field wider than a row's limits are apart: not even their middle could be proven. */
function isTooNarrow(row: SchemeRow, input: JudgeInput): boolean {
  const { vertical, lateral } = measureForRow(row, input);
  return [
    { measured: vertical, limits: row.vertical },
    { measured: lateral, limits: row.lateral },
  ].some(({ measured, limits }) => {
    if (measured === null || limits === null || !hasLimit(limits)) return false;
    const judged = judgeLimits(measured, limits);
    return judged.outcome === 'too-close' && judged.bandTooNarrow;
  });
}

/** The verdict that stands most in the way goes for the scheme; a row that we hold no figure for stands in nobody's. */
const RANK: Readonly<Record<Verdict['kind'], number>> = {
  'no-verdict': 0,
  within: 1,
  'too-close': 2,
  over: 3,
};

function bandOf(aim: Extract<CommonAim, { kind: 'shared' }>): Band | null {
  const mins = aim.each.flatMap(({ band }) => (band.minPct === null ? [] : [band.minPct]));
  const maxs = aim.each.flatMap(({ band }) => (band.maxPct === null ? [] : [band.maxPct]));
  if (mins.length === 0 && maxs.length === 0) return null;
  return {
    minPct: mins.length === 0 ? null : Math.max(...mins),
    maxPct: maxs.length === 0 ? null : Math.min(...maxs),
  };
}
