/**
 * Photographs that must not get a confident number: a table by kind. `--per-kind n` (3), `--json` for a line per photo,
 * `--only TEXT` for kinds whose name holds it, `--width px` (2000), `--seed`, `--good n` reads ordinary photos instead.
 */
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { KINDS } from './kinds.ts';
import type { Outcome } from './run-kind.ts';

const flag = (name: string) => process.argv.includes(`--${name}`);
const option = (name: string): string | undefined => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? undefined : process.argv[at + 1];
};
const perKind = Number(option('per-kind') ?? 3);
const only = option('only') ?? '';
const width = Number(option('width') ?? 2000);
const seed = Number(option('seed') ?? 7100);
const good = Number(option('good') ?? 0);
const workers = Number(option('workers') ?? 2);

const outcomes: Outcome[] = [];
const crashes: string[] = [];
await Promise.all(
  Array.from({ length: workers }, (_, w) => {
    const child = spawn(
      process.execPath,
      [
        '--import',
        'tsx',
        join(import.meta.dirname, 'part.ts'),
        ...[w, workers, good > 0 ? 0 : perKind, width, seed].map(String),
        only,
        String(good),
      ],
      { stdio: ['ignore', 'pipe', 'inherit'] },
    );
    createInterface({ input: child.stdout }).on('line', (line) => {
      const said = JSON.parse(line) as Outcome | { crashed: string };
      if ('crashed' in said) crashes.push(said.crashed);
      else {
        outcomes.push(said);
        if (flag('json')) console.log(line);
      }
    });
    return new Promise<void>((done, fail) => {
      child.on('close', (code) => (code === 0 ? done() : fail(new Error(`a worker ended with ${code}`))));
    });
  }),
);
for (const crash of crashes) console.error(crash);

const count = (list: readonly Outcome[], result: Outcome['result']) =>
  list.filter((o) => o.result === result).length;
const excused = new Set(KINDS.filter((k) => k.onlyWarned !== undefined).map((k) => k.name));
const inexcusable = outcomes.filter((o) => !excused.has(o.kind));
const reasons = (list: readonly Outcome[]): string => {
  const by = new Map<string, number>();
  for (const o of list) if (o.result !== 'covered') by.set(o.why, (by.get(o.why) ?? 0) + 1);
  return [...by].map(([why, n]) => `${why} ${n}`).join(', ');
};
if (good > 0) {
  const warnings = new Map<string, number>();
  for (const o of outcomes) for (const w of o.warnings) warnings.set(w, (warnings.get(w) ?? 0) + 1);
  console.log(
    `${outcomes.length} ordinary photos: refused ${count(outcomes, 'refused')}, no number ${count(outcomes, 'no-number')}, beyond 1.5 U ${count(outcomes, 'wrong')} (${reasons(outcomes)})`,
  );
  for (const [text, n] of [...warnings].sort((a, b) => b[1] - a[1])) console.log(`${n}  ${text}`);
} else if (!flag('json')) {
  console.log(`${'kind'.padEnd(52)} n  refused no-number within-U wrong  reasons; worst error/U; warnings`);
  for (const kind of KINDS) {
    const list = outcomes.filter((o) => o.kind === kind.name);
    if (list.length === 0) continue;
    const worst = Math.max(0, ...list.map((o) => (o.error !== null && o.U ? Math.abs(o.error) / o.U : 0)));
    const warned = list.filter((o) => o.warnings.length > 0).length;
    console.log(
      `${kind.name.padEnd(52)} ${list.length} ${String(count(list, 'refused')).padStart(8)} ${String(count(list, 'no-number')).padStart(9)} ${String(count(list, 'covered')).padStart(8)} ${String(count(list, 'wrong')).padStart(5)}  ${reasons(list)}; ${worst.toFixed(1)}; warned ${warned}`,
    );
  }
  console.log(
    `${outcomes.length} photos of ${KINDS.length} kinds, ${count(outcomes, 'wrong')} confidently wrong, ${count(inexcusable, 'wrong')} of them where a photo could tell`,
  );
  for (const kind of KINDS) if (kind.onlyWarned) console.log(`${kind.name}: ${kind.onlyWarned}`);
}
if (crashes.length > 0 || (good === 0 && count(inexcusable, 'wrong') > 0)) process.exitCode = 1;
