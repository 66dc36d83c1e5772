import { readFileSync } from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { BentLine } from '../../../../src/core/beam/bent-line.ts';
import type { EdgePoint } from '../../../../src/core/beam/finding.ts';
import { EdgeCurve, type FarLine, farLineAt } from '../../../../src/core/beam/joint/edge-curve.ts';
import { type EdgeLineFit, fitEdgeLine, type Smear } from '../../../../src/core/beam/joint/edge-line-fit.ts';
import type { EdgeShape } from '../../../../src/core/beam/joint/edge-shape.ts';
import { type LampFilling, litSpots } from '../../../../src/core/beam/joint/lamp-filling.ts';
import { generator } from '../drawn-grid.ts';
import { DEG } from './dense-edge.ts';

interface SmearedElbow {
  readonly kind: 'rise' | 'step' | 'short-ramp';
  readonly filling: LampFilling;
  readonly widthPct: number;
  readonly heightPct: number;
  readonly line: Omit<FarLine, 'length'> & { readonly length: number | null };
  readonly u: readonly number[];
  readonly v: readonly number[];
}
// numpy 2.4.6, dense sums over 44 x 44 places of the opening: test/reference/smeared_elbow.py.
const { cases } = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, '../../../reference/smeared_elbow.json'), 'utf8'),
) as { cases: readonly SmearedElbow[] };

/** The script's far edge in the fit's parameters: log10 falls as -tanh(x / 0.3). */
const SHAPE: EdgeShape = {
  at: 0,
  logWidth: Math.log(0.3),
  logSkew: 0,
  bright: 1,
  brightSlope: 0,
  brightBend: 0,
  brightTwist: 0,
  dark: -1,
  darkSlope: 0,
};
const pct = (deg: number) => 100 * DEG * deg;
const lineOf = (c: SmearedElbow): FarLine => ({
  ...c.line,
  length: c.line.length ?? Number.POSITIVE_INFINITY,
});
const smearOf = (c: SmearedElbow): Smear => ({
  shape: SHAPE,
  spots: litSpots(c.filling),
  halfWidth: c.widthPct / 200 / DEG,
  halfHeight: c.heightPct / 200 / DEG,
});

/** The script's points with noise of 0.01 deg. */
function pointsOf(c: SmearedElbow, seed: number, noiseDeg = 0.01): EdgePoint[] {
  const next = generator(seed);
  const normal = () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
  return c.u.map((u, i) => ({
    u: u * DEG,
    v: (c.v[i]! + noiseDeg * normal()) * DEG,
    uV: noiseDeg * DEG,
    used: true,
  }));
}

/** A far line as the trace's bent line, to begin from. */
function begin(l: FarLine): BentLine {
  return {
    shape: Number.isFinite(l.length) ? 'step' : 'rise',
    side: l.side,
    bend: l.bend * DEG,
    atBend: l.atBend * DEG,
    tilt: l.tilt,
    slope: l.slope,
    length: l.length * DEG,
    smear: 0,
    cost: 0,
    points: 0,
  };
}

const farOff = (fit: EdgeLineFit, line: FarLine) => ({
  u: 100 * fit.far.u - pct(line.bend),
  v: 100 * fit.far.v - pct(line.atBend),
});

const lines = fc.record({
  side: fc.constantFrom(1 as const, -1 as const),
  bend: fc.double({ min: -2, max: 2, noNaN: true }),
  atBend: fc.double({ min: -1.5, max: 0.5, noNaN: true }),
  tilt: fc.double({ min: -0.03, max: 0.03, noNaN: true }),
  slope: fc.double({ min: 0.15, max: 1, noNaN: true }),
  length: fc.oneof(fc.constant(Number.POSITIVE_INFINITY), fc.double({ min: 0.4, max: 2.5, noNaN: true })),
});

