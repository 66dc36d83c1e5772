/**
 * The accuracy table: seeded photos of seeded lamps, read as any photo is. `--quick` for continuous checks, `--json` for a
 * line per row, `--n`, `--seed`, `--out FILE` (the single outcomes) for looking closer.
 */
import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { tableOf } from './rows.ts';
import type { CaseOutcome } from './run-case.ts';
import { rowsOf } from './table.ts';

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

const workers = Math.max(1, Math.min(2, cpus().length));
const outcomes: CaseOutcome[] = [];
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
      const outcome = JSON.parse(line) as CaseOutcome | { crashed: number; error: string };
      if ('crashed' in outcome) crashes.push(`seed ${outcome.crashed}: ${outcome.error}`);
      else outcomes.push(outcome);
      if (!json && process.stderr.isTTY) process.stderr.write(`\r${outcomes.length} of ${count}`);
    });
    return new Promise<void>((done, fail) => {
      child.on('close', (code) => (code === 0 ? done() : fail(new Error(`a worker ended with ${code}`))));
    });
  }),
);
outcomes.sort((a, b) => a.label.seed - b.label.seed);
const out = option('out');
if (out) writeFileSync(out, outcomes.map((o) => JSON.stringify(o)).join('\n'));
for (const crash of crashes) console.error(crash);

const rows = rowsOf(outcomes, crashes.length, seed);
if (json) for (const r of rows) console.log(JSON.stringify(r));
else {
  console.log(tableOf(rows));
  console.log(
    `${outcomes.length} photos, seed ${seed}, ${((performance.now() - started) / 1000).toFixed(0)} s on ${workers} cores`,
  );
}
if (rows.some((r) => !r.ok)) process.exitCode = 1;
