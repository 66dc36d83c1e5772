import { describe, expect, test } from 'vitest';
import { boardPointOf, photoPointOf } from '../../src/core/geometry/board-projection.ts';
import { applyHomography } from '../../src/core/geometry/homography.ts';
import { findCameraShift, shiftedView } from '../../src/vision/camera-shift.ts';
import { findMarks } from '../../src/vision/find-marks.ts';
import { readGreyLadder } from '../../src/vision/grey-ladder.ts';
import { registerSheets } from '../../src/vision/register-board.ts';
import { cameraView, drawScene, srgb } from './draw-board.ts';
import { gauss, type Hung, marksSeen } from './simulated-marks.ts';

const SIZE = { width: 4000, height: 3000 };
const PHOTO = { ...SIZE, focal35Mm: (3000 / 5000) * 43.267 };
const HUNG: readonly Hung[] = [
  { number: 6, at: { X: -640, Y: -380 }, turnDeg: 1 },
  { number: 14, at: { X: 590, Y: -415 }, turnDeg: -2 },
];
const camera = (lookX: number, lookY: number, rollDeg: number) =>
  cameraView({
    at: { X: 250, Y: 300, Z: 2500 },
    lookAt: { X: lookX, Y: lookY },
    rollDeg,
    focalPx: 3000,
    ...SIZE,
  });

describe('a camera that moved between two photos', () => {
  test('a nudge of 9 mm and 0.05 degrees is followed: board places in the second photo to 0.3 mm', () => {
    const first = camera(10, -20, 1);
    const second = camera(17, -26, 1.05);
    const shift = findCameraShift(
      marksSeen(HUNG, first, 0.05, gauss(2)),
      marksSeen(HUNG, second, 0.05, gauss(3)),
      PHOTO,
    );
    if (!shift.found) throw new Error(shift.detail);
    expect(shift.largestPx).toBeGreaterThan(5);
    const at = (X: number, Y: number) => ({ X: { mm: X, uMm: 1 }, Y: { mm: Y, uMm: 1 } });
    const r = registerSheets({
      found: marksSeen(HUNG, first, 0.05),
      sheets: HUNG.map((s) => ({
        number: s.number,
        at: at(s.at.X, s.at.Y),
        turnDeg: s.turnDeg,
        uTurnDeg: 0.3,
        scale: 1,
      })),
      photo: PHOTO,
    });
    if (!r.found) throw new Error(r.detail);
    const p = { X: 80, Y: 60 };
    const still = boardPointOf(r.view, applyHomography(second, p));
    const followed = boardPointOf(shiftedView(r.view, shift), applyHomography(second, p));
    expect(Math.hypot(still.X - p.X, still.Y - p.Y)).toBeGreaterThan(5);
    expect(Math.hypot(followed.X - p.X, followed.Y - p.Y)).toBeLessThan(0.3);
    expect(photoPointOf(r.view, p).x).not.toBeCloseTo(applyHomography(second, p).x, 0);
  });

  test('a still camera is still to 0.8 px at the far corners, within 2.5 of its uPx; one mark alone says less surely', () => {
    const view = camera(10, -20, 1);
    const a = marksSeen(HUNG, view, 0.03, gauss(4));
    const b = marksSeen(HUNG, view, 0.03, gauss(5));
    const all = findCameraShift(a, b, PHOTO);
    const one = findCameraShift(a.slice(0, 1), b, PHOTO);
    if (!all.found || !one.found) throw new Error('lost');
    // Both sheets hang low in the picture: its upper corners are extrapolated.
    expect(all.largestPx).toBeLessThan(0.8);
    expect(all.largestPx / all.uPx).toBeLessThan(2.5);
    expect(one.marks).toBe(1);
    expect(one.uPx).toBeGreaterThan(2 * all.uPx);
  });

  test('a camera put elsewhere, a sheet hung elsewhere and no common mark are told apart', () => {
    const first = marksSeen(HUNG, camera(10, -20, 1));
    expect(findCameraShift(first, marksSeen(HUNG, camera(90, -20, 1)), PHOTO)).toMatchObject({
      why: 'moved-too-far',
    });
    const rehung = HUNG.map((s) => (s.number === 14 ? { ...s, at: { X: 590, Y: -401 } } : s));
    expect(findCameraShift(first, marksSeen(rehung, camera(10, -20, 1)), PHOTO)).toMatchObject({
      why: 'marks-moved',
    });
    expect(findCameraShift(first.slice(0, 4), first.slice(4), PHOTO)).toMatchObject({
      why: 'no-common-marks',
    });
  });
});

describe('the grey ladder', () => {
  const small = { width: 700, height: 520 };
  const view = cameraView({
    at: { X: 90, Y: 70, Z: 700 },
    lookAt: { X: 4, Y: -6 },
    rollDeg: 2,
    focalPx: 1300,
    ...small,
  });

  test('under sloping light each step over its paper is the nominal ratio in linear light, to 3 %', () => {
    const raster = drawScene({
      ...small,
      view,
      sheets: [{ number: 12, at: { X: 2, Y: -3 }, turnDeg: 3 }],
      light: (p) => 0.5 * (1 + p.X / 500),
      blurPx: 0.9,
      noise: 1,
    });
    const steps = readGreyLadder(raster, findMarks(raster), 12);
    expect(steps).toHaveLength(10);
    const linear = (level: number): number => {
      let low = 0;
      let high = 1;
      for (let i = 0; i < 50; i++) {
        const mid = (low + high) / 2;
        if (255 * srgb(mid) < level) low = mid;
        else high = mid;
      }
      return low;
    };
    for (const nominal of [0.08, 0.15, 0.25, 0.4, 0.6]) {
      const pair = steps.filter((s) => s.reflectance === nominal);
      expect(pair).toHaveLength(2);
      const ratio = pair.reduce((s, p) => s + linear(p.level) / linear(p.paperLevel), 0) / 2;
      // Paper is read 17 mm beside the step; the twin on the other arm cancels the slope.
      expect(Math.abs(ratio / (nominal / 0.85) - 1)).toBeLessThan(0.03);
      expect(pair.every((p) => !p.clipped)).toBe(true);
    }
  });

  test('a sheet of which one mark was found gives no ladder', () => {
    expect(
      readGreyLadder({ ...small, channels: 3, maxLevel: 255, data: new Uint8Array(3 * 700 * 520) }, [], 12),
    ).toEqual([]);
  });
});
