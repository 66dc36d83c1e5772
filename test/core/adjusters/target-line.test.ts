import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { boardAim, targetLine } from '../../../src/core/adjusters/target-line.ts';
import type { LampView } from '../../../src/core/lamp-view.ts';

const UPRIGHT: LampView = {
  axisFoot: { X: -612, Y: 655 },
  distanceMm: 5000,
  outOfPlumbDeg: 0,
  yawDeg: 0,
  rollDeg: 0,
};
const SURE = { farShiftPct: { min: 0, max: 0 }, uDropPct: 0 };

function aim(dropPct: number, offsetPct: number | null = null) {
  return boardAim({ target: { dropPct, offsetPct }, place: 'far', band: null, ...SURE });
}

describe('the line to bring the edge to', () => {
  // W4 and W5: 1 % is 50 mm at 5 m, 0.5 and 2.75 % are 25.0 and 137.5 mm.
  test.each([
    [1, -50],
    [0.5, -25],
    [2.75, -137.5],
    [-0.2, 10],
  ])('%s %% down at 5 m stands %s mm above the centre mark', (drop, mm) => {
    const line = targetLine({ view: UPRIGHT, now: { dropPct: 0.3 }, atOffsetPct: 4.4, aim: aim(drop) });
    expect(line.aboveCentreMm).toBeCloseTo(mm, 9);
    expect(line.moveMm).toBeCloseTo(mm + 15, 9);
    expect(line.rightOfCentreMm).toBeNull();
  });

  test('0.4 deg down at 7.62 m stands 53.2 mm below (W8), an elbow 1.5 % left 114.3 mm left', () => {
    const line = targetLine({
      view: { ...UPRIGHT, distanceMm: 7620 },
      now: { dropPct: 1.1 },
      atOffsetPct: -4,
      aim: aim(0.698132, -1.5),
    });
    expect(line.aboveCentreMm).toBeCloseTo(-53.2, 1);
    expect(line.rightOfCentreMm).toBeCloseTo(-114.3, 9);
    expect(line.moveMm).toBeGreaterThan(0);
  });

  test('a board leaning 3 deg top away moves the line by its cosine, and a rolled one by its column', () => {
    const at = (view: Partial<LampView>, column: number): number =>
      targetLine({ view: { ...UPRIGHT, ...view }, now: { dropPct: 1 }, atOffsetPct: column, aim: aim(1) })
        .aboveCentreMm;
    // 50 mm below, on a plane leaning by 3 deg: 50 / (cos 3 + 0.01 sin 3) mm along the board.
    const lean = (3 * Math.PI) / 180;
    expect(at({ outOfPlumbDeg: 3 }, 0)).toBeCloseTo(-50 / (Math.cos(lean) + 0.01 * Math.sin(lean)), 9);
    // A board with its right end 1 deg up: 4 % right, 200 mm, the level line lies 3.49 mm lower along it.
    expect(at({ rollDeg: 1 }, 4) - at({ rollDeg: 1 }, 0)).toBeCloseTo(-200 * Math.sin(Math.PI / 180), 6);
  });
});

describe('a far aim on a near board', () => {
  const near = { target: { dropPct: 1.625, offsetPct: null }, place: 'far' } as const;
  const band = { minPct: 0.5, maxPct: 2.75 };

  test('without limits it is the lowest of the candidates: 1.3 % far with 0.1 to 0.7 open is 1.2 % on the board', () => {
    const a = boardAim({
      target: { dropPct: 1.3, offsetPct: -0.2 },
      place: 'far',
      band: null,
      farShiftPct: { min: 0.1, max: 0.7 },
      uDropPct: 0.05,
    });
    expect(a).toEqual({
      dropPct: 1.2,
      offsetPct: -0.2,
      tolerancePct: null,
      doubtPct: expect.closeTo(0.4, 12),
    });
  });

  test('with limits it is where both ends ± U are inside: 0 to 1 % open, 0.5 to 2.75 %, U 0.15: 1.125 % ± 0.475', () => {
    const a = boardAim({ ...near, band, farShiftPct: { min: 0, max: 1 }, uDropPct: 0.075 });
    expect(a.dropPct).toBeCloseTo(1.125, 12);
    expect(a.tolerancePct).toBeCloseTo(0.475, 12);
  });

  test('where nothing can be proven it keeps U clear of the dazzle limit', () => {
    const a = boardAim({
      target: { dropPct: 1.25, offsetPct: null },
      place: 'far',
      band: { minPct: 1, maxPct: 1.5 },
      farShiftPct: { min: 0, max: 1 },
      uDropPct: 0.2,
    });
    expect(a.dropPct).toBeCloseTo(1.4, 12);
    expect(a.tolerancePct).toBeNull();
  });

  test('an aim for a board is left as it is, whatever near field says', () => {
    const a = boardAim({ ...near, place: 'board', band, farShiftPct: { min: 0.3, max: 1.2 }, uDropPct: 0.1 });
    expect(a.dropPct).toBe(1.625);
  });

  test('law: at the line the smallest correction never leaves the far drop, less U, above the dazzle limit', () => {
    const d = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        d(0, 1),
        d(0, 1.5),
        d(0, 0.3),
        d(0.4, 1.2),
        d(0.3, 2.2),
        d(0, 1),
        (min, width, u, low, span, t) => {
          const limits = { minPct: low, maxPct: low + span };
          const a = boardAim({
            target: { dropPct: low + t * span, offsetPct: null },
            place: 'far',
            band: limits,
            farShiftPct: { min, max: min + width },
            uDropPct: u,
          });
          expect(a.dropPct + min - 2 * u).toBeGreaterThanOrEqual(low - 1e-9);
          if (a.tolerancePct !== null) {
            expect(a.tolerancePct).toBeGreaterThanOrEqual(-1e-9);
            expect(a.dropPct + a.tolerancePct + min + width + 2 * u).toBeLessThanOrEqual(low + span + 1e-9);
            expect(a.dropPct - a.tolerancePct + min - 2 * u).toBeGreaterThanOrEqual(low - 1e-9);
          }
        },
      ),
    );
  });

  test('the half width of the line is the tolerance where there is one: 0.475 % at 5 m is 23.75 mm', () => {
    const a = boardAim({ ...near, band, farShiftPct: { min: 0, max: 1 }, uDropPct: 0.075 });
    const line = targetLine({ view: UPRIGHT, now: { dropPct: 0.4 }, atOffsetPct: 4.4, aim: a });
    expect(line.halfWidthMm).toBeCloseTo(23.75, 9);
    expect(line.halfWidthMeans).toBe('tolerance');
    expect(line.aboveCentreMm).toBeCloseTo(-56.25, 9);
  });
});
