import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { LampMechanics, Support, TurnsAdvice } from '../../../src/core/adjusters/lamp-mechanics.ts';
import { roundToEighths, sumOf } from '../../../src/core/adjusters/solve-turns.ts';
import { adviseFromEffects, adviseTurns } from '../../../src/core/adjusters/turns.ts';
import { type Estimate, estimate, exactly } from '../../../src/core/uncertainty/estimate.ts';
import { fixed, held, PIVOT, screw } from './lamps.ts';

type Turn = Extract<TurnsAdvice, { kind: 'turn' }>;

function advise(
  mechanics: LampMechanics,
  drop: number | Estimate,
  offset: number | Estimate | null,
  aim: readonly [number, number | null],
  options = {},
): TurnsAdvice {
  const of = (x: number | Estimate): Estimate => (typeof x === 'number' ? exactly(x) : x);
  return adviseTurns(
    mechanics,
    { dropPct: of(drop), offsetPct: offset === null ? null : of(offset) },
    { dropPct: aim[0], offsetPct: aim[1] },
    options,
  );
}

function turn(advice: TurnsAdvice): Turn {
  if (advice.kind !== 'turn') throw new Error(JSON.stringify(advice));
  return advice;
}

/**
 * The lamp's own mechanics, worked another way: three points of the lamp as a plane in space, its normal as the beam.
 * @returns change of drop and offset in per cent after the supports moved forward by dz (mm).
 */
function movedBeam(points: readonly (readonly [number, number])[], dz: readonly number[]): [number, number] {
  const [p, q, r] = points.map(([x, y], i) => [x, y, dz[i]!] as const) as [
    readonly [number, number, number],
    readonly [number, number, number],
    readonly [number, number, number],
  ];
  const d1 = [q[0] - p[0], q[1] - p[1], q[2] - p[2]] as const;
  const d2 = [r[0] - p[0], r[1] - p[1], r[2] - p[2]] as const;
  const n = [d1[1] * d2[2] - d1[2] * d2[1], d1[2] * d2[0] - d1[0] * d2[2], d1[0] * d2[1] - d1[1] * d2[0]];
  return [(-100 * n[1]!) / n[2]!, (100 * n[0]!) / n[2]!];
}

// W43 to W46: pitch and arm to per cent per turn and turns (project's table of standards, 10.8).
describe('pitch and arm to turns (W43 to W46)', () => {
  test.each([
    ['W43', 0.79375, 150, 0.529167, 0.56693],
    ['W44', 0.8, 150, 0.533333, 0.5625],
    ['W45', 1, 150, 0.666667, 0.45],
    ['W46', 0.79375, 127, 0.625, 0.48],
  ])(
    '%s: pitch %s mm on %s mm gives %s % per turn and %s turns for 0.30 %',
    (_, pitch, arm, perTurn, turns) => {
      const { steps } = turn(advise(held(PIVOT, screw('top', 0, arm, pitch)), 1.1, null, [1.4, null]));
      expect(steps).toHaveLength(1);
      expect(steps[0]!.direction).toBe('clockwise');
      expect(steps[0]!.exactTurns).toBeCloseTo(turns, 5);
      expect((8 * steps[0]!.effect.dropPct) / steps[0]!.eighths).toBeCloseTo(perTurn, 6);
    },
  );

  test('W43: 0.529167 % is 0.30319 deg, and 26.46 mm at 5 m', () => {
    expect((Math.atan(0.00529167) * 180) / Math.PI).toBeCloseTo(0.30319, 5);
    expect(0.00529167 * 5000).toBeCloseTo(26.46, 2);
  });
});

