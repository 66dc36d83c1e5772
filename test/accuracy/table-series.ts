import type { SeriesKind } from './brackets-case.ts';
import type { SeriesOutcome } from './brackets-run.ts';
import { type AccuracyRow, quantile, rms, row } from './rows.ts';
import type { CaseOutcome } from './run-case.ts';

/** Targets, absolute per cent, median and 95 %; null: told, not judged. */
type Limits = readonly [number | null, number | null];
const TOLD: Limits = [null, null];

/** What is asked of each kind of series. */
const ASKED: readonly {
  readonly kind: SeriesKind;
  readonly words: string;
  readonly dark: Limits;
  readonly bright: Limits;
  readonly hotSpot: Limits;
}[] = [
  { kind: 'bracket', words: 'brackets', dark: [0.02, 0.06], bright: [null, 0.25], hotSpot: [0.15, 0.6] },
  {
    kind: 'bracket-and-off',
    words: 'brackets with a lamps-off photo',
    dark: [0.02, 0.06],
    bright: [0.02, 0.06],
    hotSpot: [0.15, 0.6],
  },
  {
    kind: 'one-and-off',
    words: 'one photo with a lamps-off photo',
    dark: TOLD,
    bright: [null, 0.12],
    hotSpot: TOLD,
  },
  { kind: 'one', words: 'one photo of a series', dark: TOLD, bright: TOLD, hotSpot: TOLD },
];

const known = (values: readonly (number | null)[]): number[] => values.filter((v): v is number => v !== null);

/**
 * Brackets, and photos with a lamps-off photo beside them, by kind and room light, read with the world's true numbers. z is
 * error over standard uncertainty of the light's and the marks' own parts.
 *
 * @param photos single photos, for the row that counts them together with the lamps-off ones.
 */
export function seriesRows(
  all: readonly SeriesOutcome[],
  photos: readonly CaseOutcome[],
  seed: number,
): AccuracyRow[] {
  const rows: AccuracyRow[] = [];
  const add = (name: string, values: readonly (number | null)[], limits: Limits) => {
    const errors = known(values).map(Math.abs);
    if (errors.length === 0) return;
    rows.push(row(`${name}: median`, quantile(errors, 0.5), '%', limits[0], errors.length, seed));
    rows.push(row(`${name}: 95 %`, quantile(errors, 0.95), '%', limits[1], errors.length, seed));
  };
  const spread = (name: string, zs: readonly (number | null)[], limit: number | null) => {
    const found = known(zs);
    if (found.length > 0) rows.push(row(`${name}: rms of z`, rms(found), '', limit, found.length, seed));
  };
  for (const { kind, words, dark, bright, hotSpot } of ASKED) {
    const some = all.filter((s) => s.label.series === kind);
    const low = some.filter((s) => s.label.ambientLux <= 3);
    const high = some.filter((s) => s.label.ambientLux > 3);
    add(
      `${words}, up to 3 lx: drop`,
      low.map((s) => s.drop),
      dark,
    );
    spread(
      `${words}, up to 3 lx: drop`,
      low.map((s) => s.zDrop),
      kind === 'bracket' ? 1.15 : null,
    );
    add(
      `${words}, 3 to 10 lx: drop`,
      high.map((s) => s.drop),
      bright,
    );
    spread(
      `${words}, 3 to 10 lx: drop`,
      high.map((s) => s.zDrop),
      null,
    );
    add(
      `${words}: elbow`,
      some.map((s) => s.elbow),
      TOLD,
    );
    add(
      `${words}: hot spot`,
      some.map((s) => s.hotSpot),
      hotSpot,
    );
    spread(
      `${words}: hot spot`,
      some.map((s) => s.zHotSpot),
      null,
    );
  }
  const offs = all.filter((s) => s.label.series === 'one-and-off').map((s) => s.drop);
  const single = photos.filter((c) => c.label.ambientLux <= 3).map((c) => c.drop);
  if (single.length > 0)
    add('one photo, up to 3 lx or with a lamps-off photo: drop', [...single, ...offs], [0.025, 0.12]);
  const refused = all.filter((s) => s.refused !== null);
  rows.push(row('series refused', refused.length / Math.max(1, all.length), '', 0.03, all.length, seed));
  for (const why of [...new Set(refused.map((s) => `${s.refused!.stage}: ${s.refused!.why}`))].sort()) {
    const n = refused.filter((s) => `${s.refused!.stage}: ${s.refused!.why}` === why).length;
    rows.push(row(`  series refused because of ${why}`, n, 'count', null, all.length, seed));
  }
  return rows;
}
