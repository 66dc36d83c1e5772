import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { comparePair, type PairReading } from '../../../src/core/pair/compare-pair.ts';
import { type Estimate, expandedUncertainty } from '../../../src/core/uncertainty/estimate.ts';

function lamp(
  side: 'left' | 'right',
  drop: number,
  offset: number | null,
  tilt: number | null = null,
): PairReading {
  const e = (value: number, shared: number): Estimate => ({
    value,
    parts: {
      floor: shared,
      'vehicle-axis': shared,
      [`noise@${side}`]: 0.03,
      [`lamp-height@${side}-dip`]: 0.04,
    },
  });
  return {
    dropPct: e(drop, 0.25),
    offsetPct: offset === null ? null : e(offset, 0.4),
    tiltDeg: tilt === null ? null : e(tilt, 0.1),
  };
}

describe('left against right', () => {
  test('0.40 % lower on the left, give or take 0.14 %: the 0.25 % of floor and axis are gone', () => {
    const pair = comparePair(lamp('left', 1.62, -0.31), lamp('right', 1.22, -0.28));
    expect(pair.dropDifferencePct!.value).toBeCloseTo(0.4, 12);
    // Two lamps of 0.05 % each: U = 2 x 0.05 x sqrt 2 = 0.1414.
    expect(expandedUncertainty(pair.dropDifferencePct!)).toBeCloseTo(0.141421, 6);
    expect(pair.remarks).toEqual([
      'The left lamp aims lower than the other by 0.40 %, give or take 0.14 %.',
      'Both lamps aim alike sideways, as far as the photos tell (0.03 %, give or take 0.14 %).',
    ]);
  });

  test('beams that cross and one that is twisted are told, and its likely cause', () => {
    const { remarks } = comparePair(lamp('left', 1.2, 0.6, 2.5), lamp('right', 1.25, -0.2, -0.1));
    expect(remarks[0]).toContain('aim alike in height');
    expect(remarks[1]).toContain(
      'The beams cross: the left lamp aims further right than the right one by 0.80 %',
    );
    expect(remarks[2]).toContain('twisted against the other by 2.6 deg: look for a bulb not seated');
  });

  test('beams that spread are told so', () => {
    expect(comparePair(lamp('left', 1.2, -0.9), lamp('right', 1.2, 0.3)).remarks[1]).toContain(
      'The beams spread',
    );
  });

  test('a lamp that was not read leaves nothing to compare', () => {
    const pair = comparePair(lamp('left', 1.2, 0.1), { dropPct: null, offsetPct: null, tiltDeg: null });
    expect([pair.dropDifferencePct, pair.offsetDifferencePct, pair.tiltDifferenceDeg]).toEqual([
      null,
      null,
      null,
    ]);
    expect(pair.remarks).toEqual([
      "The heights of the two beams can't be compared: one of them was not read.",
    ]);
  });

  test('nothing is said of brightness or colour', () => {
    const { remarks } = comparePair(lamp('left', 1.6, -0.9, 3), lamp('right', 1.2, 0.3, 0));
    expect(remarks.join(' ')).not.toMatch(/bright|colour|dim/);
  });

  test('both leaning 2.0 and 1.9 deg right side up speak of board and vehicle; 2.0 and -1.9 of a twisted lamp', () => {
    const alike = comparePair(lamp('left', 1.2, null, 2.0), lamp('right', 1.3, null, 1.9));
    expect(alike.remarks.join(' ')).toContain('Both beams lean alike, right side up');
    const apart = comparePair(lamp('left', 1.2, null, 2.0), lamp('right', 1.3, null, -1.9));
    expect(apart.remarks.join(' ')).toContain('twisted against the other');
    expect(apart.remarks.join(' ')).not.toContain('lean alike');
    const little = comparePair(lamp('left', 1.2, null, 0.7), lamp('right', 1.3, null, 0.8));
    expect(little.remarks.join(' ')).not.toContain('lean');
  });

  test('exchanging the lamps turns the signs of all differences and keeps their uncertainty', () => {
    const x = fc.double({ min: -2, max: 3, noNaN: true });
    fc.assert(
      fc.property(x, x, x, x, (a, b, c, d) => {
        const one = comparePair(lamp('left', a, b), lamp('right', c, d));
        const other = comparePair(lamp('right', c, d), lamp('left', a, b));
        expect(other.dropDifferencePct!.value).toBeCloseTo(-one.dropDifferencePct!.value, 12);
        expect(other.offsetDifferencePct!.value).toBeCloseTo(-one.offsetDifferencePct!.value, 12);
        expect(expandedUncertainty(other.dropDifferencePct!)).toBeCloseTo(
          expandedUncertainty(one.dropDifferencePct!),
          12,
        );
      }),
    );
  });
});
