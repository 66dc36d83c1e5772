/**
 * The accuracy table: seeded photos of seeded lamps, read as any photo is. `--quick` for continuous checks, `--json` for a
 * line per row, `--n`, `--seed`, `--out FILE` (the single outcomes) for looking closer.
 */
import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { SeriesOutcome } from './brackets-run.ts';
import { tableOf } from './rows.ts';
import type { CaseOutcome } from './run-case.ts';
import type { DistancesOutcome } from './run-distances.ts';
import { rowsOf } from './table.ts';
import { doubtRows } from './table-doubt.ts';
import { farRows } from './table-far.ts';
import { seriesRows } from './table-series.ts';

const flag = (name: string) => process.argv.includes(`--${name}`);
const option = (name: string): string | undefined => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? undefined : process.argv[at + 1];
};
const quick = flag('quick');
const json = flag('json');
const count = Number(option('n') ?? (quick ? 40 : 320));
const big = Math.min(count, Number(option('big') ?? (quick ? 0 : 60)));
const seed = Number(option('seed') ?? 20260);

type Outcome =
  | { readonly photo: CaseOutcome }
  | { readonly series: SeriesOutcome }
  | { readonly distances: DistancesOutcome }
  | { readonly crashed: number; readonly error: string };

const workers = Math.max(1, Math.min(2, cpus().length));
const outcomes: CaseOutcome[] = [];
const series: SeriesOutcome[] = [];
const distances: DistancesOutcome[] = [];
const crashes: string[] = [];
const started = performance.now();
await Promise.all(
  Array.from({ length: workers }, (_, w) => {
    const child = spawn(
      process.execPath,
      [
        '--import',
        'tsx',
        join(import.meta.dirname, 'part.ts'),
        ...[w, workers, count, big, seed].map(String),
      ],
      { stdio: ['ignore', 'pipe', 'inherit'] },
    );
    createInterface({ input: child.stdout }).on('line', (line) => {
      const outcome = JSON.parse(line) as Outcome;
      if ('crashed' in outcome) crashes.push(`seed ${outcome.crashed}: ${outcome.error}`);
      else if ('photo' in outcome) outcomes.push(outcome.photo);
      else if ('series' in outcome) series.push(outcome.series);
      else distances.push(outcome.distances);
      if (!json && process.stderr.isTTY) process.stderr.write(`\r${outcomes.length} of ${count}`);
    });
    return new Promise<void>((done, fail) => {
      child.on('close', (code) => (code === 0 ? done() : fail(new Error(`a worker ended with ${code}`))));
    });
  }),
);
outcomes.sort((a, b) => a.label.seed - b.label.seed);
const out = option('out');
if (out) writeFileSync(out, JSON.stringify({ photos: outcomes, series, distances }));
for (const crash of crashes) console.error(crash);

const rows = [
  ...rowsOf(outcomes, crashes.length, seed),
  ...farRows(outcomes, distances, seed),
  ...seriesRows(series, outcomes, seed),
  ...doubtRows(outcomes, seed),
];
if (json) for (const r of rows) console.log(JSON.stringify(r));
else {
  console.log(tableOf(rows));
  console.log(
    `${outcomes.length} photos, seed ${seed}, ${((performance.now() - started) / 1000).toFixed(0)} s on ${workers} cores`,
  );
}
if (rows.some((r) => !r.ok)) process.exitCode = 1;
