import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Registration } from '../../src/core/board-view.ts';
import { boardPointOf, photoPointOf } from '../../src/core/geometry/board-projection.ts';
import { applyHomography } from '../../src/core/geometry/homography.ts';
import { registerSheets, type SheetPlace } from '../../src/vision/register-board.ts';
import { cameraView } from './draw-board.ts';
import { gauss, type Hung, marksSeen } from './simulated-marks.ts';

const SIZE = { width: 4000, height: 3000 };
const FOCAL_PX = 2950;
/** 35 mm film has a diagonal of 43.267 mm, this photo one of 5000 px. */
const PHOTO = { ...SIZE, focal35Mm: (FOCAL_PX / 5000) * 43.267 };
const VIEW = cameraView({
  at: { X: 640, Y: 510, Z: 2600 },
  lookAt: { X: 40, Y: -90 },
  rollDeg: 2,
  focalPx: FOCAL_PX,
  ...SIZE,
});
const HUNG: readonly Hung[] = [
  { number: 3, at: { X: -720, Y: -410 }, turnDeg: 0.4 },
  { number: 8, at: { X: 15, Y: -395 }, turnDeg: -3 },
  { number: 21, at: { X: 660, Y: -430 }, turnDeg: 7 },
  { number: 30, at: { X: 410, Y: 350 }, turnDeg: 1 },
];
const AREA = { left: -900, right: 880, bottom: -600, top: 500 };

const stated = (sheets: readonly Hung[], uMm = 2, uTurnDeg = 0.4): SheetPlace[] =>
  sheets.map((s) => ({
    number: s.number,
    at: { X: { mm: s.at.X, uMm }, Y: { mm: s.at.Y, uMm } },
    turnDeg: s.turnDeg,
    uTurnDeg,
    scale: 1,
  }));

function registered(result: ReturnType<typeof registerSheets>): Registration {
  if (!result.found) throw new Error(`refused: ${result.why}: ${result.detail}`);
  return result;
}

const movedBy = (sheets: readonly Hung[], number: number, dX: number, dY: number): Hung[] =>
  sheets.map((s) => (s.number === number ? { ...s, at: { X: s.at.X + dX, Y: s.at.Y + dY } } : s));

