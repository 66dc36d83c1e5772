import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sharpness } from '../../../../src/core/beam/signs/softness.ts';
import { summits } from '../../../../src/core/beam/signs/summits.ts';

const TANH = {
  at: 0.3,
  logSkew: 0,
  bright: 0,
  brightSlope: 0,
  brightBend: 0,
  brightTwist: 0,
  dark: -2,
  darkSlope: 0,
};

describe('sharpness of a fitted edge', () => {
  test.each([
    [0.5, 0.199336],
    [0.8, 0.124837],
    [0.2, 0.489837],
  ])(
    'log light falling by a tanh of one decade and width %f deg has G = %f (standards W31 to W33)',
    (s, g) => {
      expect(Math.abs(sharpness({ ...TANH, logWidth: Math.log(s) }).g - g)).toBeLessThan(0.004);
    },
  );

  test('from three quarters to one quarter the tanh of width 0.5 deg falls within 0.47 deg', () => {
    // 1 + tanh x = 0.1249 at x = -1.354 and 0.6021 at x = -0.421: 0.933 widths apart.
    expect(Math.abs(sharpness({ ...TANH, logWidth: Math.log(0.5) }).widthDeg - 0.467)).toBeLessThan(0.03);
  });
});

describe('summits of a map', () => {
  test('two hills of 9 and 7 with a pass of 4 between: the lower one ends at 4', () => {
    const row = [1, 3, 9, 6, 4, 5, 7, 2];
    const found = summits(row, row.length, 1, () => true);
    expect(found.map((s) => [s.at, s.height, s.saddle])).toEqual([
      [2, 9, Number.NEGATIVE_INFINITY],
      [6, 7, 4],
    ]);
  });

  test('what is not allowed or not known is a gap: two hills with nothing between never meet', () => {
    const found = summits([5, Number.NaN, 3], 3, 1, () => true);
    expect(found.map((s) => s.saddle)).toEqual([Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]);
  });

  test('no summit is lower than its saddle, and their number is that of the places with no higher neighbour', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 1, max: 10_000 }), { minLength: 30, maxLength: 30 }),
        (values) => {
          const [columns, rows] = [6, 5];
          const found = summits(values, columns, rows, () => true);
          let tops = 0;
          values.forEach((value, k) => {
            const c = k % columns;
            const r = (k - c) / columns;
            const higher = values.some((other, n) => {
              const x = n % columns;
              const y = (n - x) / columns;
              return Math.abs(x - c) <= 1 && Math.abs(y - r) <= 1 && other > value;
            });
            if (!higher) tops++;
          });
          expect(found.length).toBe(tops);
          for (const s of found) expect(s.saddle).toBeLessThan(s.height);
        },
      ),
      { numRuns: 60 },
    );
  });
});
