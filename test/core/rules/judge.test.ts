import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { judgeScheme } from '../../../src/core/rules/judge.ts';
import { schemeById } from '../../../src/core/rules/schemes/list.ts';
import { ownTableScheme } from '../../../src/core/rules/schemes/typed-in.ts';
import type { Verdict } from '../../../src/core/rules/verdict.ts';
import { exactly } from '../../../src/core/uncertainty/estimate.ts';
import { kindOf, lampAt, reading, unsure, verdictOf } from './reading.ts';

// Published worked examples W14 to W23 (project's table of standards, 10.3); limits as in the rows they name.
describe('verdicts without uncertainty (W14 to W23)', () => {
  test.each([
    ['W14', 'gb-inspection-car', 'MOT-1', lampAt(650, 585), 1.3, 'within'],
    ['W15', 'gb-inspection-car', 'MOT-1', lampAt(650, 585), 2.4, 'within'],
    ['W16', 'gb-inspection-car', 'MOT-2', lampAt(900, 830), 1.1, 'too-high'],
    ['W17', 'gb-inspection-car', 'MOT-1', lampAt(850, 780), 0.8, 'within'],
    ['W17, 0.1 mm higher', 'gb-inspection-car', 'MOT-2', lampAt(850.1, 780), 0.8, 'too-high'],
    ['W18', 'un-r48', 'R48-A1-initial', lampAt(665, 600), 1.3, 'within'],
    ['W19', 'un-r48', 'R48-A4', lampAt(1120, 1050), 1.3, 'within'],
    ['W19, initial aim', 'un-r48', 'R48-A4-initial', lampAt(1120, 1050), 1.3, 'too-high'],
    ['W20, by its lower edge', 'un-r48', 'R48-A1-initial', lampAt(860, 780), 1.2, 'within'],
    ['W20, by its centre', 'gb-inspection-car', 'MOT-2', lampAt(860, 780), 1.2, 'too-high'],
  ])('%s: %s row %s says %#', (_, scheme, row, lamp, dropPct, expected) => {
    expect(kindOf(verdictOf(scheme, row, reading({ lamp, dropPct: exactly(dropPct) })))).toBe(expected);
  });

  test('W15: 2.40 % fails under the 2.0 % limit in force until 24 March 2016, typed in as an own table', () => {
    const old = ownTableScheme([
      {
        id: 'before 2016',
        lamp: 'passing',
        feature: 'flat-part',
        minDropPct: 0.5,
        maxDropPct: 2,
        aimDropPct: null,
        minOffsetPct: null,
        maxOffsetPct: null,
        onBoardAtMm: null,
        source: 'vehicle test procedures, stage 2',
      },
    ]);
    expect(judgeScheme(old, reading({ dropPct: exactly(2.4) }))).toEqual([
      { kind: 'over', row: 'before 2016', how: 'too-low', probability: 1, figureChecked: true },
    ]);
  });

  test.each([
    ['W21', lampAt(700, 640), 10_000, 100, -150, 'JP-1', 'within'],
    ['W22', lampAt(1100, 1040), 10_000, 60, -150, 'JP-2', 'too-high'],
    ['W21 at 5 m, 10 mm below', lampAt(700, 640), 5000, 10, 135, 'JP-1', 'within'],
    ['W21 at 5 m, 9 mm below', lampAt(700, 640), 5000, 9, 135, 'JP-1', 'too-high'],
    ['W21 at 5 m, 75 mm below', lampAt(700, 640), 5000, 75, -135, 'JP-1', 'within'],
    ['W21 at 5 m, 136 mm right', lampAt(700, 640), 5000, 40, 136, 'JP-1', 'too-far-right'],
    ['W21 at 5 m, 136 mm left', lampAt(700, 640), 5000, 40, -136, 'JP-1', 'too-far-left'],
  ])('%s: the Japanese box', (_, lamp, distanceMm, belowMm, rightMm, row, expected) => {
    const input = reading({
      lamp,
      boardDistanceMm: distanceMm,
      dropPct: exactly((100 * belowMm) / distanceMm),
      offsetPct: exactly((100 * rightMm) / distanceMm),
    });
    expect(kindOf(verdictOf('japan', row, input))).toBe(expected);
  });

  test.each([
    [3.5, 'within'],
    [4.1, 'too-low'],
    [-4.1, 'too-high'],
  ])('W23: a high beam centre %s in down at 25 ft is %s (US-14, 4 in)', (inches, expected) => {
    const input = reading({
      lamp: lampAt(700, 640, 0, { function: 'driving' }),
      trafficSide: 'right',
      cutOffKind: null,
      riseSide: null,
      dropPct: null,
      offsetPct: null,
      boardDistanceMm: 7620,
      hotSpot: { dropPct: exactly((100 * inches) / 300), offsetPct: exactly((100 * 2) / 300) },
    });
    expect(kindOf(verdictOf('us-older-four-inch', 'US-14', input))).toBe(expected);
  });
});

