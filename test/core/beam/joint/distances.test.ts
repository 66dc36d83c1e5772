import { readFileSync } from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import {
  type BoardReading,
  type FarByDistances,
  farByDistances,
} from '../../../../src/core/beam/joint/distances.ts';
import { type FarReading, farReading } from '../../../../src/core/beam/joint/far-reading.ts';
import { type LitLamp, readJoint } from '../../../../src/core/beam/joint/joint-reading.ts';
import type { LampFilling } from '../../../../src/core/beam/joint/lamp-filling.ts';
import type { TracedEdge } from '../../../../src/core/beam/trace-edge.ts';
import type { LightGrid } from '../../../../src/core/sampling/light-grid.ts';
import {
  type CauseId,
  type Estimate,
  standardUncertainty,
} from '../../../../src/core/uncertainty/estimate.ts';
import { generator } from '../drawn-grid.ts';
import { boardLog, DEG, type FarLight, steepestAt } from './dense-edge.ts';

interface Reference {
  readonly readings: readonly {
    readonly distanceMm: number;
    readonly value: number;
    readonly shared: Readonly<Partial<Record<CauseId, number>>>;
    readonly own: readonly [number, number];
  }[];
  readonly weights: readonly number[];
  readonly mean: number;
  readonly u: number;
  readonly misfit: number;
}
// numpy 2.4.6: test/reference/shared_causes.py.
const { cases } = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, '../../../reference/shared_causes.json'), 'utf8'),
) as { cases: readonly Reference[] };

/** A far reading that moves nothing: one told filling, no shift, no doubt of its own. */
const NO_SHIFT: FarReading = {
  shiftPct: { value: 0, parts: {} },
  elbowShiftPct: null,
  ways: [{ filling: 'lens', shiftPct: 0, familyPct: 0, uPct: 0, sizePartPct: 0, cost: 1, weight: 1 }],
  fillingTold: true,
};

const board = (shot: string, distanceMm: number, dropPct: Estimate, far = NO_SHIFT): BoardReading => ({
  shot,
  distanceMm,
  dropPct,
  far,
  smearPct: 100 * (60 / distanceMm),
});

