import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Registration } from '../../src/core/board-view.ts';
import { boardPointOf } from '../../src/core/geometry/board-projection.ts';
import { applyHomography, type Homography } from '../../src/core/geometry/homography.ts';
import { type CrossPlace, registerCrosses, type SeenCross } from '../../src/vision/register-board.ts';
import { cameraView } from './draw-board.ts';
import { gauss } from './simulated-marks.ts';

const SIZE = { width: 4000, height: 3000 };
const FOCAL_PX = 3100;
const PHOTO = { ...SIZE, focal35Mm: (FOCAL_PX / 5000) * 43.267 };
const VIEW = cameraView({
  at: { X: -520, Y: 430, Z: 2700 },
  lookAt: { X: 30, Y: -20 },
  rollDeg: -2.5,
  focalPx: FOCAL_PX,
  ...SIZE,
});
const FOUR: readonly CrossPlace[] = [
  { name: 'A', at: { X: -810, Y: -450 }, uMm: 2 },
  { name: 'B', at: { X: 790, Y: -425 }, uMm: 2 },
  { name: 'C', at: { X: 835, Y: 520 }, uMm: 2 },
  { name: 'D', at: { X: -765, Y: 495 }, uMm: 2 },
];
const SIX: readonly CrossPlace[] = [
  ...FOUR,
  { name: 'E', at: { X: 40, Y: -440 }, uMm: 2 },
  { name: 'F', at: { X: -30, Y: 210 }, uMm: 2 },
];
const seen = (crosses: readonly CrossPlace[], view: Homography = VIEW): SeenCross[] =>
  crosses.map((c) => ({ name: c.name, at: applyHomography(view, c.at), uPx: 0.3 }));
const typed = (crosses: readonly CrossPlace[], name: string, dX: number, dY: number): CrossPlace[] =>
  crosses.map((c) => (c.name === name ? { ...c, at: { X: c.at.X + dX, Y: c.at.Y + dY } } : c));
const renamed = (points: readonly SeenCross[], a: string, b: string): SeenCross[] =>
  points.map((p) => ({ ...p, name: p.name === a ? b : p.name === b ? a : p.name }));

function registered(result: ReturnType<typeof registerCrosses>): Registration {
  if (!result.found) throw new Error(`refused: ${result.why}: ${result.detail}`);
  return result;
}

