import { describe, expect, test } from 'vitest';
import {
  type LampFilling,
  LIKELY_FILLINGS,
  type LitSpot,
  litHeights,
  litSpots,
} from '../../../../src/core/beam/joint/lamp-filling.ts';

const ALL: readonly LampFilling[] = [
  'disc',
  'centre-weighted',
  'upper-half',
  'lower-half-dim',
  'ring',
  'lens',
  'strip',
  'lens-strip',
  'facets',
];

/** Mean height of a half disc: 4 / (3 pi) of the radius; second moment of any half: that of the whole, 1/4. */
const HALF = 4 / (3 * Math.PI);

/** A disc with a brighter (or darker) inner disc of radius 0.6: light and second moment by areas. */
const layered = (inner: number, outer: number) => {
  const inside = inner * 0.36;
  const outside = outer * (1 - 0.36);
  return (inside * (0.36 / 4) + (outer * (1 - 0.36 ** 2)) / 4) / (inside + outside);
};

/**
 * Closed forms in units of the half height: mean, second moment about the centre, and second moment across. A disc's
 * moment is r2/4 (polar moment r2/2 shared by two axes); light that falls as 1 - r2 gives 1/6 by integration.
 */
const CLOSED: Record<LampFilling, { mean: number; up: number; across: number }> = {
  disc: { mean: 0, up: 1 / 4, across: 1 / 4 },
  facets: { mean: 0, up: 1 / 4, across: 1 / 4 },
  'centre-weighted': { mean: 0, up: 1 / 6, across: 1 / 6 },
  'upper-half': { mean: HALF, up: 1 / 4, across: 1 / 4 },
  // 1 above and 0.35 below: the halves' means weighted by their light.
  'lower-half-dim': { mean: (HALF * (1 - 0.35)) / 1.35, up: 1 / 4, across: 1 / 4 },
  ring: { mean: 0, up: layered(0, 1), across: layered(0, 1) },
  lens: { mean: 0, up: layered(1, 0.08), across: layered(1, 0.08) },
  strip: { mean: 0, up: 1 / 3, across: 1 / 3 },
  // Five ellipses, half widths 0.42 of a fifth of the whole: their places -0.8 .. 0.8 (mean square 0.32) and their own moment.
  'lens-strip': { mean: 0, up: 1 / 4, across: 0.32 + (0.42 * 0.4) ** 2 / 4 },
};

const sum = (spots: readonly LitSpot[], of: (s: LitSpot) => number) =>
  spots.reduce((total, s) => total + s.share * of(s), 0);

// The aperture is looked at in 480 x 480 cells. Along a curved rim of length 2 pi about 1500 cells are in or out by
// chance of half a cell: areas err by a few 1e-5, so moments by 1e-4 at most.
const FINE = 2e-4;
// A lens of the row is only 40 such cells in radius: the error of counting cells in a circle grows as the power 3/2, shared by five.
const fineOf = (filling: LampFilling) => (filling === 'lens-strip' ? 6e-4 : FINE);

describe.each(ALL)('%s', (filling) => {
  const fine = fineOf(filling);
  test('24 rows: shares add up to 1, mean height as in closed form to 2e-4 of the half height', () => {
    const rows = litHeights(filling);
    expect(sum(rows, () => 1)).toBeCloseTo(1, 10);
    expect(Math.abs(sum(rows, (r) => r.z) - CLOSED[filling].mean)).toBeLessThan(fine);
  });

  test('24 rows keep the second moment to what a row hides: at most (1/24)2/3 of the half height squared', () => {
    const spread = sum(litHeights(filling), (r) => r.z * r.z);
    const lost = CLOSED[filling].up - spread;
    // Light spread evenly over a row 2/24 high has a moment of its own of (1/24)2/3, and this alone is lost.
    expect(lost).toBeGreaterThan(-fine);
    expect(lost).toBeLessThan((1 / 24) ** 2 / 3 + fine);
  });

  test('240 rows lose a hundredth of that', () => {
    expect(Math.abs(sum(litHeights(filling, 240), (r) => r.z * r.z) - CLOSED[filling].up)).toBeLessThan(
      (1 / 240) ** 2 / 3 + fine,
    );
  });

  test('9 x 11 spots: shares add up to 1, moments up and across as in closed form less what a cell hides', () => {
    const spots = litSpots(filling);
    expect(sum(spots, () => 1)).toBeCloseTo(1, 10);
    expect(Math.abs(sum(spots, (s) => s.x))).toBeLessThan(fine);
    expect(Math.abs(sum(spots, (s) => s.z) - CLOSED[filling].mean)).toBeLessThan(fine);
    const lostUp = CLOSED[filling].up - sum(spots, (s) => s.z * s.z);
    const lostAcross = CLOSED[filling].across - sum(spots, (s) => s.x * s.x);
    expect(lostUp).toBeGreaterThan(-fine);
    expect(lostUp).toBeLessThan((1 / 11) ** 2 / 3 + fine);
    expect(lostAcross).toBeGreaterThan(-fine);
    expect(lostAcross).toBeLessThan((1 / 9) ** 2 / 3 + fine);
  });

  test('left and right are mirror images to 1e-9', () => {
    const spots = litSpots(filling);
    for (const s of spots) {
      const twin = spots.find((t) => Math.abs(t.x + s.x) < 1e-9 && Math.abs(t.z - s.z) < 1e-9);
      expect(twin).toBeDefined();
      expect(Math.abs(twin!.share - s.share)).toBeLessThan(1e-9);
    }
  });

  test('every spot lies inside the opening, and no share is negative', () => {
    for (const s of litSpots(filling)) {
      expect(s.share).toBeGreaterThan(0);
      expect(Math.max(Math.abs(s.x), Math.abs(s.z))).toBeLessThan(1);
      if (filling !== 'strip' && filling !== 'lens-strip') expect(Math.hypot(s.x, s.z)).toBeLessThan(1);
      if (filling === 'upper-half') expect(s.z).toBeGreaterThan(0);
    }
  });
});

test('the fillings tried unasked are six unlike ones: no two with mean and spread alike to 0.01', () => {
  const seen = LIKELY_FILLINGS.map((f) => CLOSED[f]);
  expect(seen).toHaveLength(6);
  seen.forEach((a, i) => {
    seen.slice(i + 1).forEach((b) => {
      expect(Math.abs(a.mean - b.mean) + Math.abs(a.up - b.up)).toBeGreaterThan(0.01);
    });
  });
});

test('asked twice, the same rows come back (they are kept), and other counts are kept apart', () => {
  expect(litHeights('ring')).toBe(litHeights('ring'));
  expect(litHeights('ring', 7)).not.toBe(litHeights('ring', 8));
  expect(litHeights('ring', 7)).toHaveLength(7);
});
