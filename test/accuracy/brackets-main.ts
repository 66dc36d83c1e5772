/**
 * Brackets and lamps-off photos, seeded: `brackets-main.ts [--n 60] [--seed 5000] [--kinds bracket,one-and-off]
 * [--out FILE] [--keep FOLDER]`. `--keep` holds the drawn photos, so that a second run only reads.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import type { SeriesKind } from './brackets-case.ts';
import { runSeries, type SeriesOutcome } from './brackets-run.ts';
import { tableOf } from './rows.ts';
import { seriesRows } from './table-series.ts';

const option = (name: string, otherwise: string): string => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? otherwise : process.argv[at + 1]!;
};
const n = Number(option('n', '60'));
const seed = Number(option('seed', '5000'));
const out = option('out', '');
const keep = option('keep', '') || undefined;
if (keep !== undefined) mkdirSync(keep, { recursive: true });
const LUX: Readonly<Record<SeriesKind, readonly [number, number]>> = {
  bracket: [0, 3],
  'bracket-and-off': [0, 10],
  'one-and-off': [3, 10],
  one: [3, 10],
};
const all: SeriesOutcome[] = [];
for (const kind of option('kinds', Object.keys(LUX).join(',')).split(',') as SeriesKind[]) {
  const outcomes: SeriesOutcome[] = [];
  for (let k = 0; k < n; k++) outcomes.push(await runSeries(seed + k, kind, LUX[kind], keep));
  all.push(...outcomes);
  console.log(tableOf(seriesRows(outcomes, [], seed)));
  for (const o of outcomes)
    if (o.refused)
      console.log(
        `  ${o.label.seed} refused at ${o.refused.stage}: ${o.refused.why} ${o.warnings.join(' ')}`,
      );
}
if (out) writeFileSync(out, all.map((o) => JSON.stringify(o)).join('\n'));
