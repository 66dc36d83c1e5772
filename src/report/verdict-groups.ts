/** A shot's verdicts gathered by scheme: a scheme may ask several things of one lamp, and all of them must hold. */
import type { Feature, Scheme, SchemeRow } from '../core/rules/scheme.ts';
import type { Verdict } from '../core/rules/verdict.ts';
import type { Job } from '../job/job.ts';
import type { ReadShot } from '../job/result.ts';
import type { Units } from './format.ts';
import { askedWords, type Dialect, riseWord, rowOf, verdictHeadline } from './words.ts';

export interface VerdictPart {
  readonly verdict: Verdict;
  /** null when the verdict speaks of the scheme as a whole. */
  readonly row: SchemeRow | null;
}

/** One scheme's say about one shot. */
export interface VerdictGroup {
  /** A, B, C...: stands at the tape and before the scheme's name. */
  readonly letter: string;
  readonly scheme: string;
  readonly title: string;
  /** The part that decides: a fault before an open question before silence before a pass. */
  readonly gravest: Verdict;
  readonly parts: readonly VerdictPart[];
}

const GRAVITY: Readonly<Record<Verdict['kind'], number>> = {
  over: 3,
  'too-close': 2,
  'no-verdict': 1,
  within: 0,
};

/** The groups in the schemes' order, lettered. */
export function verdictGroups(
  job: Pick<Job, 'schemes'>,
  shot: Pick<ReadShot, 'verdicts'>,
): readonly VerdictGroup[] {
  const parts = new Map<string, VerdictPart[]>();
  for (const { scheme, verdict } of shot.verdicts) {
    const row = rowOf(job.schemes, scheme, verdict.row);
    parts.set(scheme, [...(parts.get(scheme) ?? []), { verdict, row }]);
  }
  return [...parts].map(([scheme, own], i) => ({
    letter: String.fromCharCode(65 + (i % 26)),
    scheme,
    title: titleOf(job.schemes, scheme),
    gravest: own.map((p) => p.verdict).reduce((a, b) => (graver(b, a) ? b : a)),
    parts: own,
  }));
}

/** Of two passes the one from memory decides: together they are no surer than it. */
function graver(a: Verdict, b: Verdict): boolean {
  if (a.kind === 'within' && b.kind === 'within') return b.figureChecked && !a.figureChecked;
  return GRAVITY[a.kind] > GRAVITY[b.kind];
}

function titleOf(schemes: readonly Scheme[], id: string): string {
  return schemes.find((s) => s.id === id)?.title ?? id;
}

/** "GB periodic inspection: within the limits". */
export function groupHeadline(group: VerdictGroup): string {
  return `${group.title}: ${verdictHeadline(group.gravest)}`;
}

/**
 * What each part asked for, one sentence per row; a part that came out otherwise than the whole says how.
 * Verdicts without figures (no row, or nothing to compare) give none.
 */
export function askedLines(group: VerdictGroup, units: Units, words: Dialect): readonly string[] {
  return group.parts.flatMap(({ verdict, row }) => {
    if (row === null || verdict.kind === 'no-verdict') return [];
    const asked = `${featureWord(row.feature, words)}: ${askedWords(row, units)}`;
    const otherwise = verdict.kind === group.gravest.kind ? '' : `; here it is ${verdictHeadline(verdict)}`;
    return [`${asked}${otherwise}.`];
  });
}

function featureWord(feature: Feature, words: Dialect): string {
  return {
    'flat-part': 'Level part of the edge',
    'flat-part-2.0R': 'Edge 2° right of straight ahead',
    'whole-top-edge': 'Whole upper edge',
    elbow: 'Elbow',
    'hot-spot-centre': 'Middle of the hot spot',
    'bright-zone-top-left': 'Top and left side of the bright zone',
    'rise-against-zone': `Edge straight ahead, below the ${riseWord(words)}`,
  }[feature];
}
