import { describe, expect, test } from 'vitest';
import { judgeScheme } from '../../../src/core/rules/judge.ts';
import type { JudgeInput } from '../../../src/core/rules/judge-input.ts';
import { listSchemes, schemeById } from '../../../src/core/rules/schemes/list.ts';
import { handbookScheme, ownTableScheme } from '../../../src/core/rules/schemes/typed-in.ts';
import type { Verdict } from '../../../src/core/rules/verdict.ts';
import { estimate, exactly } from '../../../src/core/uncertainty/estimate.ts';
import { kindOf, lampAt, reading, unsure, verdictOf } from './reading.ts';

const RIGHT_LAMP = (
  marking: 'VOL' | 'VOR' | 'unknown' | 'arrow-right',
  fn: 'passing' | 'driving' = 'passing',
) => lampAt(760, 690, 0, { marking, function: fn });

describe('GB inspection, its other rows', () => {
  test.each([
    // Traffic keeps left: an elbow right of V-V lets the 15 deg rise into the zone above 0.5 % there.
    [1.3, -0.4, 'rise', 'within'],
    [1.3, 2.9, 'rise', 'within'],
    [1.3, 3.1, 'rise', 'too-high'],
    [1.3, 0.7, 'step', 'within'],
    [1.3, 0.9, 'step', 'too-high'],
    [2.6, 3.1, 'step', 'within'],
  ] as const)('MOT-3: %s % down, elbow at %s %, %s: %s', (drop, elbow, cutOffKind, expected) => {
    const input = reading({ cutOffKind, dropPct: exactly(drop), offsetPct: exactly(elbow) });
    expect(kindOf(verdictOf('gb-inspection-car', 'MOT-3', input))).toBe(expected);
  });

  test("MOT-3: an elbow that may lie 1 % further right makes it too close, and says that it is the vehicle's axis", () => {
    const input = reading({ dropPct: exactly(1.3), offsetPct: estimate(2.5, 'vehicle-axis', 0.5) });
    const v = verdictOf('gb-inspection-car', 'MOT-3', input);
    expect(v).toMatchObject({ kind: 'too-close', nearest: 'too-high' });
    expect(v?.kind === 'too-close' && v.settledBy).toContain('straight ahead of the vehicle');
  });

  test('MOT-4: a flat top passes with all of its edge in the band, and fails by its peak', () => {
    const flat = (highest: number, lowest: number): JudgeInput =>
      reading({
        cutOffKind: 'flat',
        riseSide: 'none',
        topEdge: { highestDropPct: exactly(highest), lowestDropPct: exactly(lowest) },
      });
    const verdicts = (input: JudgeInput): string[][] =>
      judgeScheme(schemeById('gb-inspection-car')!, input).map((v) => [v.row, kindOf(v)]);
    expect(verdicts(flat(0.6, 2.6))).toEqual([['MOT-4', 'within']]);
    expect(verdicts(flat(0.4, 2.6))).toEqual([['MOT-4', 'too-high']]);
    expect(verdicts(flat(0.6, 2.8))).toEqual([['MOT-4', 'too-low']]);
    expect(verdicts(reading({ cutOffKind: 'flat', riseSide: 'none' }))).toEqual([['MOT-4', 'no-verdict']]);
  });

  test.each([
    [650, 1.9, -0.3, 'within', 'within'],
    [650, 2.1, -0.3, 'too-low', 'within'],
    [900, 2.1, -0.3, 'within', 'within'],
    [650, -0.1, -0.3, 'too-high', 'within'],
    [650, 1, 0.1, 'too-far-right', 'within'],
    [650, 1, -2.1, 'within', 'too-far-left'],
  ])('MOT-5, MOT-6: main beam at %s mm, hot spot %s % down, %s % right', (mm, drop, offset, seen, memory) => {
    const verdicts = judgeScheme(
      schemeById('gb-inspection-car')!,
      reading({
        lamp: lampAt(mm, mm - 70, 0, { function: 'driving' }),
        cutOffKind: null,
        riseSide: null,
        dropPct: null,
        offsetPct: null,
        hotSpot: { dropPct: exactly(drop), offsetPct: exactly(offset) },
      }),
    );
    expect(verdicts.map(kindOf)).toEqual([seen, memory]);
    // MOT-6's limit on the left is from memory.
    expect(verdicts.map((v) => v.kind !== 'no-verdict' && v.figureChecked)).toEqual([true, false]);
  });

  test("from near, a main beam's hot spot is judged and a dipped beam's is not: only the first fills its lamp evenly", () => {
    const near = {
      cutOffKind: null,
      riseSide: null,
      dropPct: null,
      farProvable: false,
      farShiftPct: { min: 0, max: 0.9 },
      hotSpot: { dropPct: exactly(1.4), offsetPct: exactly(-0.6) },
    } as const;
    const row = { minDropPct: 0.5, maxDropPct: 2, aimDropPct: null, minOffsetPct: null, maxOffsetPct: null };
    const at = (fn: 'passing' | 'driving'): string => {
      const table = ownTableScheme([
        { ...row, id: 'mine', lamp: fn, feature: 'hot-spot-centre', onBoardAtMm: null, source: 'p. 7' },
      ]);
      return kindOf(judgeScheme(table, reading({ ...near, lamp: lampAt(650, 585, 0, { function: fn }) }))[0]);
    };
    expect([at('driving'), at('passing')]).toEqual(['within', 'no-verdict']);
  });

  test('MOT-7: a dipped beam with only a hot spot has no figure here, and is told to type it in', () => {
    const verdicts = judgeScheme(
      schemeById('gb-inspection-car')!,
      reading({
        cutOffKind: null,
        riseSide: null,
        dropPct: null,
        hotSpot: { dropPct: exactly(1), offsetPct: exactly(-1) },
      }),
    );
    expect(verdicts.map((v) => [v.row, v.kind])).toEqual([['MOT-7', 'no-verdict']]);
    expect(verdicts[0]?.kind === 'no-verdict' && verdicts[0].why).toContain('Type in the figures');
  });

  test('the motorcycle rows hold the same figures under names of their own', () => {
    const at = (drop: number): string =>
      kindOf(
        verdictOf(
          'gb-inspection-motorcycle',
          'M-MOT-2',
          reading({ lamp: lampAt(905, 840), dropPct: exactly(drop) }),
        ),
      );
    expect([at(1.2), at(1.3)]).toEqual(['too-high', 'within']);
  });
});

