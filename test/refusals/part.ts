/** One worker: `part.ts first step perKind width seed only` reads every step-th bad photo and prints a JSON line each. */
import { KINDS } from './kinds.ts';
import { runGood, runKind } from './run-kind.ts';

const [first, step, perKind, width, seed] = process.argv.slice(2, 7).map(Number) as [
  number,
  number,
  number,
  number,
  number,
];
const only = process.argv[7] ?? '';
const good = Number(process.argv[8] ?? 0);
for (let i = first; i < good; i += step) {
  try {
    console.log(JSON.stringify(await runGood(seed + i)));
  } catch (error) {
    console.log(JSON.stringify({ crashed: `ordinary photo ${seed + i}: ${String(error)}` }));
  }
}
let at = 0;
for (const kind of KINDS.filter((k) => k.name.includes(only))) {
  for (let i = 0; i < perKind; i++) {
    if (at++ % step !== first) continue;
    const own = seed + 101 * KINDS.indexOf(kind) + i;
    try {
      console.log(JSON.stringify(await runKind(kind, own, width)));
    } catch (error) {
      const said = String(error instanceof Error ? error.stack : error);
      console.log(JSON.stringify({ crashed: `${kind.name} ${own}: ${said}` }));
    }
  }
}
