/**
 * Speed as ratios within one run: what a reading costs beside decoding the same file. Times alone say little about
 * another machine; ratios hold. `--json` prints a line per row like the accuracy table.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { estimateAddedLight, withoutAdded } from '../../src/core/beam/added-light.ts';
import { measureHotSpot } from '../../src/core/beam/hot-spot.ts';
import { readJoint } from '../../src/core/beam/joint/joint-reading.ts';
import { traceEdge } from '../../src/core/beam/trace-edge.ts';
import { sampleLightGrid } from '../../src/core/sampling/sample-grid.ts';
import { tanFromDeg } from '../../src/core/units.ts';
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

// The joint fit alone, on the same photo's light: six ways of filling, far values and elbow.
const read = (await readJob(job, { decode, shots: [shot.id] })).shots[0]!;
if (read.state !== 'read') throw new Error(`the sample could not be read: ${read.detail}`);
const grid = sampleLightGrid(raster, read.registration, read.view, { extent: job.board.extent });
const spot = measureHotSpot(grid)!;
const light = withoutAdded(grid, estimateAddedLight(grid, spot, 0.01));
const edge = traceEdge(light, 0.01)!;
const about = edge.line.bend - edge.line.side * tanFromDeg(2.5);
const columns = Array.from({ length: grid.columns }, (_, c) => c).filter(
  (c) => Math.abs(grid.u0 + c * grid.du - about) < tanFromDeg(1),
);
const lamp = {
  heightMm: 170,
  widthMm: 170,
  uSize: 0.05,
  filling: 'unknown',
  distanceMm: read.view.distanceMm,
} as const;
const fitting = await timed(async () => readJoint(light, edge, columns, lamp));
const rows = [
  {
    name: `reading a ${Math.round((raster.width * raster.height) / 1e6)} MP photo of ${(bytes.length / 1e6).toFixed(1)} MB but for the joint fit, beside decoding it`,
    value: (reading.median - fitting.median) / decoding.median,
    unit: 'ratio',
    limit: 3,
  },
  {
    name: 'joint fit of one shot, beside decoding (a photo of 12 MP decodes in 0.1 to 0.2 s)',
    value: fitting.median / decoding.median,
    unit: 'ratio',
    limit: 2,
  },
  { name: 'joint fit of one shot', value: fitting.median, unit: 'ms', limit: 400 },
];
for (const r of rows) {
  const ok = r.value <= r.limit;
  if (json)
    console.log(
      JSON.stringify({ name: r.name, value: r.value, unit: r.unit, limit: r.limit, ok, n: RUNS, seed: 0 }),
    );
  else console.log(`${r.name}: ${r.value.toFixed(2)} (limit ${r.limit}${ok ? '' : ', MISSED'})`);
}
if (!json)
  console.log(
    `decode ${decoding.median.toFixed(0)} ms (best ${decoding.best.toFixed(0)}), read ${reading.median.toFixed(0)} ms (best ${reading.best.toFixed(0)}); Node ${process.version}, ${RUNS} runs`,
  );
if (rows.some((r) => r.value > r.limit)) process.exitCode = 1;
