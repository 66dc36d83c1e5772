import type { SeriesOutcome } from './brackets-run.ts';
import { type AccuracyRow, quantile, rms, row } from './rows.ts';
import type { CaseOutcome } from './run-case.ts';

const known = (values: readonly (number | null)[]): number[] => values.filter((v): v is number => v !== null);

/** Brackets, and single photos with a lamps-off photo beside them. */
export function seriesRows(
  all: readonly SeriesOutcome[],
  photos: readonly CaseOutcome[],
  seed: number,
): AccuracyRow[] {
  const rows: AccuracyRow[] = [];
  const add = (name: string, values: readonly number[], limits: readonly [number | null, number | null]) => {
    const errors = values.map(Math.abs);
    rows.push(row(`${name}: median`, quantile(errors, 0.5), '%', limits[0], errors.length, seed));
    rows.push(row(`${name}: 95 %`, quantile(errors, 0.95), '%', limits[1], errors.length, seed));
  };
  const brackets = all.filter((s) => s.label.series === 'bracket');
  const dark = brackets.filter((s) => s.label.ambientLux <= 3);
  add('brackets, up to 3 lx: drop', known(dark.map((s) => s.drop)), [0.02, 0.06]);
  add('brackets, 3 to 10 lx: drop', known(brackets.filter((s) => !dark.includes(s)).map((s) => s.drop)), [
    null,
    0.25,
  ]);
  add('brackets: hot spot', known(brackets.map((s) => s.hotSpot)), [0.15, 0.6]);
  add('brackets: elbow', known(brackets.map((s) => s.elbow)), [null, null]);
  rows.push(
    row(
      'brackets: rms of z (light and marks alone)',
      rms(known(dark.map((s) => s.zDrop))),
      '',
      1.15,
      dark.length,
      seed,
    ),
  );
  const offs = all.filter((s) => s.label.series === 'one-and-off');
  add('3 to 10 lx with a lamps-off photo: drop', known(offs.map((s) => s.drop)), [null, 0.12]);
  const single = photos.filter((c) => c.label.ambientLux <= 3).map((c) => c.drop);
  add(
    'one photo, up to 3 lx or with a lamps-off photo: drop',
    known([...single, ...offs.map((s) => s.drop)]),
    [0.025, 0.12],
  );
  const refused = all.filter((s) => s.refused !== null);
  rows.push(row('series refused', refused.length / Math.max(1, all.length), '', 0.03, all.length, seed));
  for (const why of [...new Set(refused.map((s) => `${s.refused!.stage}: ${s.refused!.why}`))].sort()) {
    const n = refused.filter((s) => `${s.refused!.stage}: ${s.refused!.why}` === why).length;
    rows.push(row(`  series refused because of ${why}`, n, 'count', null, all.length, seed));
  }
  return rows;
}