// W39's standard uncertainty 0.072158 % (U = 0.144316 %), W41's limits and W42's three readings.
describe('the guard band of U = 2 u (JCGM 106, W41 and W42)', () => {
  const U39 = 0.072158;
  test.each([
    [1.3, 'within'],
    [0.6, 'too-close'],
    [0.3, 'too-high'],
    [0.6444, 'within'],
    [0.6442, 'too-close'],
    [0.3556, 'too-high'],
    [0.3558, 'too-close'],
    [2.6056, 'within'],
    [2.6058, 'too-close'],
    [2.8942, 'too-close'],
    [2.8945, 'too-low'],
  ])('%s % against 0.5 to 2.75 % with u = 0.072158 % is %s', (drop, expected) => {
    expect(kindOf(verdictOf('gb-inspection-car', 'MOT-1', reading({ dropPct: unsure(drop, U39) })))).toBe(
      expected,
    );
  });

  test('a reading too close to call says how likely it is to be inside and what would settle it', () => {
    const v = verdictOf('gb-inspection-car', 'MOT-1', reading({ dropPct: unsure(0.6, U39) }));
    // Phi((0.60 - 0.50)/0.072158) = Phi(1.38585) = 0.91710 (scipy.stats.norm.cdf).
    expect(v).toMatchObject({ kind: 'too-close', nearest: 'too-high', figureChecked: true });
    expect(v?.kind === 'too-close' && v.probability).toBeCloseTo(0.9171, 4);
    expect(v?.kind === 'too-close' && v.settledBy).toContain("how high the lamp's centre was measured");
  });
});

describe('near field: the far drop lies in an interval, and doubt errs away from dazzle', () => {
  const at = (drop: number, u: number, min: number, max: number): string =>
    kindOf(
      verdictOf(
        'gb-inspection-car',
        'MOT-1',
        reading({ dropPct: unsure(drop, u), farShiftPct: { min, max } }),
      ),
    );

  test.each([
    // 0.5 to 2.75 %, U = 0.2: with the smallest correction the dazzle limit, with the largest the other.
    [0.8, 0.1, 0.7, 'within'],
    [0.55, 0.1, 0.7, 'too-close'],
    [1.8, 0.1, 0.7, 'within'],
    [1.95, 0.1, 0.7, 'too-close'],
    [-0.5, 0.1, 0.7, 'too-high'],
    [-0.3, 0.1, 0.7, 'too-close'],
    [2.9, 0.1, 0.7, 'too-low'],
    [2.8, 0.1, 0.7, 'too-close'],
  ])('%s % on the board, to be corrected by %s to %s..., U = 0.2 %: %s', (drop, min, max, expected) => {
    expect(at(drop, 0.1, min, max)).toBe(expected);
  });

  test('the full correction never makes a dazzling beam pass: more room on the far side changes nothing', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1, max: 0.69, noNaN: true }),
        fc.double({ min: 0, max: 2, noNaN: true }),
        (drop, more) => {
          expect(at(drop, 0.1, 0, more)).not.toBe('within');
        },
      ),
    );
  });

  test('a wider interval or a larger u never turns a doubtful verdict into a proven one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -2, max: 4, noNaN: true }),
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (drop, u, moreU, width) => {
          const sharp = at(drop, u, 0.1, 0.1);
          const vague = at(drop, u + moreU, 0.1, 0.1 + width);
          expect([sharp, 'too-close', 'no-verdict']).toContain(vague);
        },
      ),
    );
  });

  test("a doubt wider than the limits are apart proves nothing, and the words say 'can't be proven from here'", () => {
    // 0.5 to 2.75 down: 2.25 % apart. U = 1.0 on both sides and 0.3 of near field are 2.3.
    const v = verdictOf(
      'gb-inspection-car',
      'MOT-1',
      reading({ dropPct: unsure(1.6, 0.5), farShiftPct: { min: 0, max: 0.3 } }),
    );
    expect(v?.kind).toBe('no-verdict');
    expect(v?.kind === 'no-verdict' && v.why).toMatch(
      /^Can't be proven from here: give or take 1\.00? %, and 0\.30? % more.*likelihood of some \d\d %/,
    );
    // 0.2 less of doubt leaves a middle that would pass.
    const less = verdictOf(
      'gb-inspection-car',
      'MOT-1',
      reading({ dropPct: unsure(1.2, 0.45), farShiftPct: { min: 0, max: 0.3 } }),
    );
    expect(less?.kind).toBe('too-close');
  });

  test('the probability is the one at the end that speaks most against it', () => {
    const v = verdictOf(
      'gb-inspection-car',
      'MOT-1',
      reading({ dropPct: unsure(2.1, 0.2), farShiftPct: { min: 0, max: 0.5 } }),
    );
    // At +0.5: 2.60 against 2.75, Phi(0.15/0.2) = Phi(0.75) = 0.77337 (scipy.stats.norm.cdf).
    expect(v?.kind === 'too-close' && v.probability).toBeCloseTo(0.77337, 4);
    expect(v?.kind === 'too-close' && v.settledBy).toContain('biggest doubt');
  });

  test('when near field is what leaves it open, going further off is what settles it', () => {
    const v = verdictOf(
      'gb-inspection-car',
      'MOT-1',
      reading({ dropPct: unsure(2.1, 0.1), farShiftPct: { min: 0, max: 1.3 } }),
    );
    expect(v?.kind === 'too-close' && v.settledBy).toContain('from further off');
  });

  test('what can not be proven from here gets no verdict, but is told when all of the interval is too high', () => {
    const near = { farProvable: false, farWhy: 'the board is 3 m off', farShiftPct: { min: 0, max: 0.4 } };
    const high = verdictOf('gb-inspection-car', 'MOT-1', reading({ ...near, dropPct: unsure(-0.4, 0.1) }));
    expect(high).toMatchObject({ kind: 'no-verdict' });
    const why = high?.kind === 'no-verdict' ? high.why : '';
    expect(why).toContain("Can't be proven from here: the board is 3 m off.");
    expect(why).toContain('between 0.40 % up and 0.00 % down');
    expect(why).toContain('All of that is too high');
    const fine = verdictOf('gb-inspection-car', 'MOT-1', reading({ ...near, dropPct: unsure(1.3, 0.1) }));
    expect(fine?.kind === 'no-verdict' && fine.why).not.toContain('too');
  });
});

