/**
 * Speed as ratios within one run: what a reading costs beside decoding the same file. Times alone say little about
 * another machine; ratios hold. `--json` prints a line per row like the accuracy table.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { loadJob } from '../../src/job/load-job.ts';
import { readJob } from '../../src/job/read-job.ts';
import { decodePhoto } from '../../src/photo/node/decode.ts';

const folder = join(import.meta.dirname, '../../samples/marigold');
const RUNS = 9;
const json = process.argv.includes('--json');

/** Best and median of several runs, ms, after enough to warm up: the first ones measure the compiler. */
async function timed(work: () => Promise<unknown>): Promise<{ best: number; median: number }> {
  for (let i = 0; i < 6; i++) await work();
  const times: number[] = [];
  for (let i = 0; i < RUNS; i++) {
    const start = performance.now();
    await work();
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  return { best: times[0]!, median: times[times.length >> 1]! };
}

const job = await loadJob(join(folder, 'job.json'));
const shot = job.shots[0]!;
const name = shot.photos[0]!;
const bytes = readFileSync(join(folder, name));
const decode = (path: string) => decodePhoto(readFileSync(join(folder, path)), path);

const decoding = await timed(() => decodePhoto(bytes, name));
const reading = await timed(() => readJob(job, { decode, shots: [shot.id] }));
const { raster } = await decodePhoto(bytes, name);
const rows = [
  {
    name: `reading a ${Math.round((raster.width * raster.height) / 1e6)} MP photo of ${(bytes.length / 1e6).toFixed(1)} MB, beside decoding it`,
    value: reading.median / decoding.median,
    limit: 3,
  },
];
for (const r of rows) {
  const ok = r.value <= r.limit;
  if (json)
    console.log(
      JSON.stringify({ name: r.name, value: r.value, unit: 'ratio', limit: r.limit, ok, n: RUNS, seed: 0 }),
    );
  else console.log(`${r.name}: ${r.value.toFixed(2)} (limit ${r.limit}${ok ? '' : ', MISSED'})`);
}
if (!json)
  console.log(
    `decode ${decoding.median.toFixed(0)} ms (best ${decoding.best.toFixed(0)}), read ${reading.median.toFixed(0)} ms (best ${reading.best.toFixed(0)}); Node ${process.version}, ${RUNS} runs`,
  );
if (rows.some((r) => r.value > r.limit)) process.exitCode = 1;