describe('which way', () => {
  test.each([
    ['forward', 1.1, 1.4, 'clockwise'],
    ['forward', 1.4, 1.1, 'anticlockwise'],
    ['back', 1.1, 1.4, 'anticlockwise'],
    ['back', 1.4, 1.1, 'clockwise'],
  ] as const)('a top screw that clockwise pushes %s, from %s % to %s %: %s', (way, from, to, direction) => {
    const { steps } = turn(advise(held(PIVOT, screw('top', 0, 150, 0.8, way)), from, null, [to, null]));
    expect(steps[0]!.direction).toBe(direction);
  });

  test('anticlockwise steps come with the way to take up the slack, clockwise ones do not need it', () => {
    const lamp = held(PIVOT, screw('top', 0, 150));
    const slack = (advice: TurnsAdvice): boolean => turn(advice).notes.some((n) => n.includes('quarter'));
    expect(slack(advise(lamp, 1.6, null, [1.1, null]))).toBe(true);
    expect(slack(advise(lamp, 1.1, null, [1.6, null]))).toBe(false);
  });

  test('height is set last: the side screw comes before the top one', () => {
    const lamp = held(PIVOT, screw('top', 3, 150), screw('side', 141, 5));
    const { steps } = turn(advise(lamp, 0.4, 1.1, [1.2, 0]));
    expect(steps.map((s) => s.screw)).toEqual(['side', 'top']);
  });
});

const arm = fc.integer({ min: 60, max: 200 });
const small = fc.integer({ min: -30, max: 30 });
const pct = fc.double({ min: -1.5, max: 1.5, noNaN: true });
const pitch = fc.constantFrom(0.7, 0.79375, 0.8, 1);
const way = fc.constantFrom('forward', 'back');

describe('doing the turns', () => {
  test('doing the exact turns of two screws leaves no error, by the normal of the moved plane', () => {
    fc.assert(
      fc.property(
        arm,
        small,
        arm,
        small,
        pitch,
        pitch,
        way,
        way,
        pct,
        pct,
        (h, x, w, y, p1, p2, c1, c2, dd, dof) => {
          const lamp = held(fixed(0, 0), screw('top', x, h, p1, c1), screw('side', w, y, p2, c2));
          const advice = advise(lamp, 1.2, 0.4, [1.2 + dd, 0.4 + dof]);
          fc.pre(advice.kind === 'turn' && advice.steps.length === 2);
          const exact = (name: string): number =>
            turn(advice).steps.find((s) => s.screw === name)!.exactTurns;
          const dz = [
            0,
            exact('top') * p1 * (c1 === 'forward' ? 1 : -1),
            exact('side') * p2 * (c2 === 'forward' ? 1 : -1),
          ];
          const [drop, offset] = movedBeam(
            [
              [0, 0],
              [x, h],
              [w, y],
            ],
            dz,
          );
          expect(drop).toBeCloseTo(dd, 7);
          expect(offset).toBeCloseTo(dof, 7);
        },
      ),
    );
  });

  test('three screws and no pivot: exact turns of all leave no error and move the lamp least', () => {
    fc.assert(
      fc.property(pct, pct, (dd, dof) => {
        const points = [
          [5, 88],
          [-79, -41],
          [83, -37],
        ] as const;
        const lamp = held(...points.map(([x, y], i) => screw(`s${i}`, x, y, 0.8)));
        const least = advise(lamp, 1.2, 0.4, [1.2 + dd, 0.4 + dof]);
        const alone = advise(lamp, 1.2, 0.4, [1.2 + dd, 0.4 + dof], { leaveAlone: 's2' });
        fc.pre(least.kind === 'turn' && least.steps.length === 3 && alone.kind === 'turn');
        const turnsOf = (advice: TurnsAdvice): number[] =>
          ['s0', 's1', 's2'].map((n) => turn(advice).steps.find((s) => s.screw === n)?.exactTurns ?? 0);
        const [drop, offset] = movedBeam(
          points,
          turnsOf(least).map((t) => 0.8 * t),
        );
        expect(drop).toBeCloseTo(dd, 7);
        expect(offset).toBeCloseTo(dof, 7);
        if (turn(alone).steps.length === 2) {
          expect(turnsOf(alone)[2]).toBe(0);
          expect(Math.hypot(...turnsOf(least))).toBeLessThanOrEqual(Math.hypot(...turnsOf(alone)) + 1e-9);
          const other = movedBeam(
            points,
            turnsOf(alone).map((t) => 0.8 * t),
          );
          expect(other[0]).toBeCloseTo(dd, 7);
          expect(other[1]).toBeCloseTo(dof, 7);
        }
      }),
    );
  });

  test('a mirrored lamp with a mirrored error takes the same turns', () => {
    fc.assert(
      fc.property(arm, small, arm, small, pct, pct, (h, x, w, y, dd, dof) => {
        const right = advise(held(PIVOT, screw('top', x, h), screw('side', w, y)), 1.2, 0.4, [
          1.2 + dd,
          0.4 + dof,
        ]);
        const left = advise(held(PIVOT, screw('top', -x, h), screw('side', -w, y)), 1.2, -0.4, [
          1.2 + dd,
          -0.4 - dof,
        ]);
        expect(left.kind).toBe(right.kind);
        if (left.kind !== 'turn' || right.kind !== 'turn') return;
        const amounts = (t: Turn) => t.steps.map((s) => [s.screw, s.direction, s.eighths]);
        expect(amounts(left)).toEqual(amounts(right));
        expect(left.expected.dropPct).toBeCloseTo(right.expected.dropPct, 9);
        expect(left.expected.offsetPct).toBeCloseTo(-right.expected.offsetPct, 9);
      }),
    );
  });

  test('what is expected after rounding is the reading and the steps together, off by at most a sixteenth each', () => {
    const lamp = held(PIVOT, screw('top', 4, 150, 0.8), screw('side', 120, 9, 1));
    const { steps, expected } = turn(
      advise(lamp, estimate(0.7, 'floor', 0.1), estimate(1.3, 'vehicle-axis', 0.2), [1.3, 0]),
    );
    const sum = steps.reduce((s, x) => s + x.effect.dropPct, 0.7);
    expect(expected.dropPct).toBeCloseTo(sum, 12);
    expect(Math.abs(expected.dropPct - 1.3)).toBeLessThan((0.533 + 0.02) / 8);
    // u: 1/16 turn rectangular is 0.0361 turn; 0.533 %/turn of it is 0.0192 %, beside 0.1 % of the reading.
    expect(expected.uDropPct).toBeCloseTo(Math.hypot(0.1, 0.5347 / 16 / Math.sqrt(3)), 3);
    expect(expected.uOffsetPct).toBeGreaterThan(0.2);
  });

  test('of two roundings as far off, the one that ends lower is taken: 1/16 turn becomes 1/8, not 0', () => {
    const down = [{ dropPct: 0.5, offsetPct: 0 }];
    expect(roundToEighths([1 / 16], down)).toEqual([1]);
    expect(roundToEighths([-1 / 16], down)).toEqual([0]);
    expect(sumOf(down, [3 / 8]).dropPct).toBeCloseTo(0.1875, 12);
  });
});

