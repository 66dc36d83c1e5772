import { describe, expect, test } from 'vitest';
import { judgeScheme } from '../../../src/core/rules/judge.ts';
import type { JudgeInput } from '../../../src/core/rules/judge-input.ts';
import { schemeById } from '../../../src/core/rules/schemes/list.ts';
import { ownTableScheme } from '../../../src/core/rules/schemes/typed-in.ts';
import type { Verdict } from '../../../src/core/rules/verdict.ts';
import { exactly } from '../../../src/core/uncertainty/estimate.ts';
import { lampAt, reading, unsure } from './reading.ts';

function verdictOf(scheme: string, row: string, input: JudgeInput): Verdict | undefined {
  return judgeScheme(schemeById(scheme)!, input).find((v) => v.row === row);
}
const kindOf = (v: Verdict | undefined): string =>
  v === undefined ? 'no such row' : v.kind === 'over' ? v.how : v.kind;

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
