import type { JudgeInput } from './judge-input.ts';
import { judgeLimits } from './judge-limits.ts';
import { aimWithoutLimits, hasLimit, tooWideToProve, whatSettles, whyNotJudged } from './judge-words.ts';
import { measureForRow } from './measurand.ts';
import type { Scheme, SchemeRow } from './scheme.ts';
import { type SelectedRow, selectRows } from './select-rows.ts';
import type { OverHow, Verdict } from './verdict.ts';

/**
 * What a scheme says of a reading: one verdict for each row that speaks of this lamp and beam.
 *
 * The rule is JCGM 106 with a guard band of U (k = 2), taken at both ends of the interval that near field leaves
 * open; the probability in a verdict is the one at the end that speaks most against it. Where the lamp's height may
 * fall under two bands, both must hold for 'within'. Rows that are alternatives by the maker's choice give a verdict
 * only when they agree.
 *
 * @returns at least one verdict; `row` is a row's id, or the scheme's when none of its rows speaks of this beam.
 */
export function judgeScheme(scheme: Scheme, input: JudgeInput): readonly Verdict[] {
  const selection = selectRows(scheme, input);
  if (selection.kind === 'none') return [noVerdict(scheme.id, selection.why)];

  const certain = selection.rows.filter((r) => r.heightProbability === 1 && r.row.choice === undefined);
  const options = selection.rows.filter((r) => r.heightProbability === 1 && r.row.choice !== undefined);
  const doubtful = selection.rows.filter((r) => r.heightProbability !== 1);
  return [
    ...certain.map(({ row }) => judgeRow(row, input)),
    ...grouped(options, (r) => r.row.choice!).flatMap((rows) => judgeOptions(rows, input)),
    ...grouped(doubtful, (r) => `${r.row.feature} ${r.row.loadState}`).flatMap((rows) =>
      judgeStraddle(rows, input),
    ),
  ];
}

/** One row by itself, taking its height range to hold. */
export function judgeRow(row: SchemeRow, input: JudgeInput): Verdict {
  const barred = whyNotJudged(row, input);
  if (barred !== null) return noVerdict(row.id, barred);

  const measured = measureForRow(row, input);
  const vertical =
    measured.vertical === null || !hasLimit(row.vertical)
      ? null
      : judgeLimits(measured.vertical, row.vertical);
  const lateral =
    measured.lateral === null || row.lateral === null || !hasLimit(row.lateral)
      ? null
      : judgeLimits(measured.lateral, row.lateral);
  const figureChecked = row.source.seen !== 'memory';

  // Too high goes first: it is the fault that dazzles.
  for (const [judged, axis] of [
    [vertical, 'vertical'],
    [lateral, 'lateral'],
  ] as const) {
    if (judged?.outcome === 'below-min' || judged?.outcome === 'above-max')
      return {
        kind: 'over',
        row: row.id,
        how: howOver(judged.outcome === 'below-min' ? 'min' : 'max', axis),
        probability: 1 - judged.insideAtBest,
        figureChecked,
      };
  }
  if (measured.missing !== null) return noVerdict(row.id, measured.missing);
  if (vertical === null && lateral === null)
    return noVerdict(row.id, aimWithoutLimits(row, measured.vertical));
  if (row.vertical.minPct === null && row.vertical.maxPct !== null)
    return noVerdict(
      row.id,
      "The figures we hold here have no limit for too high, so they can't show that this lamp does not dazzle.",
    );

  // The two are taken as independent: they share hardly any cause (levels make one, the vehicle's axis the other).
  const probability = (vertical?.insideAtWorst ?? 1) * (lateral?.insideAtWorst ?? 1);
  const open = [
    { judged: vertical, axis: 'vertical', measured: measured.vertical },
    { judged: lateral, axis: 'lateral', measured: measured.lateral },
  ] as const;
  const worst = open
    .filter((o) => o.judged !== null && o.judged.outcome === 'too-close')
    .sort((a, b) => a.judged!.insideAtWorst - b.judged!.insideAtWorst)[0];
  if (worst === undefined) return { kind: 'within', row: row.id, figureChecked, probability };
  if (worst.judged!.bandTooNarrow)
    return noVerdict(row.id, tooWideToProve(worst.judged!, worst.measured!, probability));
  return {
    kind: 'too-close',
    row: row.id,
    probability,
    nearest: howOver(worst.judged!.nearest, worst.axis),
    settledBy: whatSettles(worst.judged!, worst.measured!),
    figureChecked,
  };
}

