/** One worker of an accuracy run: `part.ts first step count big` runs every step-th case and prints a JSON line each. */
import { runCase } from './run-case.ts';

const [first, step, count, big, seed] = process.argv.slice(2).map(Number) as [
  number,
  number,
  number,
  number,
  number,
];
for (let i = first; i < count; i += step) {
  const megapixels = i < big ? 12 : 3;
  try {
    console.log(JSON.stringify(await runCase(seed + i, megapixels)));
  } catch (error) {
    console.log(
      JSON.stringify({ crashed: seed + i, error: String(error instanceof Error ? error.stack : error) }),
    );
  }
}