describe('registering sheets', () => {
  test('exact marks put every board point back to 0.01 mm, and photo points to 0.01 px', () => {
    const r = registered(
      registerSheets({ found: marksSeen(HUNG, VIEW), sheets: stated(HUNG), photo: PHOTO }),
    );
    expect(r.check).toBe('checked');
    expect(r.points).toHaveLength(64);
    expect(r.rmsMm).toBeLessThan(0.005);
    for (const p of [
      { X: 77, Y: 210 },
      { X: -640, Y: -120 },
    ]) {
      const seen = applyHomography(VIEW, p);
      const back = boardPointOf(r.view, seen);
      expect(Math.hypot(back.X - p.X, back.Y - p.Y)).toBeLessThan(0.01);
      const there = photoPointOf(r.view, p);
      expect(Math.hypot(there.x - seen.x, there.y - seen.y)).toBeLessThan(0.01);
    }
  });

  test('a moved camera changes nothing on the board', () => {
    const p = { X: -230, Y: 120 };
    fc.assert(
      fc.property(
        fc.double({ min: -1200, max: 1200, noNaN: true }),
        fc.double({ min: -300, max: 900, noNaN: true }),
        fc.double({ min: 1900, max: 4000, noNaN: true }),
        fc.double({ min: -15, max: 15, noNaN: true }),
        (X, Y, Z, rollDeg) => {
          const view = cameraView({
            at: { X, Y, Z },
            lookAt: { X: 20, Y: -50 },
            rollDeg,
            focalPx: FOCAL_PX,
            ...SIZE,
          });
          const r = registered(
            registerSheets({ found: marksSeen(HUNG, view), sheets: stated(HUNG), photo: PHOTO }),
          );
          const back = boardPointOf(r.view, applyHomography(view, p));
          expect(Math.hypot(back.X - p.X, back.Y - p.Y)).toBeLessThan(0.05);
        },
      ),
      { numRuns: 12 },
    );
  });

  test('a lens that bends straight lines by 1.5 % at the corner is found: k1 to 0.002, places to 0.6 mm', () => {
    const k1 = -0.015;
    const bent = marksSeen(HUNG, VIEW).map((m) => ({
      ...m,
      corners: m.corners.map((c) => {
        const dx = c.x - 1999.5;
        const dy = c.y - 1499.5;
        const s = 1 + (k1 * (dx * dx + dy * dy)) / 2500 ** 2;
        return { x: 1999.5 + dx * s, y: 1499.5 + dy * s };
      }) as unknown as typeof m.corners,
    }));
    const r = registered(registerSheets({ found: bent, sheets: stated(HUNG), photo: PHOTO }));
    expect(Math.abs(r.view.radial.k1 - k1)).toBeLessThan(0.002);
    for (const p of r.points) expect(p.residualMm).toBeLessThan(0.6);
  });

  test.each([
    { number: 8, dX: 16, dY: 0 },
    { number: 30, dX: 0, dY: -22 },
    { number: 21, dX: 300, dY: 40 },
  ])(
    'sheet $number typed ($dX, $dY) mm off is named and left out; the rest stays right to 0.5 mm',
    ({ number, dX, dY }) => {
      const found = marksSeen(HUNG, VIEW, 0.05);
      const r = registered(
        registerSheets({ found, sheets: stated(movedBy(HUNG, number, dX, dY)), photo: PHOTO }),
      );
      expect(r.warnings.join(' ')).toContain(`sheet ${number} does not stand where the job says`);
      for (const p of r.points) expect(p.used).toBe(!p.name.startsWith(`sheet ${number} `));
      const back = boardPointOf(r.view, applyHomography(VIEW, { X: 120, Y: -80 }));
      expect(Math.hypot(back.X - 120, back.Y + 80)).toBeLessThan(0.5);
    },
  );

  test('of two sheets one typed 25 mm off: refused, since nothing says which', () => {
    const two = HUNG.slice(0, 2);
    const r = registerSheets({
      found: marksSeen(two, VIEW),
      sheets: stated(movedBy(two, 3, 25, 0)),
      photo: PHOTO,
    });
    expect(r).toMatchObject({ found: false, why: 'marks-disagree' });
  });

  test('a swapped pair of four sheets is refused, and named when their turns are alike', () => {
    const straight = HUNG.map((s) => ({ ...s, turnDeg: 0 }));
    const places = stated(straight);
    const swapped = places.map((s) =>
      s.number === 3 ? { ...s, at: places[2]!.at } : s.number === 21 ? { ...s, at: places[0]!.at } : s,
    );
    const r = registerSheets({ found: marksSeen(straight, VIEW, 0.05), sheets: swapped, photo: PHOTO });
    expect(r).toMatchObject({ found: false, why: 'marks-disagree' });
    if (!r.found) expect(r.detail).toMatch(/sheet 3 and sheet 21|sheet 21 and sheet 3/);
  });

  test('one sheet alone works but is unchecked, and its far uncertainty is larger than near', () => {
    const r = registered(
      registerSheets({
        found: marksSeen(HUNG.slice(1, 2), VIEW, 0.05),
        sheets: stated(HUNG),
        photo: PHOTO,
        area: AREA,
      }),
    );
    expect(r.check).toBe('unchecked');
    expect(r.warnings.join(' ')).toContain('nothing could contradict');
    const [c0, , c2] = r.placedVar.yVarMm2;
    const [, c1] = r.placedVar.yVarMm2;
    // Turn uncertain by 0.4 degrees: Y at 800 mm aside by 5.6 mm.
    expect(Math.sqrt(c0 + c1 * 800 ** 2 + c2 * 0)).toBeGreaterThan(4);
    expect(Math.sqrt(c0)).toBeLessThan(3);
  });

  test.each([
    { name: 'no marks', found: [], why: 'no-marks' },
    {
      name: "another job's sheets",
      found: marksSeen([{ number: 40, at: { X: 0, Y: 0 }, turnDeg: 0 }], VIEW),
      why: 'other-jobs-marks',
    },
    {
      name: 'a mirrored photo',
      found: marksSeen(HUNG, VIEW).map((m) => ({ ...m, mirrored: true })),
      why: 'mirrored',
    },
  ])('$name: refused as $why with advice', ({ found, why }) => {
    const r = registerSheets({ found, sheets: stated(HUNG), photo: PHOTO });
    expect(r).toMatchObject({ found: false, why });
    if (!r.found) expect(r.advice.length).toBeGreaterThan(20);
  });

  test('a photo upside down is refused for turning, a view from 78 degrees aside as too oblique', () => {
    const upsideDown = cameraView({
      at: { X: 640, Y: 510, Z: 2600 },
      lookAt: { X: 40, Y: -90 },
      rollDeg: 181,
      focalPx: FOCAL_PX,
      ...SIZE,
    });
    const r = registerSheets({ found: marksSeen(HUNG, upsideDown), sheets: stated(HUNG), photo: PHOTO });
    expect(r).toMatchObject({ found: false, why: 'marks-disagree' });
    const aside = cameraView({
      at: { X: 4700, Y: 100, Z: 1000 },
      lookAt: { X: 0, Y: -90 },
      focalPx: 6000,
      ...SIZE,
    });
    const o = registerSheets({
      found: marksSeen(HUNG, aside),
      sheets: stated(HUNG),
      photo: { ...SIZE, focal35Mm: (6000 / 5000) * 43.267 },
    });
    expect(o).toMatchObject({ found: false, why: 'too-oblique' });
  });

  test('a mark seen twice is left out with a warning, a stray sheet too; the rest registers', () => {
    const found = marksSeen(HUNG, VIEW);
    const twin = {
      ...found[0]!,
      corners: found[0]!.corners.map((c) => ({ x: c.x, y: 2800 - c.y })) as never,
    };
    const stray = marksSeen([{ number: 47, at: { X: 100, Y: 60 }, turnDeg: 0 }], VIEW);
    const r = registered(
      registerSheets({ found: [...found, twin, ...stray], sheets: stated(HUNG), photo: PHOTO }),
    );
    expect(r.points).toHaveLength(60);
    expect(r.warnings).toHaveLength(2);
    expect(r.warnings.join(' ')).toMatch(/Sheet 3 is in the photo twice.*Sheet 47 is not of this job/);
  });

  test('the page of every placed sheet is a printed area: 297 mm wide, turned with the sheet', () => {
    const r = registered(
      registerSheets({ found: marksSeen(HUNG, VIEW), sheets: stated(HUNG), photo: PHOTO }),
    );
    expect(r.printedAreas).toHaveLength(4);
    const [a, b] = r.printedAreas[2]!;
    expect(Math.hypot(b!.X - a!.X, b!.Y - a!.Y)).toBeCloseTo(297, 6);
    expect((Math.atan2(b!.Y - a!.Y, b!.X - a!.X) * 180) / Math.PI).toBeCloseTo(7, 6);
  });
});

