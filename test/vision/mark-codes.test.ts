import { describe, expect, test } from 'vitest';
import { CODE_DISTANCE, fieldOf, IDENTITY_COUNT, matchField } from '../../src/vision/mark-codes.ts';
import {
  MARK_SIZE_MM,
  MARKS_PER_SHEET,
  SHEET_COUNT,
  sheetDesign,
  sheetMarks,
  sheetOfIdentity,
} from '../../src/vision/mark-design.ts';
import { generator } from './draw-board.ts';

type Cells = readonly number[];
const turned = (f: Cells): Cells => f.map((_, i) => f[(5 - (i % 6)) * 6 + Math.floor(i / 6)]!);
const mirrored = (f: Cells): Cells => f.map((_, i) => f[Math.floor(i / 6) * 6 + 5 - (i % 6)]!);
const poses = (f: Cells): Cells[] => {
  const t1 = turned(f);
  const t2 = turned(t1);
  const t3 = turned(t2);
  return [f, t1, t2, t3, mirrored(f), mirrored(t1), mirrored(t2), mirrored(t3)];
};
const apart = (a: Cells, b: Cells): number => a.reduce((n, v, i) => n + (v === b[i] ? 0 : 1), 0);

describe('the code book', () => {
  test(`any two of the 192 fields, in any of 8 poses, are at least ${CODE_DISTANCE} cells apart`, () => {
    const all = Array.from({ length: IDENTITY_COUNT }, (_, i) => fieldOf(i));
    expect(all).toHaveLength(192);
    let least = 36;
    all.forEach((a, i) => {
      poses(a).forEach((p, k) => {
        if (k > 0) least = Math.min(least, apart(a, p));
        for (let j = 0; j < i; j++) least = Math.min(least, apart(all[j]!, p));
      });
    });
    expect(least).toBe(CODE_DISTANCE);
  });

  test('the first and last fields are the ones already printed: frozen', () => {
    expect(fieldOf(0).join('')).toBe('101111101010111101010101100010000001');
    // If this fails, every sheet on every wall would be misread.
    const sum = Array.from({ length: IDENTITY_COUNT }, (_, i) =>
      fieldOf(i).reduce<number>((h, b) => (h * 31 + b) % 1000003, i),
    ).reduce((a, b) => (a * 17 + b) % 1000003, 0);
    expect(sum).toBe(623528);
  });

  test('a field with five wrong cells is still its own, in every pose, and says whether it is mirrored', () => {
    const next = generator(8);
    for (let identity = 0; identity < IDENTITY_COUNT; identity += 7) {
      poses(fieldOf(identity)).forEach((pose, k) => {
        const spoilt = [...pose];
        for (const at of [1, 8, 17, 23, 30].map((v) => (v + Math.floor(next() * 6)) % 36))
          spoilt[at] = 1 - pose[at]!;
        const match = matchField(spoilt, 5);
        expect(match?.identity).toBe(identity);
        expect(match?.mirrored).toBe(k >= 4);
        expect(match?.expected).toEqual(pose);
      });
    }
  });

  test('a field turned clockwise once has its upper left corner at the upper right of the reading', () => {
    const match = matchField(turned(fieldOf(41)), 0)!;
    expect(match.corners).toEqual([1, 2, 3, 0]);
    expect(matchField(mirrored(fieldOf(41)), 0)!.corners).toEqual([1, 0, 3, 2]);
  });
});

describe('the sheet', () => {
  test('identity 0 to 191 belong to sheets 1 to 48 with four places each', () => {
    expect(SHEET_COUNT).toBe(48);
    for (const number of [1, 17, 48]) {
      sheetMarks(number).forEach((m, place) => {
        expect(sheetOfIdentity(m.identity)).toEqual({ sheet: number, place });
        expect(m.identity).toBe((number - 1) * MARKS_PER_SHEET + place);
      });
    }
    expect(() => sheetMarks(0)).toThrow('a whole number from 1 to 48, got 0');
    expect(() => sheetMarks(49)).toThrow('sheet number');
  });

  test.each(['a4', 'letter'] as const)(
    '%s: marks stand clear of each other and 11 mm inside the page',
    (paper) => {
      const d = sheetDesign(23, paper);
      expect(d.widthMm).toBeGreaterThan(d.heightMm);
      for (const m of d.marks) {
        for (const c of m.corners) {
          expect(d.widthMm / 2 - Math.abs(c.X)).toBeGreaterThan(11);
          expect(d.heightMm / 2 - Math.abs(c.Y)).toBeGreaterThan(11);
        }
        expect(m.corners[1].X - m.corners[0].X).toBe(MARK_SIZE_MM);
        expect(m.corners[0].Y - m.corners[3].Y).toBe(MARK_SIZE_MM);
      }
      // Nothing printed reaches into the white around a mark: 6 mm on the inner sides, where the ladder and text are.
      for (const p of d.greyPatches) {
        expect(Math.abs(p.centre.X) + p.widthMm / 2).toBeLessThan(46 - 6);
      }
    },
  );

  test('A4 and Letter carry the marks at the same places, so the photo need not know the paper', () => {
    expect(sheetDesign(9, 'a4').marks).toEqual(sheetDesign(9, 'letter').marks);
  });

  test('the ladder has five steps twice, in opposite order, so that a slope of light cancels', () => {
    const { greyPatches } = sheetDesign(3, 'a4');
    expect(greyPatches).toHaveLength(10);
    for (const p of greyPatches) {
      const twin = greyPatches.find((q) => q.reflectance === p.reflectance && q !== p)!;
      expect(twin.centre.X).toBe(-p.centre.X);
      expect(twin.centre.Y).toBe(-p.centre.Y);
    }
  });

  test('painted in order, the shapes show the field: white cells where the code has 1', () => {
    const d = sheetDesign(31, 'a4');
    const painted = (X: number, Y: number): number => {
      let seen = 0.85;
      for (const s of d.shapes) {
        if (s.kind !== 'polygon') continue;
        const xs = s.points.map((p) => p.X);
        const ys = s.points.map((p) => p.Y);
        // All shapes near marks are upright rectangles.
        if (X > Math.min(...xs) && X < Math.max(...xs) && Y > Math.min(...ys) && Y < Math.max(...ys)) {
          seen = s.reflectance;
        }
      }
      return seen;
    };
    for (const m of d.marks) {
      fieldOf(m.identity).forEach((bit, i) => {
        const X = m.corners[0].X + 10 * ((i % 6) + 1.5);
        const Y = m.corners[0].Y - 10 * (Math.floor(i / 6) + 1.5);
        expect(painted(X, Y)).toBe(bit === 1 ? 0.85 : 0.05);
      });
      expect(painted(m.corners[0].X + 4, m.corners[0].Y - 37)).toBe(0.05);
      expect(painted(m.corners[0].X - 3, m.corners[0].Y - 37)).toBe(0.85);
    }
  });
});