/** Alternatives by the maker's choice: a verdict only where all say the same. */
function judgeOptions(rows: readonly SelectedRow[], input: JudgeInput): readonly Verdict[] {
  const verdicts = rows.map(({ row }) => judgeRow(row, input));
  if (verdicts.length === 1 || unanimous(verdicts)) return verdicts;
  const kinds = verdicts.map((v) => `${v.row}: ${VERDICT_TEXT[v.kind]}`).join('; ');
  return [
    noVerdict(
      verdicts[0]!.row,
      `The maker chose one of two bands and they disagree here (${kinds}). The plate near the lamps or by the maker's plate says which: type in its figure.`,
    ),
  ];
}

const VERDICT_TEXT = {
  within: 'within',
  over: 'over',
  'too-close': 'too close to call',
  'no-verdict': 'no verdict',
} as const;

/** The height falls under one of several bands, and it is not known which. */
function judgeStraddle(rows: readonly SelectedRow[], input: JudgeInput): readonly Verdict[] {
  const verdicts = rows.map(({ row }) => judgeRow(row, input));
  if (unanimous(verdicts)) return verdicts;
  const open = verdicts.find((v) => v.kind === 'no-verdict');
  if (open !== undefined) return [open];

  const where =
    rows[0]!.row.heightReference === 'centre' ? "the lamp's centre" : 'the lower edge of the lamp';
  // The one furthest from 'within' is the one to name.
  const worst = verdicts.toSorted((a, b) => insideProbability(a) - insideProbability(b))[0]!;
  const known = rows.every(({ heightProbability }) => heightProbability !== null);
  if (!known)
    return [
      noVerdict(
        worst.row,
        `Which band holds depends on the height of ${where}, which is not given. Measure it.`,
      ),
    ];
  // Alternatives of one height share that height's probability: the one that speaks most against 'within' counts.
  const byHeight = grouped(
    rows.map(({ row, heightProbability }, i) => ({ row, p: heightProbability!, verdict: verdicts[i]! })),
    ({ row }) => `${row.height.overMm} ${row.height.upToMm}`,
  );
  const total = byHeight.reduce((sum, same) => sum + same[0]!.p, 0);
  const probability = byHeight.reduce(
    (sum, same) =>
      sum + (same[0]!.p / total) * Math.min(...same.map(({ verdict }) => insideProbability(verdict))),
    0,
  );
  return [
    {
      kind: 'too-close',
      row: worst.row,
      probability,
      nearest: worst.kind === 'over' ? worst.how : worst.kind === 'too-close' ? worst.nearest : 'too-high',
      settledBy: `Measure the height of ${where} again: as it stands, either of two bands may hold, and only one of them is met for sure.`,
      figureChecked: verdicts.every((v) => v.kind === 'no-verdict' || v.figureChecked),
    },
  ];
}

function unanimous(verdicts: readonly Verdict[]): boolean {
  const first = verdicts[0]!;
  return verdicts.every(
    (v) =>
      v.kind === first.kind &&
      v.kind !== 'no-verdict' &&
      v.kind !== 'too-close' &&
      (v.kind !== 'over' || (first.kind === 'over' && v.how === first.how)),
  );
}

function insideProbability(v: Verdict): number {
  switch (v.kind) {
    case 'within':
    case 'too-close':
      return v.probability;
    case 'over':
      return 1 - v.probability;
    case 'no-verdict':
      return 0;
  }
}

function howOver(limit: 'min' | 'max', axis: 'vertical' | 'lateral'): OverHow {
  if (axis === 'vertical') return limit === 'min' ? 'too-high' : 'too-low';
  return limit === 'min' ? 'too-far-left' : 'too-far-right';
}

function noVerdict(row: string, why: string): Verdict {
  return { kind: 'no-verdict', row, why };
}

function grouped<T>(items: readonly T[], keyOf: (item: T) => string): T[][] {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    groups.set(key, [...(groups.get(key) ?? []), item]);
  }
  return [...groups.values()];
}
