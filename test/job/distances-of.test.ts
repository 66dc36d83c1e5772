import { beforeAll, describe, expect, test } from 'vitest';
import type { DecodedPhoto } from '../../src/core/raster.ts';
import { expandedUncertainty, standardUncertainty } from '../../src/core/uncertainty/estimate.ts';
import { distancesOf } from '../../src/job/distances-of.ts';
import type { Job } from '../../src/job/job.ts';
import { jobFromFile } from '../../src/job/load-job.ts';
import { readJob } from '../../src/job/read-job.ts';
import type { JobResult, ReadShot } from '../../src/job/result.ts';
import type { JobFile } from '../../src/job/schema.ts';
import { textReport } from '../../src/report/text.ts';
import { factsOf, jobFor, LAMP, type RenderedShot, renderShot } from './rendered-job.ts';

// One lamp lit over 150 x 140 mm, photographed on the same board 4.8, 6.4 and 8.6 m away; the renderer's own dense
// evaluation is the truth. 1200 x 900 px: the noise of a small phone photo. The reader is not told how the lamp is lit.
const DISTANCES = [4800, 6400, 8600] as const;

let rendered: readonly RenderedShot[];
let photos: Record<string, DecodedPhoto>;
let two: { job: Job; result: JobResult };
let three: { job: Job; result: JobResult };

function render(distanceMm: number, seed: number): RenderedShot {
  // The tripod stays behind the lamps and zooms: the board fills every photo as it does from 5 m with 52 mm.
  const focal35Mm = Math.round((52 * (distanceMm + 400)) / 5400);
  const shot = renderShot(
    {
      camera: { widthPx: 1200, heightPx: 900, focal35Mm },
      opening: { filling: 'disc', widthMm: 150, heightMm: 140 },
      stand: {
        distanceMm,
        axisFoot: { X: LAMP.right, Y: LAMP.up },
        outOfPlumbDeg: 0,
        yawDeg: 0,
        rollDeg: 0,
      },
    },
    seed,
  );
  return { ...shot, photo: { ...shot.photo, facts: factsOf(shot.scene, shot.truth, focal35Mm) } };
}

function fileWith(shots: NonNullable<JobFile['shots']>, change: Partial<JobFile> = {}): JobFile {
  const file = jobFor({ shots, schemes: ['gb-lighting-default'], ...change });
  const lamp = file.vehicle.lamps[0]!;
  lamp.litHeight = 140;
  lamp.litWidth = 150;
  return file;
}

const shotAt = (distance: number, id = `at-${distance}`) => ({
  id,
  lamp: 'left-dip',
  photos: [`${distance}.jpg`],
  distance,
});

async function readShots(shots: NonNullable<JobFile['shots']>): Promise<{ job: Job; result: JobResult }> {
  const job = jobFromFile(fileWith(shots));
  return { job, result: await readJob(job, { decode: async (name) => photos[name]! }) };
}

beforeAll(async () => {
  rendered = DISTANCES.map((d, i) => render(d, 50 + i));
  photos = Object.fromEntries(rendered.map((r, i) => [`${DISTANCES[i]}.jpg`, r.photo]));
  three = await readShots(DISTANCES.map((d) => shotAt(d)));
  two = { job: three.job, result: without(three, 1) };
});

/** The same result as if one shot had not been taken. */
function without({ job, result }: { job: Job; result: JobResult }, left: number): JobResult {
  const shots = result.shots.filter((_, i) => i !== left);
  return { ...result, shots, distances: distancesOf(job, shots) };
}

const readOf = (result: JobResult) => result.shots.filter((s): s is ReadShot => s.state === 'read');
const farTruth = () => rendered[0]!.truth.far.dropPct!;