describe('when to leave a screw alone', () => {
  const lamp = held(PIVOT, screw('top', 0, 150));
  const at = (drop: number, u: number): string =>
    advise(lamp, estimate(drop, 'floor', u), null, [1.3, null]).kind;

  test('0.3 % too low with U = 0.4 % is left alone, 0.3 % too high is not: doubt errs away from dazzle', () => {
    expect(at(1.6, 0.2)).toBe('leave');
    expect(at(1.0, 0.2)).toBe('turn');
    expect(at(1.12, 0.2)).toBe('leave');
    expect(at(1.75, 0.2)).toBe('turn');
  });

  test('0.03 % off is left alone even by a sure reading: a sixteenth of a turn is 0.033 %', () => {
    expect(at(1.27, 0)).toBe('leave');
    expect(at(1.26, 0)).toBe('turn');
  });

  test('a sideways error of 0.5 % within U = 0.8 % is not chased: only the top screw turns', () => {
    const two = held(PIVOT, screw('top', 0, 150), screw('side', 130, 0));
    const { steps } = turn(advise(two, 0.8, estimate(0.5, 'vehicle-axis', 0.4), [1.3, 0]));
    expect(steps.map((s) => s.screw)).toEqual(['top']);
  });
});

describe('one screw', () => {
  test('it sets the height, and says that the sideways error stays', () => {
    const advice = turn(advise(held(PIVOT, screw('only', 0, 90)), 0.8, 1.4, [1.3, 0]));
    expect(advice.steps).toHaveLength(1);
    expect(advice.notes.join(' ')).toContain('sideways error stays');
    expect(advice.expected.offsetPct).toBeCloseTo(1.4, 9);
  });

  test('a screw beside the pivot hardly moves the beam up or down, and is refused', () => {
    const advice = advise(held(PIVOT, screw('side', 140, 5)), 0.8, null, [1.3, null]);
    expect(advice).toMatchObject({ kind: 'refused', why: 'near-singular' });
  });
});

