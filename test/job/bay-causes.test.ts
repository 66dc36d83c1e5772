import { describe, expect, test } from 'vitest';
import type { MatchedPoint, PlaceVariance } from '../../src/core/board-view.ts';
import { boardPointAt, tangentOf } from '../../src/core/geometry/lamp-tangents.ts';
import {
  budget,
  difference,
  type Estimate,
  estimate,
  exactly,
  standardUncertainty,
} from '../../src/core/uncertainty/estimate.ts';
import { nominalView, placeAim, placeTilt, type ShotPlace } from '../../src/job/bay-causes.ts';
import { lampGeometryOf } from '../../src/job/geometry-of.ts';
import { jobFromFile } from '../../src/job/load-job.ts';
import { exampleJob } from './example-job.ts';

const file = jobFromFile(exampleJob()).file;
const noVar: PlaceVariance = { centre: { X: 0, Y: 0 }, xVarMm2: [0, 0, 0], yVarMm2: [0, 0, 0] };
const placedVar: PlaceVariance = {
  centre: { X: 40, Y: 120 },
  xVarMm2: [1.5 ** 2, 0.4e-3 ** 2, 1.1e-3 ** 2],
  yVarMm2: [1.2 ** 2, 0.9e-3 ** 2, 0.6e-3 ** 2],
};
const points: readonly MatchedPoint[] = [
  'sheet 1 mark 1 corner 2',
  'sheet 1 mark 2 corner 4',
  'sheet 2 mark 1 corner 1',
].map((name) => ({ name, board: { X: 0, Y: 0 }, photo: { x: 0, y: 0 }, residualMm: 0, used: true }));

function placeOf(lamp: string, shot: string, variances: Partial<ShotPlace['registration']> = {}): ShotPlace {
  const geometry = lampGeometryOf(file, lamp);
  return {
    shot,
    geometry,
    view: nominalView(geometry),
    registration: { points, foundVar: noVar, placedVar: noVar, ...variances },
  };
}

const light = (drop: number, offset: number): { dropPct: Estimate; offsetPct: Estimate } => ({
  dropPct: estimate(drop, 'noise@s', 0.01),
  offsetPct: estimate(offset, 'noise@s', 0.03),
});

describe('bay, lamp and marks added to what the light said', () => {
  test('values stay; the light keeps its own part', () => {
    const aim = placeAim(placeOf('left-dip', 's'), light(1.37, -0.42));
    expect(aim.dropPct.value).toBe(1.37);
    expect(aim.offsetPct.value).toBe(-0.42);
    expect(aim.dropPct.parts['noise@s']).toBe(0.01);
    expect(aim.offsetPct.parts['noise@s']).toBe(0.03);
  });

  test('a lamp 2 mm higher than typed, read again at the same place on the board, drops by its stated part', () => {
    const aim = placeAim(placeOf('left-dip', 's'), light(1.37, -0.42));
    const nominal = placeOf('left-dip', 's').view;
    const edge = boardPointAt(nominal, { u: -0.0042, v: -0.0137 });
    const raised = exampleJob();
    raised.vehicle.lamps[0]!.centre = { right: '-54 cm', up: 652 };
    const other = nominalView(lampGeometryOf(jobFromFile(raised).file, 'left-dip'));
    const drop = -100 * tangentOf(other, edge).v;
    expect(aim.dropPct.parts['lamp-height@left-dip']).toBeCloseTo(drop - 1.37, 9);
    expect(drop - 1.37).toBeCloseTo((100 * 2) / 7620, 9);
  });

  test('marks placed wrongly together cancel between lamps; turned marks count twice, from both sides', () => {
    const left = placeAim(placeOf('left-dip', 's1', { placedVar }), light(1.3, 0));
    const right = placeAim(placeOf('right-dip', 's2', { placedVar }), light(1.2, 0));
    const diff = difference(left.dropPct, right.dropPct);
    expect(Math.abs(diff.parts['marks-placed@sheet1+sheet2-y']!)).toBeLessThan(1e-12);
    // Axis feet at X -505 and 581: 1086 mm apart, 0.9e-3 turn, over 7620 mm.
    expect(Math.abs(diff.parts['marks-placed@sheet1+sheet2-y-turn']!)).toBeCloseTo(
      (100 * 0.9e-3 * 1086) / 7620,
      6,
    );
    expect(left.dropPct.parts['marks-placed@sheet1+sheet2-y-turn']).toBeGreaterThan(0);
    expect(right.dropPct.parts['marks-placed@sheet1+sheet2-y-turn']).toBeLessThan(0);
  });

  test('marks found in two photos are two errors', () => {
    const left = placeAim(placeOf('left-dip', 's1', { foundVar: placedVar }), light(1.3, 0));
    const right = placeAim(placeOf('right-dip', 's2', { foundVar: placedVar }), light(1.2, 0));
    const diff = difference(left.dropPct, right.dropPct);
    expect(diff.parts['marks-found@s1-y']).toBeCloseTo((-100 * 1.2) / 7620, 9);
    expect(diff.parts['marks-found@s2-y']).toBeCloseTo((100 * 1.2) / 7620, 9);
  });

  test('the whole variance of the marks is kept: shift, turn and scale add up to the stated form', () => {
    const place = placeOf('left-dip', 's', { placedVar });
    const aim = placeAim(place, { dropPct: exactly(1.3), offsetPct: exactly(0) });
    const at = boardPointAt(place.view, { u: 0, v: -0.013 });
    const varY =
      placedVar.yVarMm2[0] +
      placedVar.yVarMm2[1] * (at.X - 40) ** 2 +
      placedVar.yVarMm2[2] * (at.Y - 120) ** 2;
    const marks = budget(aim.dropPct).filter((b) => b.cause.startsWith('marks-placed'));
    expect(Math.hypot(...marks.map((b) => b.u))).toBeCloseTo((100 * Math.sqrt(varY)) / 7620, 9);
  });

  test('tilt takes the cross-fall (0.3 deg) and the level line (0.1 deg) on top of its own', () => {
    const tilt = placeTilt(placeOf('left-dip', 's', { placedVar }), estimate(0.4, 'noise@s', 0.05), 1.3, -3);
    expect(tilt.value).toBe(0.4);
    expect(Math.abs(tilt.parts['cross-fall']!)).toBeCloseTo(0.3, 3);
    expect(Math.abs(tilt.parts['levelness@level-line']!)).toBeCloseTo(0.1, 3);
    expect(tilt.parts['marks-placed@sheet1+sheet2-y-turn']).toBeCloseTo((0.9e-3 * 180) / Math.PI, 6);
    expect(standardUncertainty(tilt)).toBeGreaterThan(0.32);
  });
});
