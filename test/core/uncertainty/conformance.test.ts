import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  acceptanceLimits,
  conformanceProbability,
  rejectionLimits,
} from '../../../src/core/uncertainty/conformance.ts';
import { normalCdf } from '../../../src/core/uncertainty/normal.ts';
import { RULES_REFERENCE } from '../../reference/rules-and-turns.ts';

describe('the normal distribution', () => {
  // scipy.stats.norm.cdf (test/reference/rules_and_turns.py).
  test.each(RULES_REFERENCE.cdf)('P(Z < $z) agrees with scipy to 1e-12 of itself', ({ z, p }) => {
    expect(Math.abs(normalCdf(z) / p - 1)).toBeLessThan(1e-12);
  });

  test('both branches meet: no step where the series hands over to the fraction, and it never falls', () => {
    const seam = 2 * Math.SQRT2;
    expect(Math.abs(normalCdf(seam - 1e-9) - normalCdf(seam + 1e-9))).toBeLessThan(1e-10);
    fc.assert(
      fc.property(fc.double({ min: -9, max: 9, noNaN: true }), (z) => {
        expect(normalCdf(z) + normalCdf(-z)).toBeCloseTo(1, 13);
        expect(normalCdf(z + 0.01)).toBeGreaterThanOrEqual(normalCdf(z));
      }),
    );
  });
});

describe('conformance (JCGM 106)', () => {
  test.each(RULES_REFERENCE.conformance)(
    '$value with u = $u is inside $min to $max with the probability that scipy gives',
    ({ value, u, min, max, p }) => {
      expect(conformanceProbability(value, u, { min, max })).toBeCloseTo(p, 10);
    },
  );

  test('without uncertainty a value on the limit is inside, one beyond it is not', () => {
    expect(conformanceProbability(0.5, 0, { min: 0.5, max: 2.75 })).toBe(1);
    expect(conformanceProbability(0.499, 0, { min: 0.5, max: null })).toBe(0);
  });

  // W41: W39's U = 0.144316 against 0.5 to 2.75 %.
  test('U = 0.144316 % moves 0.5 to 2.75 % in to 0.64432 to 2.60568 and out to 0.35568 to 2.89432 (W41)', () => {
    const limits = { min: 0.5, max: 2.75 };
    const inner = acceptanceLimits(limits, 0.144316);
    const outer = rejectionLimits(limits, 0.144316);
    expect([inner.min, inner.max, outer.min, outer.max].map((x) => x!.toFixed(5))).toEqual([
      '0.64432',
      '2.60568',
      '0.35568',
      '2.89432',
    ]);
  });

  test('a limit that is not there stays away', () => {
    expect(acceptanceLimits({ min: null, max: 0 }, 0.2)).toEqual({ min: null, max: -0.2 });
  });

  test('a negative standard uncertainty is refused', () => {
    expect(() => conformanceProbability(1, -0.1, { min: 0, max: 2 })).toThrow(
      'a standard uncertainty of 0 or more',
    );
  });
});
