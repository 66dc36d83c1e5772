import { readFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { jobFromFile } from '../../src/job/load-job.ts';
import { marigoldJob } from '../samples/job-files.ts';
import type { TrueShot, TruthFile } from '../samples/truth-file.ts';
import { changes } from './compare.ts';
import {
  GOLDEN_FILE,
  type Golden,
  type GoldenFigure,
  type GoldenReading,
  goldenOf,
  JOB_FILES,
  MARIGOLD,
  readMarigold,
  readSampleJob,
} from './readings.ts';

/** Shots that can be read, with the photograph whose truth counts. */
const READ = [
  ['left-dipped', 'left-dipped.jpg'],
  ['right-dipped', 'right-dipped.jpg'],
  ['left-main', 'left-main.jpg'],
  ['left-bracket', 'left-dipped-dark.jpg'],
  ['left-crosses', 'left-crosses.jpg'],
] as const;

let now: Golden;
const truth = JSON.parse(readFileSync(path.join(MARIGOLD, 'truth.json'), 'utf8')) as TruthFile;
beforeAll(async () => {
  const results = [];
  for (const name of JOB_FILES) results.push(await readSampleJob(name));
  now = goldenOf(results);
}, 180_000);

function reading(shot: string): GoldenReading {
  const one = now.shots[shot];
  if (one?.state !== 'read') throw new Error(`${shot} was not read: ${JSON.stringify(one)}`);
  return one;
}

function trueShot(photo: string): TrueShot {
  const one = truth.photos[photo];
  if (one === undefined) throw new Error(`truth.json knows no ${photo}`);
  return one;
}

/** A miss in words, or nothing. `low` and `high` bound the truth where it is an interval. */
function miss(what: string, read: GoldenFigure | null, low: number, high = low): string[] {
  if (read === null) return [`${what}: not read, truth ${low}`];
  const [from, to] = [Math.min(low, high) - read.U, Math.max(low, high) + read.U];
  return read.value >= from && read.value <= to
    ? []
    : [`${what}: read ${read.value} ± ${read.U}, truth ${low}${high === low ? '' : ` to ${high}`}`];
}

describe('the Marigold samples, read again', () => {
  test('give the accepted figures, verdicts and turns', () => {
    const accepted = JSON.parse(readFileSync(GOLDEN_FILE, 'utf8')) as Golden;
    expect(changes(now, accepted).map((c) => c.text)).toEqual([]);
  });

  // Typed numbers are wrong by draws from their stated uncertainties: U (k = 2) has to cover what comes of it.
  test.each(READ)('%s lies within U of what the renderer knows', (shot, photo) => {
    const read = reading(shot);
    const { board, far } = trueShot(photo);
    const misses = [
      ...(board.dropPct === null ? [] : miss('drop', read.drop, board.dropPct)),
      ...(board.elbow === null ? [] : miss('elbow', read.elbow, board.elbow.offsetPct)),
      ...miss('hot spot drop', read.hotSpotDrop, board.hotSpot.dropPct),
      ...miss('hot spot offset', read.hotSpotOffset, board.hotSpot.offsetPct),
      // The smear of a large lamp bends the edge near its elbow, so from near its tilt is only known to lie between what
      // the board shows and what shows far away.
      ...(board.tiltDeg === null ? [] : miss('tilt', read.tilt, board.tiltDeg, far.tiltDeg!)),
    ];
    expect(misses).toEqual([]);
  });

  test.each(READ.filter(([shot]) => shot !== 'left-main'))(
    '%s: the interval given for far away holds the far drop',
    (shot, photo) => {
      const { drop, farShift } = reading(shot);
      const { far } = trueShot(photo);
      const moved = { value: drop!.value, U: drop!.U };
      expect(miss('far drop', moved, far.dropPct! - farShift.min, far.dropPct! - farShift.max)).toEqual([]);
    },
  );

  test('left against right: the difference lies within its own, smaller U of the truth', () => {
    const left = trueShot('left-dipped.jpg').board;
    const right = trueShot('right-dipped.jpg').board;
    const pair = now.pairs.find((p) => p.lamps === 'left-dip against right-dip');
    expect(pair).toBeDefined();
    expect([
      ...miss('drop difference', pair!.dropDifference, left.dropPct! - right.dropPct!),
      ...miss('offset difference', pair!.offsetDifference, left.elbow!.offsetPct - right.elbow!.offsetPct),
    ]).toEqual([]);
    expect(pair!.dropDifference!.U).toBeLessThan(reading('left-dipped').drop!.U);
  });

  test('the left lamp is within the inspection limits and to be raised, the right one is too high', () => {
    const left = reading('left-dipped');
    const right = reading('right-dipped');
    expect(left.verdicts).toContain('gb-inspection-car MOT-1: within');
    expect(right.verdicts).toContain('gb-inspection-car MOT-1: over (too-high)');
    expect(left.turns).toMatch(/^turn: .*top screw clockwise/);
    expect(right.turns).toMatch(/^try: top screw/);
  });
});

describe('the photo with two sheets hung in each other’s places', () => {
  test('is refused at the marks, naming both sheets', () => {
    expect(now.shots['left-rehung']).toMatchObject({
      state: 'unread',
      stage: 'marks',
      why: 'marks-disagree',
    });
    const { detail } = now.shots['left-rehung'] as { readonly detail: string };
    expect(detail).toMatch(/sheet 2 and sheet 3/);
  });

  test('is refused for the swap alone: with both places put right in the job it reads as the evening before', async () => {
    const file = marigoldJob();
    const [one, two, three, four] = file.board.sheets!;
    const shot = file.shots!.find((s) => s.id === 'left-rehung')!;
    const mended = {
      ...file,
      board: { ...file.board, sheets: [one!, { ...two!, number: 3 }, { ...three!, number: 2 }, four!] },
      shots: [shot],
    };
    const result = goldenOf([await readMarigold(jobFromFile(mended))]);
    const again = result.shots['left-rehung'] as GoldenReading;
    expect(again.state).toBe('read');
    // Same lamp, same board, other noise.
    expect(Math.abs(again.drop!.value - reading('left-dipped').drop!.value)).toBeLessThan(0.1);
  });
});
