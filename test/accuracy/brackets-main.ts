/**
 * Brackets and lamps-off photos, seeded: `brackets-main.ts [--n 60] [--seed 5000] [--out FILE] [--kinds a,b]
 * [--keep FOLDER]`. Prints what
 * came of each kind: median and 95 % of the errors, and rms of error over standard uncertainty.
 */
import { writeFileSync } from 'node:fs';
import type { SeriesKind } from './brackets-case.ts';
import { runSeries, type SeriesOutcome } from './brackets-run.ts';
import { quantile, rms } from './rows.ts';

const option = (name: string, otherwise: string): string => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? otherwise : process.argv[at + 1]!;
};
const n = Number(option('n', '60'));
const seed = Number(option('seed', '5000'));
const out = option('out', '');
const keep = option('keep', '') || undefined;
const KINDS: Readonly<
  Record<string, { readonly kind: SeriesKind; readonly ambient?: readonly [number, number] }>
> = {
  bracket: { kind: 'bracket', ambient: [0, 3] },
  'bracket-and-off': { kind: 'bracket-and-off', ambient: [0, 10] },
  'one-and-off': { kind: 'one-and-off', ambient: [3, 10] },
  one: { kind: 'one', ambient: [3, 10] },
};
const all: SeriesOutcome[] = [];
for (const name of option('kinds', Object.keys(KINDS).join(',')).split(',')) {
  const { kind, ambient } = KINDS[name]!;
  const outcomes: SeriesOutcome[] = [];
  for (let k = 0; k < n; k++) outcomes.push(await runSeries(seed + k, kind, ambient, keep));
  all.push(...outcomes);
  const numbers = (of: (o: SeriesOutcome) => number | null): number[] =>
    outcomes.map(of).filter((x): x is number => x !== null && Number.isFinite(x));
  const line = (what: string, errors: readonly number[], zs: readonly number[]): string => {
    const a = errors.map(Math.abs);
    return `${what} ${quantile(a, 0.5).toFixed(3)} / ${quantile(a, 0.95).toFixed(3)} z ${rms(zs).toFixed(2)}`;
  };
  const refused = outcomes.filter((o) => o.refused);
  console.log(
    [
      `${name} (${n})`,
      line(
        'drop',
        numbers((o) => o.drop),
        numbers((o) => o.zDrop),
      ),
      line(
        'elbow',
        numbers((o) => o.elbow),
        numbers((o) => o.zElbow),
      ),
      line(
        'hot spot',
        numbers((o) => o.hotSpot),
        numbers((o) => o.zHotSpot),
      ),
      `warned ${outcomes.filter((o) => o.warnings.length > 0).length}`,
      `refused ${refused.length}: ${refused.map((o) => `${o.label.seed} ${o.refused!.why}`).join(', ')}`,
    ].join('; '),
  );
}
if (out) writeFileSync(out, all.map((o) => JSON.stringify(o)).join('\n'));