describe('when it is not known what a screw does', () => {
  test('an unknown direction gives one trial turn of the screw with the longest way to go, then another photo', () => {
    const lamp = held(PIVOT, screw('top', 0, 150, 0.8, 'unknown'), screw('side', 130, 0, 0.8, 'unknown'));
    const advice = advise(lamp, 1.1, 0, [1.42, 0.05]);
    // 0.32 % at 0.5333 % per turn is 0.6 of a turn, 4.8 eighths.
    expect(advice).toMatchObject({ kind: 'try', step: { screw: 'top', direction: 'try', eighths: 5 } });
  });

  test('an unknown thread gives a full turn', () => {
    const advice = advise(held(PIVOT, screw('top', 0, 150, null)), 1.1, null, [1.4, null]);
    expect(advice).toMatchObject({ kind: 'try', step: { eighths: 8, exactTurns: 1 } });
  });

  test('a screw that has no way to go need not be known', () => {
    const lamp = held(PIVOT, screw('top', 0, 150), screw('side', 130, 0, null, 'unknown'));
    expect(turn(advise(lamp, 1.1, 0.3, [1.4, null])).steps.map((s) => s.screw)).toEqual(['top']);
  });

  test.each([
    [0.6, 0.1, 'upper'],
    [1.2, 0.9, 'left'],
  ])(
    'of screws known by name, a drop of %s and an offset of %s call for a trial of "%s"',
    (drop, offset, name) => {
      const lamp: LampMechanics = {
        kind: 'screws',
        screws: [
          { name: 'left', drivenFrom: 'rear', moves: 'horizontal' },
          { name: 'upper', drivenFrom: 'front', moves: 'vertical' },
        ],
      };
      const advice = advise(lamp, drop, offset, [1.3, 0]);
      expect(advice).toMatchObject({ kind: 'try', step: { screw: name, direction: 'try', eighths: 8 } });
    },
  );

  test('a lamp to slacken and tilt is told how far: 0.40 % down, 0.23 deg', () => {
    const advice = advise({ kind: 'slacken-and-tilt' }, 0.9, null, [1.3, null]);
    expect(advice.kind === 'tilt' && advice.notes[0]).toContain('down');
    expect(advice.kind === 'tilt' && advice.notes[0]).toContain('0.40 %, or 0.23 deg');
  });
});

describe('refusals', () => {
  const two = (...supports: readonly Support[]): LampMechanics => held(PIVOT, ...supports);
  test.each([
    ['screws 6 degrees apart', two(screw('a', 0, 150), screw('b', 16, 150)), 0.9, 0.5, 'near-singular'],
    ['0.4 mm pitch for 6 % on 150 mm, 22 turns', two(screw('a', 0, 150, 0.4)), -4.7, null, 'travel'],
    ['10.9 mm of travel on 200 mm', two(screw('a', 0, 200, 1)), -4.15, null, 'travel'],
    ['a beam 7.5 % too high', two(screw('a', 0, 100)), -6.2, null, 'travel'],
    ['no screws named', { kind: 'screws', screws: [] }, 0.9, null, 'no-screws'],
  ] as const)('%s is refused', (_, lamp, drop, offset, why) => {
    const advice = advise(lamp as LampMechanics, drop, offset, [1.3, 0]);
    expect(advice).toMatchObject({ kind: 'refused', why });
  });

  test('no reading, no advice; no screws learnt, none either', () => {
    const now = { dropPct: null, offsetPct: null };
    const aim = { dropPct: 1, offsetPct: null };
    expect(adviseTurns(two(screw('a', 0, 90)), now, aim)).toMatchObject({
      kind: 'refused',
      why: 'no-reading',
    });
    expect(adviseFromEffects([], now, aim)).toMatchObject({ kind: 'refused', why: 'no-screws' });
  });
});