describe('when a scheme does not speak of a lamp', () => {
  test.each([
    [
      'a lamp for the other side of the road',
      'gb-inspection-car',
      { trafficSide: 'right', riseSide: 'right' },
      'keeps left',
    ],
    [
      'a beam that rises towards oncoming traffic',
      'gb-inspection-car',
      { riseSide: 'right' },
      'towards oncoming traffic',
    ],
    ['individual approval', 'gb-individual-approval', {}, 'page and edition'],
    [
      'a front fog lamp',
      'un-r48',
      { lamp: lampAt(400, 350, 0, { function: 'front-fog' }) },
      'front fog lamps',
    ],
    [
      'a US lamp not marked',
      'us-visual-aim',
      { trafficSide: 'right', riseSide: 'right' },
      'Read the lens for VOL or VOR',
    ],
    [
      'a US lamp with an approval arrow',
      'us-visual-aim',
      { trafficSide: 'right', riseSide: 'right', lamp: RIGHT_LAMP('arrow-right') },
      'for lamps marked VOL or VOR',
    ],
    [
      'a cut-off under rules for beams without one',
      'us-no-cut-off',
      { trafficSide: 'right', riseSide: 'right' },
      'say nothing of a beam whose edge rises',
    ],
    [
      'a lamp 1.5 m up under a table that ends at 54 in',
      'us-older-by-height',
      { trafficSide: 'right', cutOffKind: null, riseSide: null, lamp: lampAt(1500, 1400) },
      'height of 1500 mm',
    ],
  ] as const)('%s gets a reason, not a figure', (_, scheme, changes, why) => {
    const verdicts = judgeScheme(schemeById(scheme)!, reading(changes as Partial<JudgeInput>));
    expect(verdicts.length).toBeGreaterThan(0);
    for (const v of verdicts) expect(v.kind === 'no-verdict' && v.why).toContain(why);
  });

  test('every scheme gives at least one verdict for every lamp and beam, and never throws', () => {
    const kinds = [null, 'flat', 'rise', 'step'] as const;
    for (const scheme of listSchemes())
      for (const fn of ['passing', 'driving', 'front-fog'] as const)
        for (const cutOffKind of kinds)
          for (const mm of [null, 300, 850, 1001, 2000])
            for (const dropPct of [null, unsure(1.1, 0.2)]) {
              const input = reading({
                lamp: lampAt(mm, mm, 2, { function: fn }),
                cutOffKind,
                dropPct,
                riseSide: null,
              });
              expect(judgeScheme(scheme, input).length).toBeGreaterThan(0);
            }
  });
});