describe('the height reference and its uncertainty', () => {
  const car = (mm: number | null, uMm: number, drop: number): readonly Verdict[] =>
    judgeScheme(
      schemeById('gb-inspection-car')!,
      reading({ lamp: lampAt(mm, 780, uMm), dropPct: exactly(drop) }),
    ).filter((v) => v.row !== 'MOT-3');

  test('a centre at 848 mm give or take 6 mm must satisfy both bands: 1.4 % does, 0.9 % is too close', () => {
    expect(car(848, 3, 1.4).map((v) => [v.row, v.kind])).toEqual([
      ['MOT-1', 'within'],
      ['MOT-2', 'within'],
    ]);
    const [v, ...others] = car(848, 3, 0.9);
    expect(others).toEqual([]);
    expect(v).toMatchObject({ kind: 'too-close', row: 'MOT-2', nearest: 'too-high' });
    // The lower band holds with Phi((850 - 848)/3) = Phi(0.6667) = 0.74751 (scipy.stats.norm.cdf).
    expect(v?.kind === 'too-close' && v.probability).toBeCloseTo(0.74751, 4);
    expect(v?.kind === 'too-close' && v.settledBy).toContain("height of the lamp's centre");
  });

  test('a centre at 840 mm give or take 6 mm falls under the lower band alone', () => {
    expect(car(840, 3, 0.9).map((v) => [v.row, v.kind])).toEqual([['MOT-1', 'within']]);
  });

  test('over both bands is over, whichever holds', () => {
    expect(car(848, 3, 3.1).map(kindOf)).toEqual(['too-low', 'too-low']);
  });

  test('a height that is not given is asked for, unless both bands say the same', () => {
    expect(car(null, 0, 1.4).map(kindOf)).toEqual(['within', 'within']);
    const [v] = car(null, 0, 0.9);
    expect(v?.kind === 'no-verdict' && v.why).toContain("height of the lamp's centre, which is not given");
  });

  test('UN R48 goes by the lower edge: 780 mm falls under A1 though the centre stands at 860', () => {
    const rows = judgeScheme(schemeById('un-r48')!, reading({ lamp: lampAt(860, 780) })).map((v) => v.row);
    expect(rows).toEqual(['R48-A1', 'R48-A1-initial']);
  });
});

describe("UN R48's two options from 0.8 to 1.0 m", () => {
  const at = (drop: number): readonly Verdict[] =>
    judgeScheme(schemeById('un-r48')!, reading({ lamp: lampAt(970, 900), dropPct: exactly(drop) }));

  test('1.3 % keeps both bands for every load, but only one of the two initial aims: the plate decides', () => {
    const verdicts = at(1.3);
    expect(verdicts.filter((v) => v.kind === 'within').map((v) => v.row)).toEqual(['R48-A2', 'R48-A3']);
    const open = verdicts.find((v) => v.kind === 'no-verdict');
    expect(open?.kind === 'no-verdict' && open.why).toContain('R48-A2-initial: within; R48-A3-initial: over');
  });

  test('0.3 % is too high under every row', () => {
    expect(at(0.3).map(kindOf)).toEqual(['too-high', 'too-high', 'too-high', 'too-high']);
  });

  test('a figure from memory says so: within, but not checked', () => {
    expect(at(1.5).every((v) => v.kind === 'within' && !v.figureChecked)).toBe(true);
  });

  test('a heavy off-road vehicle above 1.2 m goes by A5, any other by A4', () => {
    const lamp = lampAt(1330, 1250);
    const rows = (id: string): string[] => judgeScheme(schemeById(id)!, reading({ lamp })).map((v) => v.row);
    expect(rows('un-r48-off-road')).toEqual(['R48-A5', 'R48-A5-initial']);
    expect(rows('un-r48')).toEqual(['R48-A4', 'R48-A4-initial']);
  });
});
