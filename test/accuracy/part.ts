/** One worker of an accuracy run: `part.ts first step count big seed` runs every step-th case and prints a JSON line each. */
import { runSeries } from './brackets-run.ts';
import { runCase } from './run-case.ts';
import { runDistances } from './run-distances.ts';

const [first, step, count, big, seed] = process.argv.slice(2).map(Number) as [
  number,
  number,
  number,
  number,
  number,
];

/** One thing tried: a crash of it is counted, and the others go on. */
async function attempt(name: string, at: number, work: () => Promise<unknown>): Promise<void> {
  try {
    console.log(JSON.stringify({ [name]: await work() }));
  } catch (error) {
    console.log(JSON.stringify({ crashed: at, error: String(error instanceof Error ? error.stack : error) }));
  }
}

for (let i = first; i < count; i += step) {
  const at = seed + i;
  await attempt('photo', at, () => runCase(at, i < big ? 12 : 3));
  if (i % 4 < 2) await attempt('series', at, () => runSeries(at, 'bracket'));
  if (i % 8 === 2 || i % 8 === 3) await attempt('series', at, () => runSeries(at, 'one-and-off', [3, 10]));
  if (i % 8 === 4 || i % 8 === 7) await attempt('distances', at, () => runDistances(at));
}
