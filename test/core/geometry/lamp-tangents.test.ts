import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  boardAxes,
  boardPointAt,
  lampViewOf,
  tangentOf,
  vehiclePointOf,
} from '../../../src/core/geometry/lamp-tangents.ts';
import { degFromPct, pctFromDeg, tanFromDeg } from '../../../src/core/units.ts';

const square = { outOfPlumbDeg: 0, yawDeg: 0, rollDeg: 0 };

/** Drop and offset in per cent of a board point for a lamp at a height and distance, board square to the axis. */
function aimOf(lamp: { right: number; up: number; distanceMm: number }, at: { right: number; up: number }) {
  const pose = { origin: { right: -210, forward: 3100, up: 340 }, ...square };
  const view = lampViewOf(pose, { right: lamp.right, forward: 3100 - lamp.distanceMm, up: lamp.up });
  const t = tangentOf(view, { X: at.right + 210, Y: at.up - 340 });
  return { dropPct: -100 * t.v, offsetPct: 100 * t.u };
}

describe('drop and offset on a square board (standards 10.1)', () => {
  test.each([
    { row: 'W1', lamp: 650, cutOff: 585, distance: 5000, pct: 1.3, deg: 0.7448, digits: 8 },
    { row: 'W2', lamp: 900, cutOff: 790, distance: 7620, pct: 1.44357, deg: 0.82705, digits: 5 },
    { row: 'W9', lamp: 650, cutOff: 660, distance: 5000, pct: -0.2, deg: -0.11459, digits: 5 },
    { row: 'W10', lamp: 650, cutOff: 585, distance: 5050, pct: 1.28713, deg: 0.73743, digits: 5 },
  ])('$row: lamp $lamp, cut-off $cutOff, $distance mm away: drop $pct %', (w) => {
    const { dropPct } = aimOf(
      { right: 120, up: w.lamp, distanceMm: w.distance },
      { right: 77, up: w.cutOff },
    );
    expect(dropPct).toBeCloseTo(w.pct, w.digits);
    expect(degFromPct(dropPct)).toBeCloseTo(w.deg, 4);
  });

  test('W3: a hot spot 76 mm left of the lamp at 5 m has offset -1.52 %, -0.8708 deg', () => {
    const { offsetPct } = aimOf({ right: 530, up: 640, distanceMm: 5000 }, { right: 454, up: 590 });
    expect(offsetPct).toBeCloseTo(-1.52, 8);
    expect(degFromPct(offsetPct)).toBeCloseTo(-0.87083, 5);
  });

  test.each([
    { pct: 1, distance: 3000, mm: 30 },
    { pct: 1, distance: 3810, mm: 38.1 },
    { pct: 1, distance: 7620, mm: 76.2 },
    { pct: 1, distance: 25000, mm: 250 },
    { pct: 0.5, distance: 5000, mm: 25 },
    { pct: 2.75, distance: 5000, mm: 137.5 },
    { pct: pctFromDeg(0.4), distance: 7620, mm: 53.2 },
    { pct: pctFromDeg(2), distance: 7620, mm: 266.1 },
  ])('W4, W5, W8: $pct % at $distance mm lies $mm mm below the lamp', ({ pct, distance, mm }) => {
    const pose = { origin: { right: -210, forward: distance, up: 340 }, ...square };
    const view = lampViewOf(pose, { right: 530, forward: 0, up: 655 });
    const p = boardPointAt(view, { u: 0.01, v: -pct / 100 });
    expect(view.axisFoot.Y - p.Y).toBeCloseTo(mm, 1);
    expect(p.X - view.axisFoot.X).toBeCloseTo(distance * 0.01, 6);
  });
});

