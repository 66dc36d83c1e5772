import fc from 'fast-check';
import { expect, test } from 'vitest';
import { AT_ODDS, type Opinion, settle } from '../../../../src/core/beam/joint/two-opinions.ts';

const opinions = fc.record({
  v: fc.double({ min: -0.1, max: 0.1, noNaN: true }),
  uNoise: fc.double({ min: 1e-5, max: 1e-3, noNaN: true }),
  uShape: fc.double({ min: 1e-5, max: 1e-3, noNaN: true }),
});
const u = (o: { readonly uNoise: number; readonly uShape: number }) => Math.hypot(o.uNoise, o.uShape);

test('who is asked first does not matter: same height and uncertainty, shares add up to 1, apart turns its sign', () => {
  fc.assert(
    fc.property(opinions, opinions, (a, b) => {
      const ab = settle(a, b);
      const ba = settle(b, a);
      expect(ab.v).toBeCloseTo(ba.v, 12);
      expect(ab.uNoise).toBeCloseTo(ba.uNoise, 12);
      expect(ab.uShape).toBeCloseTo(ba.uShape, 12);
      expect(ab.share + ba.share).toBeCloseTo(1, 12);
      expect(ab.apart).toBeCloseTo(-ba.apart, 9);
    }),
  );
});

test('the height lies between the two, nearer to the surer one', () => {
  fc.assert(
    fc.property(opinions, opinions, (a, b) => {
      const s = settle(a, b);
      expect(s.v).toBeGreaterThanOrEqual(Math.min(a.v, b.v) - 1e-15);
      expect(s.v).toBeLessThanOrEqual(Math.max(a.v, b.v) + 1e-15);
      if (u(a) < u(b)) expect(Math.abs(s.v - a.v)).toBeLessThanOrEqual(Math.abs(s.v - b.v) + 1e-15);
    }),
  );
});

test('agreeing, the two are never surer than independent ones would be, nor less sure than the less sure one', () => {
  fc.assert(
    fc.property(opinions, opinions, (a, b) => {
      const s = settle({ ...a, v: 0 }, { ...b, v: 0 });
      // JCGM 100, 5.1.2: independent opinions weighed by their variances leave 1/sqrt(1/u1^2 + 1/u2^2).
      expect(u(s)).toBeGreaterThanOrEqual(1 / Math.sqrt(u(a) ** -2 + u(b) ** -2) - 1e-12);
      expect(u(s)).toBeLessThanOrEqual(Math.max(u(a), u(b)) + 1e-12);
    }),
  );
});

test('both alike, u = 3e-4 of noise and 4e-4 of shape: noise shared by 0.4 shrinks by the root of 0.7, shape by the root of 2', () => {
  const one: Opinion = { v: 0.01, uNoise: 3e-4, uShape: 4e-4 };
  const s = settle(one, one);
  expect(s).toMatchObject({ share: 0.5, apart: 0 });
  // Two errors of correlation r: their mean has a variance of (1 + r)/2 of one (JCGM 100, 5.2.2).
  expect(s.uNoise).toBeCloseTo(3e-4 * Math.sqrt(0.7), 12);
  expect(s.uShape).toBeCloseTo(4e-4 / Math.SQRT2, 12);
});

test('further apart than 3 of their own uncertainties: half the difference is added, so 2 u covers both', () => {
  fc.assert(
    fc.property(opinions, opinions, fc.double({ min: 1.01, max: 20, noNaN: true }), (a, b, times) => {
      const gap = AT_ODDS * times * Math.hypot(u(a), u(b));
      const near = settle({ ...a, v: 0 }, { ...b, v: 0.99 * AT_ODDS * Math.hypot(u(a), u(b)) });
      const far = settle({ ...a, v: 0 }, { ...b, v: gap });
      expect(Math.abs(far.apart)).toBeGreaterThan(AT_ODDS);
      expect(far.uShape).toBeGreaterThan(near.uShape);
      expect(far.uShape).toBeGreaterThanOrEqual(gap / 2);
      expect(Math.abs(far.v)).toBeLessThanOrEqual(2 * u(far));
      expect(Math.abs(far.v - gap)).toBeLessThanOrEqual(2 * u(far));
    }),
  );
});

test('both moved by 0.02 and stretched by 3: the answer too', () => {
  fc.assert(
    fc.property(opinions, opinions, (a, b) => {
      const s = settle(a, b);
      const by = (o: Opinion) => ({ v: 3 * o.v + 0.02, uNoise: 3 * o.uNoise, uShape: 3 * o.uShape });
      const t = settle(by(a), by(b));
      expect(t.v).toBeCloseTo(3 * s.v + 0.02, 12);
      expect(u(t)).toBeCloseTo(3 * u(s), 12);
      expect(t.share).toBeCloseTo(s.share, 9);
    }),
  );
});