describe('shared causes, against matrices by numpy and formulas by hand', () => {
  test.each(cases)('$readings.length boards: weights, mean, u and misfit to 1 in 1000', (c) => {
    const readings = c.readings.map((r, i) =>
      board(`s${i}`, r.distanceMm, {
        value: r.value,
        parts: { ...r.shared, [`noise@s${i}`]: r.own[0], floor: r.own[1] },
      }),
    );
    const far = farByDistances(readings, 'l')!;
    c.weights.forEach((w, i) => {
      expect(Math.abs(far.weights[i]! - w)).toBeLessThan(1e-6);
    });
    expect(far.weights.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
    expect(far.farDropPct.value).toBeCloseTo(c.mean, 6);
    expect(far.misfit).toBeCloseTo(c.misfit, 5);
    // R. T. Birge 1932 (from memory): the root of chi-squared over its degrees of freedom, once chance can't explain it.
    const widened = c.misfit > far.mostByChance ? Math.sqrt(c.misfit / (c.readings.length - 1)) : 1;
    // The script's 0.01 % per board, which keeps its matrix regular, stands in the weights only, not in the answer.
    expect(Math.abs(standardUncertainty(far.farDropPct) / (widened * c.u) - 1)).toBeLessThan(0.02);
  });

  test('two boards by hand: w1 = (V22 - V12) / (V11 + V22 - 2 V12) with a lamp height wrong by 4 mm behind both', () => {
    // 4 mm at 4 and 9 m, noise of 0.05 and 0.03 %.
    const [h1, h2] = [100 * (4 / 4000), 100 * (4 / 9000)];
    const V11 = h1 ** 2 + 0.05 ** 2 + 0.01 ** 2;
    const V22 = h2 ** 2 + 0.03 ** 2 + 0.01 ** 2;
    const V12 = h1 * h2;
    const w1 = (V22 - V12) / (V11 + V22 - 2 * V12);
    const far = farByDistances(
      [
        board('a', 4000, { value: 1.5, parts: { 'lamp-height@l': h1, 'noise@a': 0.05 } }),
        board('b', 9000, { value: 1.4, parts: { 'lamp-height@l': h2, 'noise@b': 0.03 } }),
      ],
      'l',
    )!;
    // The near board counts against: the height's error is what both share, so its larger part is taken back.
    expect(w1).toBeLessThan(0);
    expect(far.weights[0]).toBeCloseTo(w1, 9);
    expect(far.farDropPct.value).toBeCloseTo(w1 * 1.5 + (1 - w1) * 1.4, 9);
    expect(far.farDropPct.parts['lamp-height@l']).toBeCloseTo(w1 * h1 + (1 - w1) * h2, 9);
    expect(Math.abs(far.farDropPct.parts['lamp-height@l']!)).toBeLessThan(h2);
  });

  test('a lamp height typed 8 mm wrong cancels to a tenth when nothing else is in doubt', () => {
    const readings = [3000, 6000].map((d, i) =>
      board(`s${i}`, d, { value: 1.2 + 100 * (8 / d), parts: { 'lamp-height@l': 100 * (8 / d) } }),
    );
    // One board alone is wrong by 0.13 or 0.27 %.
    expect(Math.abs(farByDistances(readings, 'l')!.farDropPct.value - 1.2)).toBeLessThan(0.013);
  });

  test('causes that are set up anew for each board (floor, board height) do not cancel: their parts are kept apart', () => {
    const readings = [3000, 6000].map((d, i) =>
      board(`s${i}`, d, { value: 1.2, parts: { floor: 100 * (8 / d), 'noise@x': 0 } }),
    );
    const far = farByDistances(readings, 'l')!;
    const [u1, u2] = [100 * (8 / 3000), 100 * (8 / 6000)];
    // Independent: weights as 1/u2 (JCGM 100, 5.1.2), all positive.
    const w1 = u1 ** -2 / (u1 ** -2 + u2 ** -2);
    expect(far.weights[0]).toBeCloseTo(w1, 2);
    expect(standardUncertainty(far.farDropPct)).toBeCloseTo(1 / Math.sqrt(u1 ** -2 + u2 ** -2), 3);
  });

  test('three boards leave a smaller u than any one or two of them', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.02, max: 0.3, noNaN: true }), { minLength: 6, maxLength: 6 }),
        (parts) => {
          const all = [3500, 6000, 11000].map((d, i) =>
            board(`s${i}`, d, {
              value: 1.1,
              parts: {
                'lamp-height@l': 100 * (3 / d),
                load: 0.05,
                [`noise@s${i}`]: parts[i]!,
                floor: parts[i + 3]!,
              },
            }),
          );
          const u = standardUncertainty(farByDistances(all, 'l')!.farDropPct);
          for (const one of all) expect(u).toBeLessThan(standardUncertainty(one.dropPct) + 1e-9);
          for (const left of [0, 1, 2]) {
            const two = farByDistances(
              all.filter((_, i) => i !== left),
              'l',
            )!;
            // The regular matrix's 0.01 % may make the weights a hair less than best.
            expect(u).toBeLessThan(standardUncertainty(two.farDropPct) * 1.01);
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  test('the order of the boards does not matter; all drops 0.4 % larger make the answer 0.4 % larger', () => {
    const c = cases[3]!;
    const readings = c.readings.map((r, i) =>
      board(`s${i}`, r.distanceMm, { value: r.value, parts: { ...r.shared, [`noise@s${i}`]: r.own[0] } }),
    );
    const far = farByDistances(readings, 'l')!;
    const back = farByDistances([...readings].reverse(), 'l')!;
    expect(back.farDropPct.value).toBeCloseTo(far.farDropPct.value, 9);
    expect(standardUncertainty(back.farDropPct)).toBeCloseTo(standardUncertainty(far.farDropPct), 9);
    const more = farByDistances(
      readings.map((r) => ({ ...r, dropPct: { ...r.dropPct, value: r.dropPct.value + 0.4 } })),
      'l',
    )!;
    expect(more.farDropPct.value - far.farDropPct.value).toBeCloseTo(0.4, 9);
  });
});

describe('what two distances may not say', () => {
  const one = (d: number, value = 1.2) =>
    board(`at${d}`, d, { value, parts: { [`noise@at${d}`]: 0.05, floor: 0.06 } });

  test('one board, or boards at 5 and 6.2 m (less than a quarter apart): null', () => {
    expect(farByDistances([one(5000)], 'l')).toBeNull();
    expect(farByDistances([one(5000), one(6200)], 'l')).toBeNull();
    expect(farByDistances([one(5000), one(6300)], 'l')).not.toBeNull();
  });

  test('boards that share no way of filling: null', () => {
    const other: FarReading = { ...NO_SHIFT, ways: [{ ...NO_SHIFT.ways[0]!, filling: 'strip' }] };
    expect(farByDistances([one(5000), { ...one(8000), far: other }], 'l')).toBeNull();
  });

  test('the lamp turned by 1 % between: misfit beyond 7.88 (chi-squared, 1 degree, 0.995), u 9 times', () => {
    const calm = farByDistances([one(5000), one(8000)], 'l')!;
    const odd = farByDistances([one(5000), one(8000, 2.2)], 'l')!;
    expect(calm.misfit).toBeLessThan(calm.mostByChance);
    // NIST/SEMATECH e-Handbook, table 1.3.6.7.4.
    expect(odd.mostByChance).toBe(7.879);
    expect(odd.misfit).toBeGreaterThan(odd.mostByChance);
    // By hand: 1 % over a difference known to 0.1105 % (0.05 and 0.06 % twice) is 9.05 of it, and so is Birge's ratio.
    expect(standardUncertainty(odd.farDropPct) / standardUncertainty(calm.farDropPct)).toBeCloseTo(9, 0);
    // Whichever board is right lies within U.
    for (const right of [1.2, 2.2])
      expect(Math.abs(odd.farDropPct.value - right)).toBeLessThan(2 * standardUncertainty(odd.farDropPct));
  });
});

// An even disc of 170 or 60 mm whose far edge is the design page's: what bare slopes make of it is known from there.
const EDGE: FarLight = (x) => 10 ** (-0.8 * Math.tanh(x / 0.5));
const FAR_DROP = 1.3;

/** Light of a flat edge on a board, 24 columns with half a per cent of noise, as the sampler gives it. */
function drawBoard(mm: number, distanceMm: number, filling: LampFilling, seed: number) {
  const half = mm / 2 / distanceMm / DEG;
  const log = boardLog(EDGE, filling, half);
  const truth = steepestAt(log, -1 - half, 1 + half);
  const next = generator(seed);
  const normal = () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
  const [columns, rows, dv] = [24, 301, 0.02 * DEG];
  const v0 = -FAR_DROP / 100 - 150 * dv;
  const light = new Float32Array(columns * rows);
  for (let r = 0; r < rows; r++) {
    const e = 0.1 * 10 ** log((v0 + r * dv + FAR_DROP / 100) / DEG);
    for (let c = 0; c < columns; c++) light[r * columns + c] = e * (1 + 0.005 * normal());
  }
  const grid: LightGrid = {
    columns,
    rows,
    u0: 0.01,
    du: 0.1 * DEG,
    v0,
    dv,
    light,
    clipped: new Float32Array(columns * rows),
    pixelsPerCell: 10,
  };
  const at = truth * DEG - FAR_DROP / 100;
  const edge: TracedEdge = {
    line: {
      shape: 'flat',
      side: 0,
      bend: 0,
      // A trace errs by a little: the joint fit must not care.
      atBend: at + 0.06 * DEG,
      tilt: 0,
      slope: 0,
      length: Number.POSITIVE_INFINITY,
      smear: 0,
      cost: 0,
      points: 0,
    },
    points: [],
    from: 0,
    to: columns - 1,
    strength: 0.15,
    spread: 0.01 * DEG,
  };
  return { grid, edge, boardDropPct: -100 * at };
}

function readBoard(
  mm: number,
  distanceMm: number,
  filling: LampFilling,
  told: LitLamp['filling'],
  seed: number,
) {
  const drawn = drawBoard(mm, distanceMm, filling, seed);
  const lamp: LitLamp = { heightMm: mm, widthMm: mm, uSize: 0.05, filling: told, distanceMm };
  const joint = readJoint(
    drawn.grid,
    drawn.edge,
    Array.from({ length: 24 }, (_, i) => i),
    lamp,
  )!;
  const shot = `${mm}-${distanceMm}`;
  const drop = -100 * (drawn.edge.line.atBend + joint.above);
  const reading: BoardReading = {
    shot,
    distanceMm,
    dropPct: {
      value: drop,
      parts: { [`noise@${shot}`]: 100 * joint.uAbove, 'lamp-height@l': 100 * (3 / distanceMm), floor: 0.05 },
    },
    far: farReading(joint, lamp, shot, 'l'),
    smearPct: (100 * mm) / distanceMm,
  };
  return { reading, error: drop - drawn.boardDropPct };
}

const bareSlope = (a: BoardReading, b: BoardReading) =>
  (b.dropPct.value * b.distanceMm - a.dropPct.value * a.distanceMm) / (b.distanceMm - a.distanceMm);

describe('a lamp with a known far drop of 1.3 % on several boards, its filling unknown', () => {
  const big = new Map<number, BoardReading>();
  const small = new Map<number, BoardReading>();
  beforeAll(() => {
    for (const d of [3000, 5000, 7600, 10000]) {
      big.set(d, readBoard(170, d, 'disc', 'unknown', d).reading);
    }
    for (const d of [3000, 5000, 10000]) small.set(d, readBoard(60, d, 'disc', 'unknown', d + 1).reading);
  });

  // The design page's independent simulations (near field, two distances).
  test.each([
    { mm: 170, near: 3000, far: 5000, bias: 0.48 },
    { mm: 170, near: 5000, far: 7600, bias: 0.35 },
    { mm: 170, near: 5000, far: 10000, bias: 0.31 },
    { mm: 60, near: 3000, far: 5000, bias: 0.2 },
    { mm: 60, near: 5000, far: 10000, bias: 0.08 },
  ])(
    '$mm mm, $near and $far mm: the bare slope is $bias % too large, the joint value within 2 u and 0.25 %',
    (c) => {
      const from = c.mm === 170 ? big : small;
      const [a, b] = [from.get(c.near)!, from.get(c.far)!];
      // Another edge's shape and the reading's noise, which grows by d2 / (d2 - d1).
      expect(Math.abs(bareSlope(a, b) - FAR_DROP - c.bias)).toBeLessThan(0.06);
      const { farDropPct } = farByDistances([a, b], 'l')!;
      const error = farDropPct.value - FAR_DROP;
      expect(Math.abs(error)).toBeLessThan(2 * standardUncertainty(farDropPct));
      expect(Math.abs(error)).toBeLessThan(0.25);
      expect(Math.abs(error)).toBeLessThan(0.6 * c.bias + 0.05);
    },
  );

  test('three boards: within 2 u and 0.2 %, surer than any two, and surer of far than any one', () => {
    const all = [3000, 5000, 10000].map((d) => big.get(d)!);
    const three = farByDistances(all, 'l')!;
    expect(Math.abs(three.farDropPct.value - FAR_DROP)).toBeLessThan(
      Math.min(0.2, 2 * standardUncertainty(three.farDropPct)),
    );
    const u = standardUncertainty(three.farDropPct);
    for (const one of all) {
      const alone = Math.hypot(standardUncertainty(one.dropPct), standardUncertainty(one.far.shiftPct));
      expect(u).toBeLessThan(alone);
    }
    expect(three.shots).toEqual(['170-3000', '170-5000', '170-10000']);
    expect(three.weights.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
    expect(three.ways.reduce((a, b) => a + b.weight, 0)).toBeCloseTo(1, 9);
    expect(three.misfit).toBeLessThan(three.mostByChance);
  });

  test('lamp turned down by 1 % before the second photo: said to be at odds, and U covers both boards', () => {
    const a = big.get(5000)!;
    const b = big.get(10000)!;
    const turned = { ...b, dropPct: { ...b.dropPct, value: b.dropPct.value + 1 } };
    const calm: FarByDistances = farByDistances([a, b], 'l')!;
    const odd = farByDistances([a, turned], 'l')!;
    expect(odd.misfit).toBeGreaterThan(odd.mostByChance);
    expect(standardUncertainty(odd.farDropPct)).toBeGreaterThan(2 * standardUncertainty(calm.farDropPct));
    for (const right of [FAR_DROP, FAR_DROP + 1])
      expect(Math.abs(odd.farDropPct.value - right)).toBeLessThan(2 * standardUncertainty(odd.farDropPct));
  });
});

describe('a filling that is told', () => {
  test.each(['upper-half', 'lens'] as const)('%s at 5 and 9 m: far to 0.1 % and within 2 u', (filling) => {
    const boards = [5000, 9000].map((d) => readBoard(170, d, filling, filling, d + 2));
    for (const b of boards) expect(Math.abs(b.error)).toBeLessThan(0.04);
    const { farDropPct, ways } = farByDistances(
      boards.map((b) => b.reading),
      'l',
    )!;
    expect(ways).toEqual([{ filling, weight: 1 }]);
    const error = Math.abs(farDropPct.value - FAR_DROP);
    expect(error).toBeLessThan(0.1);
    expect(error).toBeLessThan(2 * standardUncertainty(farDropPct));
  });

  test('told, the filling is no cause of doubt; untold, U(far) of 170 mm at 5 m is at least 0.38 %', () => {
    const told = readBoard(170, 5000, 'disc', 'disc', 31).reading;
    const unknown = readBoard(170, 5000, 'disc', 'unknown', 31).reading;
    // The design page: with filling unknown U(far) is not below 0.38 % there.
    expect(2 * standardUncertainty(unknown.far.shiftPct)).toBeGreaterThanOrEqual(0.38);
    expect(told.far.shiftPct.parts['filling@l']).toBe(0);
    expect(unknown.far.shiftPct.parts['filling@l']).toBeGreaterThanOrEqual(0.19);
    expect(told.far.fillingTold).toBe(true);
    expect(unknown.far.fillingTold).toBe(false);
    expect(unknown.far.ways.reduce((s, w) => s + w.weight, 0)).toBeCloseTo(1, 9);
  });
});