describe('rows that hold on a board at a stated distance', () => {
  const us = (
    inchesDown: number,
    boardDistanceMm: number,
    row: 'US-7-VOL' | 'US-7-VOR',
  ): Verdict | undefined => {
    const drop = exactly((100 * inchesDown * 25.4) / boardDistanceMm);
    return verdictOf(
      'us-visual-aim',
      row,
      reading({
        lamp: RIGHT_LAMP(row === 'US-7-VOL' ? 'VOL' : 'VOR'),
        trafficSide: 'right',
        riseSide: 'right',
        boardDistanceMm,
        dropPct: row === 'US-7-VOL' ? drop : exactly(1.7),
        dropAt2RightPct: row === 'US-7-VOR' ? drop : null,
        // Near field plays no part on the board that the figure is for.
        farShiftPct: { min: 0.2, max: 0.9 },
        farProvable: false,
      }),
    );
  };

  test.each([
    [2.1, 'US-7-VOL', 'within'],
    [0.2, 'US-7-VOL', 'within'],
    [0.1, 'US-7-VOL', 'too-high'],
    [4.0, 'US-7-VOL', 'within'],
    [4.2, 'US-7-VOL', 'too-low'],
    [0, 'US-7-VOR', 'within'],
    [-1.9, 'US-7-VOR', 'within'],
    [-2.1, 'US-7-VOR', 'too-high'],
    [2.1, 'US-7-VOR', 'too-low'],
  ] as const)(
    '%s in down at 25 ft, %s: %s (0.4 deg or level, each within 0.38 deg)',
    (inches, row, expected) => {
      expect(kindOf(us(inches, 7620, row))).toBe(expected);
    },
  );

  test('a board 3 % nearer or further will do, one 4 % off will not', () => {
    expect([7400, 7840].map((mm) => us(2.1, mm, 'US-7-VOL')?.kind)).toEqual(['within', 'within']);
    for (const mm of [7315, 7925]) {
      const v = us(2.1, mm, 'US-7-VOL');
      expect(v?.kind === 'no-verdict' && v.why).toContain('on a board 7.62 m (25.0 ft) away');
    }
  });

  test.each([
    [35, 3.9, 'within'],
    [35, 4.1, 'too-low'],
    [40, -1.9, 'within'],
    [40, -2.1, 'too-high'],
    [40, 5.9, 'within'],
    [50, 6.6, 'too-low'],
    [50, 4, 'no-verdict'],
  ])('US-18: a high beam %s in up, its centre %s in down at 25 ft: %s', (heightIn, down, expected) => {
    const mm = heightIn * 25.4;
    const [v] = judgeScheme(
      schemeById('us-older-by-height')!,
      reading({
        lamp: lampAt(mm, mm - 80, 0, { function: 'driving' }),
        trafficSide: 'right',
        cutOffKind: null,
        riseSide: null,
        boardDistanceMm: 7620,
        hotSpot: { dropPct: exactly((100 * down) / 300), offsetPct: exactly(0.4) },
      }),
    );
    // Above 48 in the print we hold has no upper limit that could be read, so nothing can be within.
    expect(kindOf(v)).toBe(expected);
  });

  test('US-15: top and left edge of the bright zone, each within 4 in of the lamp at 25 ft', () => {
    const at = (down: number, right: number | null): string => {
      const [v] = judgeScheme(
        schemeById('us-no-cut-off')!,
        reading({
          trafficSide: 'right',
          cutOffKind: null,
          riseSide: null,
          boardDistanceMm: 7620,
          brightZone: {
            topDropPct: exactly(down / 3),
            leftOffsetPct: right === null ? null : exactly(right / 3),
          },
        }),
      );
      return kindOf(v);
    };
    expect([at(3.9, -3.8), at(-4.1, 0), at(3.9, -4.1), at(1, null), at(-4.2, null)]).toEqual([
      'within',
      'too-high',
      'too-far-left',
      'no-verdict',
      'too-high',
    ]);
  });
});

describe('figures that the person typed in', () => {
  const lamp = { id: 'left-dip', title: 'left dipped beam', function: 'passing' } as const;
  const book = (tolerancePct: number | null, onBoardAtMm: number | null, source: string | null) =>
    handbookScheme({
      ...lamp,
      handbook: { dropPct: 1.2, tolerancePct, offsetPct: null, onBoardAtMm, source },
    });

  test('1.2 % give or take 0.3 % far away, from the handbook page 41: 1.45 % is within and checked', () => {
    const [v] = judgeScheme(book(0.3, null, 'handbook p. 41, 1974'), reading({ dropPct: exactly(1.45) }));
    expect(v).toEqual({ kind: 'within', row: 'handbook-left-dip', figureChecked: true, probability: 1 });
  });

  test('typed in without a source, it is no better than from memory', () => {
    const [v] = judgeScheme(book(0.3, null, null), reading({ dropPct: exactly(1.45) }));
    expect(v).toMatchObject({ kind: 'within', figureChecked: false });
  });

  test('without a tolerance there is no verdict, but the way to the figure: 0.25 % lower', () => {
    const [v] = judgeScheme(book(null, null, 'p. 41'), reading({ dropPct: unsure(1.45, 0.06) }));
    expect(v?.kind === 'no-verdict' && v.why).toBe(
      'This is one figure to set to, 1.20 % down, without limits. Your reading is 0.25 % lower, give or take 0.12 %.',
    );
  });

  test('for a board at 5 m it holds at 5 m, near field and all, and not at 3 m', () => {
    const near = { farProvable: false, farShiftPct: { min: 0, max: 1 }, dropPct: exactly(1.1) };
    const at = (mm: number) =>
      judgeScheme(book(0.3, 5000, 'p. 41'), reading({ ...near, boardDistanceMm: mm }))[0]!.kind;
    expect([at(5050), at(3000)]).toEqual(['within', 'no-verdict']);
  });

  test("the law's default of 1.3 % up to 850 mm is an aim without limits", () => {
    const [v] = judgeScheme(schemeById('gb-lighting-default')!, reading({ dropPct: exactly(1.1) }));
    expect(v?.kind === 'no-verdict' && v.why).toContain(
      '1.30 % down, without limits. Your reading is 0.20 % higher',
    );
  });
});