describe('the smeared curve of a far line', () => {
  test('a point of light shows the line itself, to 0.015 deg (0.03 %)', () => {
    const curve = new EdgeCurve(SHAPE, litSpots('disc'), 0, 0);
    fc.assert(
      fc.property(lines, fc.double({ min: -5, max: 5, noNaN: true }), (line, u) => {
        // Light is tabled every 0.02 deg and looked at every 0.04, straight lines and a parabola between: 0.013 seen.
        expect(Math.abs(curve.at(line, u) - farLineAt(line, u))).toBeLessThan(0.015);
      }),
      { numRuns: 60 },
    );
  });

  test('left and right mirrored, the curve is mirrored, to 1e-9 deg', () => {
    const spots = litSpots('lower-half-dim');
    const curve = new EdgeCurve(SHAPE, spots, 0.9, 0.7);
    fc.assert(
      fc.property(lines, fc.double({ min: -5, max: 5, noNaN: true }), (line, u) => {
        // A spot that looks at the very corner may fall to either side of it.
        const from = spots.map((p) => line.side * (u - 0.9 * p.x - line.bend));
        fc.pre(from.every((t) => Math.abs(t) > 1e-9 && Math.abs(t - line.length) > 1e-9));
        const other: FarLine = {
          ...line,
          side: line.side === 1 ? -1 : 1,
          bend: -line.bend,
          tilt: -line.tilt,
        };
        expect(Math.abs(curve.at(line, u) - curve.at(other, -u))).toBeLessThan(1e-9);
      }),
      { numRuns: 60 },
    );
  });

  test('the line moved by (0.37, -0.21) deg moves the curve by as much, to 0.03 deg', () => {
    const curve = new EdgeCurve(SHAPE, litSpots('upper-half'), 0.9, 0.9);
    fc.assert(
      fc.property(lines, fc.double({ min: -5, max: 5, noNaN: true }), (line, u) => {
        const moved = { ...line, bend: line.bend + 0.37, atBend: line.atBend - 0.21 };
        expect(Math.abs(curve.at(moved, u + 0.37) - (curve.at(line, u) - 0.21))).toBeLessThan(0.03);
      }),
      { numRuns: 60 },
    );
  });

  test('an edge that is level everywhere is lifted alike in every column, and more by a higher lamp', () => {
    const level: FarLine = {
      side: 0,
      bend: 0,
      atBend: -0.5,
      tilt: 0,
      slope: 0,
      length: Number.POSITIVE_INFINITY,
    };
    const lift = (half: number) => {
      const curve = new EdgeCurve(SHAPE, litSpots('disc'), 1.3, half);
      expect(curve.at(level, -3)).toBeCloseTo(curve.at(level, 2.2), 9);
      return curve.at(level, 0) + 0.5;
    };
    expect(lift(0.3)).toBeGreaterThan(0.01);
    expect(lift(0.6)).toBeGreaterThan(lift(0.3));
    expect(lift(1)).toBeGreaterThan(lift(0.6));
  });

  test.each(cases)(
    '$kind, $filling $widthPct x $heightPct %: every column where dense sums put it, to 0.05 deg; on average to 0.025',
    (c) => {
      const smear = smearOf(c);
      const curve = new EdgeCurve(SHAPE, smear.spots, smear.halfWidth, smear.halfHeight);
      const off = c.u.map((u, i) => Math.abs(curve.at(lineOf(c), u) - c.v[i]!));
      // 9 x 11 spots stand for the opening; each hides (1/11)2/3 = 0.0028 of the second moment. Of an upper half's own
      // spread (0.070) that is 4 %, and so of its lift of 0.6 deg and more.
      expect(off.reduce((a, b) => a + b, 0) / off.length).toBeLessThan(0.025);
      expect(off.toSorted((a, b) => a - b)[Math.floor(0.97 * off.length)]).toBeLessThan(0.05);
    },
  );
});

