import { describe, expect, test } from 'vitest';
import { dropOnEdgeLine, topEdgeOf, VOR_OFFSET_PCT } from '../../../src/core/rules/top-edge.ts';
import { estimate } from '../../../src/core/uncertainty/estimate.ts';

/** Flat 1.2 % down to an elbow at -0.4 %, then 15 deg up to the left as far as -12 %. */
const RISE = [
  { u: -0.12, v: -0.012 + (0.12 - 0.004) * Math.tan(Math.PI / 12) },
  { u: -0.004, v: -0.012 },
  { u: 0.1, v: -0.012 },
];
const drop = estimate(1.27, 'floor', 0.1);

describe('the whole upper edge from a fitted line', () => {
  test('the highest point is where the rise meets 5 deg left, 8.749 %: 2.237 % above the flat part', () => {
    const top = topEdgeOf(RISE, 4, drop)!;
    expect(top.highestDropPct.value).toBeCloseTo(1.27 - (8.74887 - 0.4) * 0.267949, 4);
    expect(top.lowestDropPct.value).toBeCloseTo(1.27, 9);
    expect(top.highestDropPct.parts).toEqual({ floor: 0.1 });
  });

  test('a peak inside the line counts, a column beyond its ends does not', () => {
    const peak = [
      { u: -0.03, v: -0.013 },
      { u: 0.01, v: -0.004 },
      { u: 0.05, v: -0.013 },
    ];
    expect(topEdgeOf(peak, -3, drop)!.highestDropPct.value).toBeCloseTo(1.27 - 0.9, 9);
    expect(topEdgeOf(peak, -3.1, drop)).toBeNull();
    expect(topEdgeOf([], 0, drop)).toBeNull();
  });

  test('2.0 deg right is 3.4921 %; a line tilted right side up by 1 deg stands 0.138 % higher than at 4.4 % left', () => {
    expect(VOR_OFFSET_PCT).toBeCloseTo(3.49208, 5);
    const tilted = [
      { u: -0.08, v: -0.012 - 0.08 * Math.tan(Math.PI / 180) },
      { u: 0.06, v: -0.012 + 0.06 * Math.tan(Math.PI / 180) },
    ];
    const there = dropOnEdgeLine(tilted, -4.4, drop, VOR_OFFSET_PCT)!;
    expect(there.value).toBeCloseTo(1.27 - (VOR_OFFSET_PCT + 4.4) * Math.tan(Math.PI / 180), 9);
    expect(dropOnEdgeLine(tilted, -4.4, drop, 6.1)).toBeNull();
  });
});