describe('stated variances against Monte Carlo', () => {
  // JCGM 101's way: draw the inputs, look at the spread of the output. 120 draws know a standard deviation to 7 %.
  const probes = [
    { X: 30, Y: -150 },
    { X: -600, Y: 300 },
    { X: 700, Y: -350 },
  ];
  const spread = (noisePx: number, uMm: number, uTurnDeg: number): { X: number; Y: number }[] => {
    const deviate = gauss(99);
    const sums = probes.map(() => ({ X: 0, Y: 0 }));
    const draws = 120;
    for (let n = 0; n < draws; n++) {
      const real = HUNG.map((s) => ({
        ...s,
        at: { X: s.at.X + uMm * deviate(), Y: s.at.Y + uMm * deviate() },
        turnDeg: s.turnDeg + uTurnDeg * deviate(),
      }));
      const r = registered(
        registerSheets({
          found: marksSeen(real, VIEW, noisePx, deviate),
          sheets: stated(HUNG, 2, 0.4),
          photo: PHOTO,
        }),
      );
      probes.forEach((p, i) => {
        const b = boardPointOf(r.view, applyHomography(VIEW, p));
        sums[i]!.X += (b.X - p.X) ** 2 / draws;
        sums[i]!.Y += (b.Y - p.Y) ** 2 / draws;
      });
    }
    return sums;
  };
  const form = (v: Registration['foundVar'], p: { X: number; Y: number }) => {
    const dX = (p.X - v.centre.X) ** 2;
    const dY = (p.Y - v.centre.Y) ** 2;
    return {
      X: v.xVarMm2[0] + v.xVarMm2[1] * dX + v.xVarMm2[2] * dY,
      Y: v.yVarMm2[0] + v.yVarMm2[1] * dX + v.yVarMm2[2] * dY,
    };
  };
  const told = registered(
    registerSheets({ found: marksSeen(HUNG, VIEW, 0.3), sheets: stated(HUNG), photo: PHOTO, area: AREA }),
  );

  test('sheets placed to 2 mm and 0.4 degrees: standard uncertainties agree to 30 % at three places', () => {
    spread(0, 2, 0.4).forEach((s, i) => {
      const v = form(told.placedVar, probes[i]!);
      expect(Math.sqrt(v.X / s.X)).toBeGreaterThan(0.7);
      expect(Math.sqrt(v.X / s.X)).toBeLessThan(1.4);
      expect(Math.sqrt(v.Y / s.Y)).toBeGreaterThan(0.7);
      expect(Math.sqrt(v.Y / s.Y)).toBeLessThan(1.4);
    });
  });

  test('corners found to 0.3 px: never told smaller than they are, and at most 2.2 times larger', () => {
    spread(0.3, 0, 0).forEach((s, i) => {
      const v = form(told.foundVar, probes[i]!);
      // Larger on purpose: lens and paper add to what the noise does.
      for (const ratio of [Math.sqrt(v.X / s.X), Math.sqrt(v.Y / s.Y)]) {
        expect(ratio).toBeGreaterThan(0.85);
        expect(ratio).toBeLessThan(2.2);
      }
    });
  });
});