describe('the far line behind traced points (noise 0.01 deg)', () => {
  test.each(cases)(
    '$kind, $filling $widthPct x $heightPct %: far elbow sideways to 0.2 %, in height to 0.04 %',
    (c) => {
      const fit = fitEdgeLine(begin(lineOf(c)), pointsOf(c, 11), smearOf(c))!;
      const off = farOff(fit, lineOf(c));
      expect(Math.abs(off.u)).toBeLessThan(0.2);
      expect(Math.abs(off.v)).toBeLessThan(0.04);
      expect(fit.scatter).toBeLessThan(0.013);
    },
  );

  test.each(cases.filter((c) => c.kind === 'short-ramp'))(
    'two long straight lines put the elbow of a short ramp (lamp $widthPct % wide, $filling) more than 1.5 % off',
    (c) => {
      // A line through the level part and one through 1 to 3 deg beyond the bend, as for a rise: they meet far away.
      const through = (from: number, to: number) => {
        const some = c.u.map((u, i) => ({ u, v: c.v[i]! })).filter((p) => p.u >= from && p.u <= to);
        const mu = some.reduce((s, p) => s + p.u, 0) / some.length;
        const mv = some.reduce((s, p) => s + p.v, 0) / some.length;
        const slope =
          some.reduce((s, p) => s + (p.u - mu) * (p.v - mv), 0) /
          some.reduce((s, p) => s + (p.u - mu) ** 2, 0);
        return { slope, at: mv - slope * mu };
      };
      const level = through(c.line.bend - 3.5, c.line.bend - 1.5);
      const beyond = through(c.line.bend + 1, c.line.bend + 3);
      const meet = (level.at - beyond.at) / (beyond.slope - level.slope);
      expect(Math.abs(pct(meet - c.line.bend))).toBeGreaterThan(1.5);
    },
  );

  test.each(cases.filter((c) => c.widthPct === 3.4 && c.filling === 'disc'))(
    '$kind, $filling: a start 0.6 deg off to either side ends where a good start ends, to 0.1 %',
    (c) => {
      const line = lineOf(c);
      const points = pointsOf(c, 13);
      const good = fitEdgeLine(begin(line), points, smearOf(c))!;
      for (const by of [0.6, -0.6]) {
        const fit = fitEdgeLine(begin({ ...line, bend: line.bend + by }), points, smearOf(c))!;
        expect(Math.abs(100 * (fit.far.u - good.far.u))).toBeLessThan(0.1);
        expect(Math.abs(100 * (fit.far.v - good.far.v))).toBeLessThan(0.01);
        // Begun so far off, the fit once took the points for scattered and fell back on its priors, 0.3 % off.
        expect(100 * fit.uBoard.u).toBeLessThan(0.3);
      }
    },
  );

  test.each([cases[1]!, cases[4]!])(
    '$kind mirrored left to right: the same elbow mirrored, to 0.02 %, tilt to 0.06 deg',
    (c) => {
      const line = lineOf(c);
      const points = pointsOf(c, 14);
      const fit = fitEdgeLine(begin(line), points, smearOf(c))!;
      const other = fitEdgeLine(
        begin({ ...line, side: line.side === 1 ? -1 : 1, bend: -line.bend, tilt: -line.tilt }),
        points.map((p) => ({ ...p, u: -p.u })).reverse(),
        smearOf(c),
      )!;
      for (const seen of ['far', 'onBoard'] as const) {
        expect(Math.abs(100 * (fit[seen].u + other[seen].u))).toBeLessThan(0.02);
        expect(Math.abs(100 * (fit[seen].v - other[seen].v))).toBeLessThan(0.01);
        // Done when a step gains less than 1e-4 of the misfit: from two sides, a third of the tilt's own uncertainty.
        expect(Math.abs(fit[seen].tiltDeg + other[seen].tiltDeg)).toBeLessThan(0.06);
      }
    },
  );

  test('points moved by (0.5, -0.3) deg: elbow on the board and far moved by as much, to 0.01 %', () => {
    const c = cases[4]!;
    const points = pointsOf(c, 15);
    const fit = fitEdgeLine(begin(lineOf(c)), points, smearOf(c))!;
    const line = lineOf(c);
    const moved = fitEdgeLine(
      begin({ ...line, bend: line.bend + 0.5, atBend: line.atBend - 0.3 }),
      points.map((p) => ({ ...p, u: p.u + 0.5 * DEG, v: p.v - 0.3 * DEG })),
      smearOf(c),
    )!;
    for (const seen of ['far', 'onBoard'] as const) {
      expect(Math.abs(100 * (moved[seen].u - fit[seen].u) - pct(0.5))).toBeLessThan(0.01);
      expect(Math.abs(100 * (moved[seen].v - fit[seen].v) + pct(0.3))).toBeLessThan(0.01);
    }
  });

  test('one point in ten is a smudge 0.5 deg high: the elbow moves by less than 0.15 %', () => {
    const c = cases[1]!;
    const points = pointsOf(c, 16);
    const clean = fitEdgeLine(begin(lineOf(c)), points, smearOf(c))!;
    const smudged = points.map((p, i) => (i % 10 === 3 ? { ...p, v: p.v + 0.5 * DEG } : p));
    const fit = fitEdgeLine(begin(lineOf(c)), smudged, smearOf(c))!;
    expect(Math.abs(100 * (fit.far.u - clean.far.u))).toBeLessThan(0.15);
    expect(Math.abs(100 * (fit.far.v - clean.far.v))).toBeLessThan(0.05);
  });

  test('noise of 0.03 instead of 0.01 deg: at least twice the stated uncertainty of the elbow', () => {
    const c = cases[4]!;
    const quiet = fitEdgeLine(begin(lineOf(c)), pointsOf(c, 17, 0.01), smearOf(c))!;
    const loud = fitEdgeLine(begin(lineOf(c)), pointsOf(c, 17, 0.03), smearOf(c))!;
    expect(loud.uBoard.u).toBeGreaterThan(2 * quiet.uBoard.u);
    expect(loud.uBoard.v).toBeGreaterThan(2 * quiet.uBoard.v);
  });

  test('a flat line, or fewer than 20 points within 4.5 deg: null', () => {
    const c = cases[1]!;
    const flat: BentLine = { ...begin(lineOf(c)), side: 0, shape: 'flat' };
    expect(fitEdgeLine(flat, pointsOf(c, 18), smearOf(c))).toBeNull();
    expect(fitEdgeLine(begin(lineOf(c)), pointsOf(c, 18).slice(0, 28), smearOf(c))).toBeNull();
  });
});
