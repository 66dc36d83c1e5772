import { xoroshiro128plus } from 'pure-rand';
import { describe, expect, test } from 'vitest';
import {
  propagate,
  standardUncertainty,
  type UncertainInput,
} from '../../../src/core/uncertainty/estimate.ts';
import { drawTrials } from '../../../src/core/uncertainty/monte-carlo.ts';

function uniformFrom(seed: number): () => number {
  const generator = xoroshiro128plus(seed);
  return () => (generator.unsafeNext() >>> 0) / 2 ** 32;
}

/** Drop over a leaning floor and a pitched vehicle: bends enough to be worth drawing. */
const drop = ([h, c, D, lean]: readonly number[]): readonly number[] => [
  (100 * (h! - c! * Math.cos(lean!))) / (D! + c! * Math.sin(lean!)),
  (100 * (h! - c!)) / D!,
];
const INPUTS: readonly UncertainInput[] = [
  { value: 655, u: 2, cause: 'lamp-height' },
  { value: 588, u: 3, cause: 'marks-placed' },
  { value: 5080, u: 10, cause: 'distance' },
  { value: 0.012, u: 0.009, cause: 'board-lean' },
];

// JCGM 101 (Monte Carlo) against JCGM 100 (first order): with 1e5 trials u is known to 1/sqrt(2e5) = 0.22 %, so 1 %
// is over four of its own standard deviations.
describe('drawing agrees with first-order propagation (JCGM 101)', () => {
  test('u of a drop from four inputs agrees to 1 %, and 95 % lie within 1.96 u', () => {
    const drawn = drawTrials(INPUTS, drop, uniformFrom(7), 100_000);
    propagate(INPUTS, drop).forEach((e, k) => {
      const u = standardUncertainty(e);
      expect(Math.abs(drawn[k]!.u / u - 1)).toBeLessThan(0.01);
      expect(Math.abs(drawn[k]!.mean - e.value)).toBeLessThan(0.02 * u);
      expect(Math.abs((drawn[k]!.to - drawn[k]!.from) / (2 * 1.96 * u) - 1)).toBeLessThan(0.02);
    });
  });

  test('inputs that share a cause are drawn as one error: u is 5 when they add, 1 when they oppose', () => {
    const shared: readonly UncertainInput[] = [
      { value: 10, u: 2, cause: 'floor' },
      { value: 20, u: 3, cause: 'floor' },
    ];
    const [sum, minus] = drawTrials(shared, ([a, b]) => [a! + b!, a! - b!], uniformFrom(11), 20_000);
    // 2e4 trials: 0.5 % standard deviation of u.
    expect(sum!.u).toBeGreaterThan(4.9);
    expect(sum!.u).toBeLessThan(5.1);
    expect(minus!.u).toBeGreaterThan(0.98);
    expect(minus!.u).toBeLessThan(1.02);
  });

  test('one seed gives one answer', () => {
    const once = drawTrials(INPUTS, drop, uniformFrom(3), 200);
    expect(drawTrials(INPUTS, drop, uniformFrom(3), 200)).toEqual(once);
    expect(drawTrials(INPUTS, drop, uniformFrom(4), 200)).not.toEqual(once);
  });

  test('fewer than 100 trials are refused', () => {
    expect(() => drawTrials(INPUTS, drop, uniformFrom(1), 99)).toThrow(
      'trials: expected at least 100, got 99',
    );
  });
});
