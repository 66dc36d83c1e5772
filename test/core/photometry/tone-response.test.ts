import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  nearestTone,
  otherwiseRead,
  sSlope,
  TONE_TERMS,
  toneShapes,
  toneTable,
} from '../../../src/core/photometry/tone-response.ts';

const someTone = fc.array(fc.double({ min: -2.5, max: 2.5, noNaN: true }), {
  minLength: TONE_TERMS,
  maxLength: TONE_TERMS,
});

describe("a camera's response", () => {
  // IEC 61966-2-1; the levels 117.646 and 187.516 of 0.18 and 0.5 are W55 of the project's standards.
  test.each([[], new Array<number>(TONE_TERMS).fill(0)])(
    'without parameters it is plain sRGB',
    (...params) => {
      const eight = toneTable(255, params);
      for (const [level, light] of [
        [0, 0],
        [117.646, 0.18],
        [187.516, 0.5],
        [255, 1],
      ] as const) {
        const k = Math.min(254, Math.floor(level));
        expect(eight[k]! + (level - k) * (eight[k + 1]! - eight[k]!)).toBeCloseTo(light, 4);
      }
      expect(toneTable(65535, params)[10]).toBeCloseTo(10 / 65535 / 12.92, 9);
    },
  );

  test('whatever the parameters to 2.5 standard deviations: black 0, white 1, and no level darker than the one below', () => {
    fc.assert(
      fc.property(someTone, (params) => {
        const table = toneTable(255, params);
        expect(table[0]).toBe(0);
        expect(table[255]).toBeCloseTo(1, 6);
        for (let i = 1; i < 256; i++) expect(table[i]!).toBeGreaterThan(table[i - 1]!);
      }),
      { numRuns: 60 },
    );
  });

  test('8 and 16 bits say the same light for the same coded value, to 1e-6', () => {
    const params = [-0.8, 1.1, 0.6, -0.3, 0.2, 0.9];
    const eight = toneTable(255, params);
    const sixteen = toneTable(65535, params);
    for (const level of [3, 40, 91, 160, 222]) expect(sixteen[257 * level]).toBeCloseTo(eight[level]!, 6);
  });

  test('reading otherwise and back gives the same light, to 1e-9 of white', () => {
    fc.assert(
      fc.property(someTone, someTone, fc.double({ min: 0.0005, max: 1, noNaN: true }), (a, b, light) => {
        expect(otherwiseRead(b, a)(otherwiseRead(a, b)(light))).toBeCloseTo(light, 9);
      }),
      { numRuns: 200 },
    );
  });

  test('reading otherwise is what the other table says of the same level', () => {
    const used = [0.4, -0.7, 1.2, 0.1, 0.5, -0.2];
    const other = [-1.1, 0.3, -0.4, 0.8, -0.6, 0.7];
    const from = toneTable(255, used);
    const to = toneTable(255, other);
    const change = otherwiseRead(used, other);
    for (const level of [7, 33, 81, 150, 230]) expect(change(from[level]!)).toBeCloseTo(to[level]!, 4);
    expect(change(-0.003)).toBe(-0.003);
  });

  // The first-order inverse of y + 2·s·y(1 - y)(2y - 1) is c - 2·s·c(1 - c)(2c - 1).
  test('an S of contrast 0.1 is followed to 0.3 % of light between coded 0.1 and 0.95, up to a power and a scale', () => {
    const params = nearestTone((c) => 0.1 * sSlope(c));
    const eta = (c: number) => toneShapes(c).reduce((s, v, n) => s + v * params[n]!, 0);
    const xs: number[] = [];
    const ys: number[] = [];
    for (let c = 0.1; c < 0.95; c += 0.05) {
      xs.push(Math.log(c));
      ys.push(eta(c) - Math.log(1 - 0.1 * (1 - c) * (2 * c - 1)));
    }
    const mean = (v: readonly number[]) => v.reduce((s, x) => s + x, 0) / v.length;
    const [mx, my] = [mean(xs), mean(ys)];
    const slope =
      xs.reduce((s, x, i) => s + (x - mx) * (ys[i]! - my), 0) / xs.reduce((s, x) => s + (x - mx) ** 2, 0);
    for (let i = 0; i < xs.length; i++)
      expect(Math.abs(ys[i]! - my - slope * (xs[i]! - mx))).toBeLessThan(0.003);
  });
});