describe('one lamp on boards 4.8, 6.4 and 8.6 m away', () => {
  test('all three are read, and what the board shows differs from far by 0.25 to 0.8 %', () => {
    expect(readOf(three.result)).toHaveLength(3);
    rendered.forEach((r, i) => {
      const shift = r.truth.far.dropPct! - r.truth.onBoard.dropPct!;
      expect(shift).toBeGreaterThan(0.25);
      expect(shift).toBeLessThan(0.8);
      expect(Math.abs(readOf(three.result)[i]!.dropPct!.value - r.truth.onBoard.dropPct!)).toBeLessThan(0.1);
    });
  });

  test.each([
    { boards: 'two', of: () => two, mm: [4800, 8600] },
    { boards: 'three', of: () => three, mm: [4800, 6400, 8600] },
  ])('$boards boards: the far truth lies within U, and U is below 0.6 %', ({ of, mm }) => {
    const [found, ...others] = of().result.distances!;
    expect(others).toHaveLength(0);
    expect(found!.lamp).toBe('left-dip');
    expect(found!.distancesMm).toEqual(mm);
    const { farDropPct } = found!.far;
    expect(Math.abs(farDropPct.value - farTruth())).toBeLessThan(expandedUncertainty(farDropPct));
    // With the true geometry given, what is left is light and method.
    expect(Math.abs(farDropPct.value - farTruth())).toBeLessThan(0.3);
    expect(expandedUncertainty(farDropPct)).toBeLessThan(0.6);
    expect(found!.far.weights.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
    expect(found!.remarks.filter((r) => r.includes('contradict'))).toHaveLength(0);
  });

  test('three boards are surer than the outer two, and both surer of far than any board alone', () => {
    const u = (r: JobResult) => standardUncertainty(r.distances![0]!.far.farDropPct);
    expect(u(three.result)).toBeLessThan(u(two.result));
    for (const shot of readOf(three.result))
      expect(u(two.result)).toBeLessThan(standardUncertainty(shot.farAim!.dropPct!));
  });

  test('each distance has a floor of its own; the lamp height is shared and partly cancels', () => {
    const { parts } = three.result.distances![0]!.far.farDropPct;
    const floors = Object.keys(parts).filter((id) => id.startsWith('floor'));
    expect(new Set(floors).size).toBe(3);
    const height = Math.abs(parts['lamp-height@left-dip']!);
    // 3 mm at 4.8 m is 0.063 %, at 8.6 m 0.035 %.
    expect(height).toBeLessThan(0.063);
  });

  test('far rules are judged by the joint value, and the report prints it with U and the boards', () => {
    const found = three.result.distances![0]!;
    expect(found.verdicts.length).toBeGreaterThan(0);
    expect(found.verdicts.every((v) => v.scheme === 'gb-lighting-default')).toBe(true);
    const text = textReport(three.job, three.result);
    // U is some tenths of a per cent, so both are told to two places.
    const { farDropPct } = found.far;
    const U = expandedUncertainty(farDropPct).toFixed(2);
    expect(text).toContain(`From far    ${farDropPct.value.toFixed(2)} ± ${U} % down`);
    expect(text).toContain('SEVERAL DISTANCES TOGETHER');
    for (const m of ['4.80 m', '6.40 m', '8.60 m']) expect(text).toContain(m);
    const one = { ...three.result, shots: [three.result.shots[0]!], distances: [] };
    expect(textReport(three.job, one)).not.toContain('Boards at');
  });
});

describe('what is no second distance', () => {
  test('two shots at one distance, or 4.8 and 5 m: none', () => {
    const [first] = readOf(three.result);
    const again: ReadShot = { ...first!, shot: 'again' };
    expect(distancesOf(three.job, [first!, again])).toEqual([]);
    const nudged: ReadShot = { ...again, view: { ...again.view, distanceMm: 5000 } };
    expect(distancesOf(three.job, [first!, nudged])).toEqual([]);
  });

  test('a second photo from the same place replaces the first: the lamp may have been turned', () => {
    const [near, , far] = readOf(three.result);
    const drop = near!.dropPct!;
    const stale: ReadShot = { ...near!, shot: 'stale', dropPct: { ...drop, value: drop.value + 1 } };
    const found = distancesOf(three.job, [stale, near!, far!])[0]!;
    expect(found.shots).toEqual([near!.shot, far!.shot]);
    expect(found.far.farDropPct.value).toBeCloseTo(two.result.distances![0]!.far.farDropPct.value, 9);
  });

  test('shots of two lamps, or a shot that was not read: none', () => {
    const [near, , far] = readOf(three.result);
    expect(distancesOf(three.job, [near!, { ...far!, lamp: 'right-dip' }])).toEqual([]);
    expect(
      distancesOf(three.job, [near!, { ...far!, beam: { ...far!.beam, far: null } as ReadShot['beam'] }]),
    ).toEqual([]);
  });
});

describe('boards that contradict each other', () => {
  test('the lamp turned down by 1 % between the photos: U widens, and the remark asks what changed', () => {
    const [near, , far] = readOf(three.result);
    const turned: ReadShot = { ...far!, dropPct: { ...far!.dropPct!, value: far!.dropPct!.value + 1 } };
    const found = distancesOf(three.job, [near!, turned])[0]!;
    const calm = two.result.distances![0]!;
    expect(found.far.misfit).toBeGreaterThan(found.far.mostByChance);
    expect(found.remarks.join(' ')).toMatch(/contradict/);
    expect(calm.remarks.join(' ')).not.toMatch(/contradict/);
    const U = expandedUncertainty(found.far.farDropPct);
    expect(U).toBeGreaterThan(2 * expandedUncertainty(calm.far.farDropPct));
    // Before or after the turn: both lie within U.
    for (const truth of [farTruth(), farTruth() + 1])
      expect(Math.abs(found.far.farDropPct.value - truth)).toBeLessThan(U);
    const text = textReport(three.job, { ...three.result, distances: [found] });
    expect(text.replaceAll(/\s+/g, ' ')).toContain('The boards contradict each other');
  });

  test('boards at 6.4 and 8.6 m, 1.34 times as far: the remark asks for a third one further off', () => {
    const [, middle, far] = readOf(three.result);
    expect(distancesOf(three.job, [middle!, far!])[0]!.remarks.join(' ')).toMatch(/third one/);
    expect(two.result.distances![0]!.remarks.join(' ')).not.toMatch(/third one/);
  });
});