describe('registering crosses', () => {
  test('four exact crosses with an EXIF focal length are checked and right to 0.05 mm', () => {
    const r = registered(registerCrosses({ points: seen(FOUR), crosses: FOUR, photo: PHOTO }));
    expect(r.check).toBe('checked');
    const back = boardPointOf(r.view, applyHomography(VIEW, { X: 210, Y: -130 }));
    expect(Math.hypot(back.X - 210, back.Y + 130)).toBeLessThan(0.05);
  });

  test('without EXIF four crosses are unchecked, five are checked; unchecked doubles the uncertainty at least', () => {
    const noExif = { ...SIZE, focal35Mm: null };
    const with4 = registered(registerCrosses({ points: seen(FOUR), crosses: FOUR, photo: PHOTO }));
    const without4 = registered(registerCrosses({ points: seen(FOUR), crosses: FOUR, photo: noExif }));
    expect(without4.check).toBe('unchecked');
    expect(without4.warnings.join(' ')).toContain('fifth cross');
    expect(Math.sqrt(without4.placedVar.yVarMm2[0] / with4.placedVar.yVarMm2[0])).toBeGreaterThan(1.9);
    const five = SIX.slice(0, 5);
    expect(registered(registerCrosses({ points: seen(five), crosses: five, photo: noExif })).check).toBe(
      'checked',
    );
  });

  test('any two of four names swapped is refused, from any camera before the board, with or without EXIF', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(['A', 'B'], ['A', 'C'], ['A', 'D'], ['B', 'C'], ['B', 'D'], ['C', 'D']),
        fc.double({ min: -1000, max: 1000, noNaN: true }),
        fc.double({ min: -200, max: 700, noNaN: true }),
        fc.boolean(),
        ([a, b], X, Y, exif) => {
          const view = cameraView({
            at: { X, Y, Z: 2600 },
            lookAt: { X: 10, Y: 15 },
            focalPx: FOCAL_PX,
            ...SIZE,
          });
          const r = registerCrosses({
            points: renamed(seen(FOUR, view), a!, b!),
            crosses: FOUR,
            photo: exif ? PHOTO : { ...SIZE, focal35Mm: null },
          });
          expect(r.found).toBe(false);
        },
      ),
      { numRuns: 12 },
    );
  });

  test('a swapped neighbour pair is named in the refusal', () => {
    const r = registerCrosses({ points: renamed(seen(FOUR), 'B', 'C'), crosses: FOUR, photo: PHOTO });
    expect(r).toMatchObject({ found: false, why: 'marks-disagree' });
    if (!r.found) expect(r.detail).toMatch(/B and C|C and B/);
  });

  test('left and right swapped in all places is refused as mirrored', () => {
    const wrong = FOUR.map((c) => ({ ...c, at: { X: -c.at.X, Y: c.at.Y } }));
    expect(registerCrosses({ points: seen(FOUR), crosses: wrong, photo: PHOTO })).toMatchObject({
      found: false,
      why: 'mirrored',
    });
  });

  test('every sign swapped (a board counted from its other corner) is refused, not taken for a camera upside down', () => {
    const wrong = FOUR.map((c) => ({ ...c, at: { X: -c.at.X, Y: -c.at.Y } }));
    expect(registerCrosses({ points: seen(FOUR), crosses: wrong, photo: PHOTO })).toMatchObject({
      found: false,
      why: 'marks-disagree',
    });
  });

  test.each([
    { name: 'C', dX: 100, dY: 0 },
    { name: 'B', dX: 120, dY: 60 },
    { name: 'D', dX: -100, dY: 0 },
  ])('of four crosses, $name typed ($dX, $dY) mm off is refused', ({ name, dX, dY }) => {
    expect(
      registerCrosses({ points: seen(FOUR), crosses: typed(FOUR, name, dX, dY), photo: PHOTO }),
    ).toMatchObject({
      found: false,
      why: 'marks-disagree',
    });
  });

  test.each([
    { name: 'C', dX: 30, dY: 50 },
    { name: 'A', dX: 0, dY: -30 },
    { name: 'F', dX: 25, dY: 10 },
  ])(
    'of six crosses, $name typed ($dX, $dY) mm off is named and left out; the rest is right to 2 mm',
    ({ name, dX, dY }) => {
      const r = registered(
        registerCrosses({ points: seen(SIX), crosses: typed(SIX, name, dX, dY), photo: PHOTO }),
      );
      expect(r.warnings.join(' ')).toContain(`Cross ${name} does not stand`);
      expect(r.points.filter((p) => !p.used).map((p) => p.name)).toEqual([`cross ${name}`]);
      const back = boardPointOf(r.view, applyHomography(VIEW, { X: 210, Y: -130 }));
      expect(Math.hypot(back.X - 210, back.Y + 130)).toBeLessThan(2);
    },
  );

  test('when leaving out C or leaving out F would do, the photo is refused and both are named', () => {
    const r = registerCrosses({ points: seen(SIX), crosses: typed(SIX, 'C', 40, 0), photo: PHOTO });
    expect(r).toMatchObject({ found: false, why: 'marks-disagree' });
    if (!r.found) expect(r.detail).toMatch(/without C, or without F/);
  });

  test('a mistake that four crosses cannot show is warned of with its size; 100 mm up at A is such a one', () => {
    const r = registered(registerCrosses({ points: seen(FOUR), crosses: FOUR, photo: PHOTO }));
    const blind = Number(/mistake of up to (\d+) mm/.exec(r.warnings.join(' '))?.[1]);
    expect(blind).toBeGreaterThan(60);
    const wrong = registerCrosses({ points: seen(FOUR), crosses: typed(FOUR, 'A', 0, 100), photo: PHOTO });
    expect(wrong.found === false || blind >= 100).toBe(true);
    const six = registered(registerCrosses({ points: seen(SIX), crosses: SIX, photo: PHOTO }));
    expect(Number(/mistake of up to (\d+) mm/.exec(six.warnings.join(' '))?.[1] ?? 0)).toBeLessThan(
      blind / 2,
    );
  });

  test.each([
    { name: 'three crosses', crosses: FOUR.slice(0, 3), why: 'too-few-marks' },
    {
      name: 'four in a row',
      crosses: FOUR.map((c, i) => ({ ...c, at: { X: 400 * i - 600, Y: -300 + 5 * i } })),
      why: 'marks-in-one-line',
    },
    {
      name: 'three of four in a row',
      crosses: [...FOUR.slice(0, 2), { name: 'C', at: { X: 20, Y: -438 }, uMm: 2 }, FOUR[3]!],
      why: 'marks-in-one-line',
    },
  ])('$name: refused as $why', ({ crosses, why }) => {
    expect(registerCrosses({ points: seen(crosses), crosses, photo: PHOTO })).toMatchObject({
      found: false,
      why,
    });
  });

  test('taps without a place and second taps are left out with a warning each', () => {
    const points = [
      ...seen(SIX),
      { name: 'Z', at: { x: 100, y: 100 }, uPx: 1 },
      { name: 'A', at: { x: 9, y: 9 }, uPx: 1 },
    ];
    const r = registered(registerCrosses({ points, crosses: SIX, photo: PHOTO }));
    expect(r.points).toHaveLength(6);
    expect(r.warnings.join(' ')).toMatch(/Cross Z is not on the board.*Cross A was tapped twice/);
  });

  test('four crosses placed to 2 mm: told uncertainty of the middle agrees with 150 draws to 30 %', () => {
    const deviate = gauss(31);
    const probe = { X: 30, Y: -60 };
    const at = applyHomography(VIEW, probe);
    let y = 0;
    const draws = 150;
    for (let n = 0; n < draws; n++) {
      const real = FOUR.map((c) => ({ ...c, at: { X: c.at.X + 2 * deviate(), Y: c.at.Y + 2 * deviate() } }));
      y +=
        (boardPointOf(
          registered(registerCrosses({ points: seen(real), crosses: FOUR, photo: PHOTO })).view,
          at,
        ).Y -
          probe.Y) **
          2 /
        draws;
    }
    const told = registered(registerCrosses({ points: seen(FOUR), crosses: FOUR, photo: PHOTO })).placedVar;
    const v =
      told.yVarMm2[0] +
      told.yVarMm2[1] * (probe.X - told.centre.X) ** 2 +
      told.yVarMm2[2] * (probe.Y - told.centre.Y) ** 2;
    expect(Math.sqrt(v / y)).toBeGreaterThan(0.7);
    expect(Math.sqrt(v / y)).toBeLessThan(1.4);
  });
});