describe('the tables themselves', () => {
  test('every scheme and every row has an id of its own', () => {
    const schemes = listSchemes();
    expect(new Set(schemes.map((s) => s.id)).size).toBe(schemes.length);
    for (const { rows } of schemes) expect(new Set(rows.map((r) => r.id)).size).toBe(rows.length);
    expect(schemeById('un-r48')?.id).toBe('un-r48');
    expect(schemeById('handbook')).toBeNull();
  });

  test('in every row the limits stand in order and the aim lies between them', () => {
    for (const row of listSchemes().flatMap((s) => s.rows)) {
      const inOrder = (min: number | null, aim: number | null, max: number | null): void => {
        const known = [min, aim, max].filter((x) => x !== null);
        expect(known, row.id).toEqual(known.toSorted((a, b) => a - b));
      };
      inOrder(row.vertical.minPct, row.aimPct, row.vertical.maxPct);
      if (row.lateral !== null) inOrder(row.lateral.minPct, row.lateralAimPct, row.lateral.maxPct);
    }
  });

  test('a row is either quoted from somewhere with an edition, or says that it is from memory', () => {
    for (const { source, id } of listSchemes().flatMap((s) => s.rows)) {
      expect(source.what.length, id).toBeGreaterThan(8);
      expect(source.edition, id).not.toBe('');
      if (source.seen !== 'memory') expect(source.edition, id).not.toMatch(/not seen/);
    }
  });

  // Figures straight from the project's table of standards, each by its row's id.
  test.each([
    ['gb-inspection-car', 'MOT-1', 0.5, 2.75],
    ['gb-inspection-car', 'MOT-2', 1.25, 2.75],
    ['gb-inspection-car', 'MOT-5', 0, 2],
    ['gb-inspection-car', 'MOT-5-over-850', 0, 2.75],
    ['un-r48', 'R48-A1', 0.5, 2.5],
    ['un-r48', 'R48-A1-initial', 1, 1.5],
    ['un-r48', 'R48-A2', 0.5, 2.5],
    ['un-r48', 'R48-A3-initial', 1.5, 2],
    ['un-r48', 'R48-A4', 1, 3],
    ['un-r48-off-road', 'R48-A5', 1.5, 3.5],
    ['un-r48-off-road', 'R48-A5-initial', 2, 2.5],
    ['un-r53', 'R53-L3', 0.5, 2.5],
    ['japan', 'JP-1', 0.2, 1.5],
    ['japan', 'JP-2', 0.7, 2],
    ['us-older-four-inch', 'US-14', -1.33333, 1.33333],
    ['us-older-by-height', 'US-18-36in-low-beam', -0.66667, 2],
    ['us-no-cut-off', 'US-15', -1.33333, 1.33333],
  ])('%s %s: %s to %s %%', (scheme, id, min, max) => {
    const row = schemeById(scheme)!.rows.find((r) => r.id === id)!;
    expect(row.vertical.minPct).toBeCloseTo(min, 5);
    expect(row.vertical.maxPct).toBeCloseTo(max, 5);
  });

  test('the aim of VOL is tan 0.4 deg down, 0.69814 % and 53.2 mm at 7.62 m (W8)', () => {
    const vol = schemeById('us-visual-aim')!.rows.find((r) => r.id === 'US-7-VOL')!;
    expect(vol.aimPct).toBeCloseTo(0.69814, 5);
    expect((vol.aimPct! * 7620) / 100).toBeCloseTo(53.2, 1);
  });

  test.each([
    [845, 1.3],
    [855, 2],
  ])('RVLR-1: a lamp centre at %s mm is to be set to %s %%', (mm, aim) => {
    const rows = schemeById('gb-lighting-default')!.rows.filter(
      (r) => mm > r.height.overMm && mm <= r.height.upToMm,
    );
    expect(rows.map((r) => r.aimPct)).toEqual([aim]);
  });
});