describe('signs of a board that does not stand square', () => {
  const lamp = { right: 500, forward: 200, up: 650 };
  const origin = { right: 0, forward: 5200, up: 600 };

  test('board yaw +: the right edge is further away, so the same mark to the right has a smaller offset', () => {
    const point = { X: 900, Y: 20 };
    const turned = { origin, outOfPlumbDeg: 0, yawDeg: 3, rollDeg: 0 };
    expect(vehiclePointOf(turned, point).forward).toBeGreaterThan(origin.forward + 40);
    const far = tangentOf(lampViewOf(turned, lamp), point);
    const straight = tangentOf(lampViewOf({ ...turned, yawDeg: 0 }, lamp), point);
    expect(far.u).toBeLessThan(straight.u);
    // 900 mm along a board turned by 3 deg: 898.77 right, 47.10 further; lamp at 500: 398.77 / 5047.10.
    expect(100 * far.u).toBeCloseTo(
      (100 * (900 * Math.cos(Math.PI / 60) - 500)) / (5000 + 900 * Math.sin(Math.PI / 60)),
      8,
    );
  });

  test('out of plumb +: the top is further away and lower, the bottom nearer', () => {
    const leaning = { origin, outOfPlumbDeg: 4, yawDeg: 0, rollDeg: 0 };
    const top = vehiclePointOf(leaning, { X: 30, Y: 700 });
    const bottom = vehiclePointOf(leaning, { X: 30, Y: -300 });
    expect(top.forward).toBeCloseTo(5200 + 700 * Math.sin((4 * Math.PI) / 180), 8);
    expect(top.up).toBeCloseTo(600 + 700 * Math.cos((4 * Math.PI) / 180), 8);
    expect(bottom.forward).toBeLessThan(origin.forward);
  });

  test('board roll +: its right end is up, so a level beam edge seems to fall to the right on it', () => {
    const rolled = { origin, outOfPlumbDeg: 0, yawDeg: 0, rollDeg: 2 };
    const view = lampViewOf(rolled, lamp);
    const left = boardPointAt(view, { u: -0.06, v: -0.013 });
    const right = boardPointAt(view, { u: 0.04, v: -0.013 });
    expect((right.Y - left.Y) / (right.X - left.X)).toBeCloseTo(-tanFromDeg(2), 8);
  });
});

describe('laws of the lamp view', () => {
  const pose = fc.record({
    origin: fc.record({
      right: fc.double({ min: -2000, max: 2000, noNaN: true }),
      forward: fc.double({ min: 2500, max: 26000, noNaN: true }),
      up: fc.double({ min: -200, max: 1500, noNaN: true }),
    }),
    outOfPlumbDeg: fc.double({ min: -8, max: 8, noNaN: true }),
    yawDeg: fc.double({ min: -20, max: 20, noNaN: true }),
    rollDeg: fc.double({ min: -6, max: 6, noNaN: true }),
  });
  const lamp = fc.record({
    right: fc.double({ min: -900, max: 900, noNaN: true }),
    forward: fc.double({ min: -500, max: 900, noNaN: true }),
    up: fc.double({ min: 300, max: 1400, noNaN: true }),
  });
  const tangent = fc.record({
    u: fc.double({ min: -0.3, max: 0.3, noNaN: true }),
    v: fc.double({ min: -0.15, max: 0.1, noNaN: true }),
  });

  test('a direction to the board and back returns the direction', () => {
    fc.assert(
      fc.property(pose, lamp, tangent, (p, l, t) => {
        const view = lampViewOf(p, l);
        const back = tangentOf(view, boardPointAt(view, t));
        expect(back.u).toBeCloseTo(t.u, 10);
        expect(back.v).toBeCloseTo(t.v, 10);
      }),
    );
  });

  test('the tangent through the view is the tangent between the two points in the vehicle frame', () => {
    const point = fc.record({
      X: fc.double({ min: -1500, max: 1500, noNaN: true }),
      Y: fc.double({ min: -600, max: 900, noNaN: true }),
    });
    fc.assert(
      fc.property(pose, lamp, point, (p, l, at) => {
        const there = vehiclePointOf(p, at);
        const t = tangentOf(lampViewOf(p, l), at);
        expect(t.u).toBeCloseTo((there.right - l.right) / (there.forward - l.forward), 9);
        expect(t.v).toBeCloseTo((there.up - l.up) / (there.forward - l.forward), 9);
      }),
    );
  });

  test('the board axes are unit vectors at right angles', () => {
    fc.assert(
      fc.property(pose, (p) => {
        const { ex, ey } = boardAxes(p);
        expect(Math.hypot(ex.right, ex.forward, ex.up)).toBeCloseTo(1, 12);
        expect(Math.hypot(ey.right, ey.forward, ey.up)).toBeCloseTo(1, 12);
        expect(ex.right * ey.right + ex.forward * ey.forward + ex.up * ey.up).toBeCloseTo(0, 12);
      }),
    );
  });

  test('a whole board and lamp moved together changes no tangent', () => {
    fc.assert(
      fc.property(pose, lamp, lamp, tangent, (p, l, move, t) => {
        const at = boardPointAt(lampViewOf(p, l), t);
        const moved = {
          ...p,
          origin: {
            right: p.origin.right + move.right,
            forward: p.origin.forward + move.forward,
            up: p.origin.up + move.up,
          },
        };
        const lampMoved = {
          right: l.right + move.right,
          forward: l.forward + move.forward,
          up: l.up + move.up,
        };
        expect(tangentOf(lampViewOf(moved, lampMoved), at).v).toBeCloseTo(t.v, 10);
      }),
    );
  });
});
