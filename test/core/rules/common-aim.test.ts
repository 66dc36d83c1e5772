import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type AimCase, type CommonAim, commonAim } from '../../../src/core/rules/common-aim.ts';
import { judgeScheme } from '../../../src/core/rules/judge.ts';
import type { Scheme } from '../../../src/core/rules/scheme.ts';
import { schemeById } from '../../../src/core/rules/schemes/list.ts';
import { handbookScheme, ownTableScheme } from '../../../src/core/rules/schemes/typed-in.ts';
import { exactly } from '../../../src/core/uncertainty/estimate.ts';
import { lampAt, reading } from './reading.ts';

function schemes(...ids: readonly string[]): Scheme[] {
  return ids.map((id) => schemeById(id)!);
}
function of(changes: Partial<AimCase> = {}): AimCase {
  return { ...reading(), uDropPct: 0.1, ...changes };
}
function shared(aim: CommonAim): Extract<CommonAim, { kind: 'shared' }> {
  if (aim.kind !== 'shared') throw new Error(aim.why);
  return aim;
}
function own(
  id: string,
  minDropPct: number | null,
  maxDropPct: number | null,
  offsets: readonly (number | null)[] = [null, null],
) {
  return {
    ...ownTableScheme([
      {
        id,
        lamp: 'passing',
        feature: 'flat-part',
        minDropPct,
        maxDropPct,
        aimDropPct: null,
        minOffsetPct: offsets[0]!,
        maxOffsetPct: offsets[1]!,
        onBoardAtMm: null,
        source: 'test',
      },
    ]),
    id,
  };
}
const book = (dropPct: number, tolerancePct: number | null, onBoardAtMm: number | null = null): Scheme =>
  handbookScheme({
    id: 'left-dip',
    title: 'left dipped beam',
    function: 'passing',
    handbook: { dropPct, tolerancePct, offsetPct: -0.3, onBoardAtMm, source: 'p. 41' },
  });

describe('one aim for several schemes', () => {
  test('GB inspection up to 850 mm and UN R48 below 800 mm share 1.0 to 1.5 %: aim at 1.25 %', () => {
    const aim = shared(commonAim(schemes('gb-inspection-car', 'un-r48'), of()));
    expect(aim.dropBand).toEqual({ minPct: 1, maxPct: 1.5 });
    expect(aim.dropPct).toBe(1.25);
    expect(aim.each.map((a) => a.row)).toEqual(['MOT-1', 'MOT-3', 'R48-A1', 'R48-A1-initial']);
    expect([aim.place, aim.figureChecked]).toEqual(['far', false]);
  });

  test('GB inspection alone: the middle of 0.5 to 2.75 % is 1.625 %', () => {
    const aim = shared(commonAim(schemes('gb-inspection-car'), of()));
    expect([aim.dropPct, aim.offsetPct, aim.figureChecked]).toEqual([1.625, null, true]);
  });

  test("the law's 1.3 % without limits lies inside what the inspection allows, so it is the aim", () => {
    expect(shared(commonAim(schemes('gb-inspection-car', 'gb-lighting-default'), of())).dropPct).toBe(1.3);
  });

  test('a lamp 860 up with its lower edge at 780: 1.25 to 1.5 % is left (W20), and 1.45 % keeps U = 0.2 % off the dazzle limit', () => {
    const aim = shared(commonAim(schemes('gb-inspection-car', 'un-r48'), of({ lamp: lampAt(860, 780) })));
    expect(aim.dropBand).toEqual({ minPct: 1.25, maxPct: 1.5 });
    expect(aim.dropPct).toBe(1.45);
    expect(aim.why).toContain('too high dazzles');
  });

  test('two that exclude each other are named: 1.25 % or lower against 1.10 % or higher', () => {
    const aim = commonAim(
      [schemeById('gb-inspection-car')!, own('old book', 0.7, 1.1)],
      of({ lamp: lampAt(905, 830) }),
    );
    expect(aim.kind).toBe('nothing-shared');
    if (aim.kind !== 'nothing-shared') return;
    expect(aim.between.map((a) => a.row)).toEqual(['MOT-2', 'old book']);
    expect(aim.why).toContain('MOT-2 asks for 1.25 % down or lower, old book for 1.10 % down or higher');
  });

  test("under both of R48's options from 0.8 to 1.0 m the aim is the 1.5 % that both allow", () => {
    const aim = shared(commonAim(schemes('un-r48'), of({ lamp: lampAt(970, 900) })));
    expect([aim.dropBand.minPct, aim.dropBand.maxPct, aim.dropPct]).toEqual([1.5, 1.5, 1.5]);
  });

  test('a height that straddles 850 mm brings in both bands: 1.25 to 2.75 %', () => {
    const aim = shared(commonAim(schemes('gb-inspection-car'), of({ lamp: lampAt(848, 780, 3) })));
    expect(aim.dropBand).toEqual({ minPct: 1.25, maxPct: 2.75 });
  });

  test('where the band is narrower than U both ways, the aim keeps U clear of the dazzle limit', () => {
    const at = (uDropPct: number): number => shared(commonAim(schemes('un-r48'), of({ uDropPct }))).dropPct;
    expect([at(0.1), at(0.2), at(0.4)]).toEqual([1.25, 1.4, 1.5]);
  });

  test('sideways: Japan and an own table share -0.4 to 0.2 %, and its middle is the aim', () => {
    const aim = shared(commonAim([schemeById('japan')!, own('mine', 0.3, 1.3, [-0.4, 0.2])], of()));
    expect(aim.lateralBand).toEqual({ minPct: -0.4, maxPct: 0.2 });
    expect(aim.offsetPct).toBeCloseTo(-0.1, 12);
    expect(aim.dropBand).toEqual({ minPct: 0.3, maxPct: 1.3 });
    const clash = commonAim([schemeById('japan')!, own('mine', 0.3, 1.3, [2.9, 3.1])], of());
    expect(clash.kind === 'nothing-shared' && clash.between.map((a) => a.row)).toEqual(['mine', 'JP-1']);
  });

  test('a handbook figure for a board at 5 m counts there, moved to far so that it holds at both ends', () => {
    const both = [schemeById('gb-inspection-car')!, book(1.2, 0.4, 5000)];
    const aim = shared(commonAim(both, of({ boardDistanceMm: 5000, farShiftPct: { min: 0.1, max: 0.3 } })));
    // 0.8 to 1.6 on the board is at least 1.1 (0.8 + 0.3) and at most 1.7 (1.6 + 0.1) far.
    expect(aim.dropBand.minPct).toBeCloseTo(1.1, 12);
    expect(aim.dropBand.maxPct).toBeCloseTo(1.7, 12);
    expect([aim.place, aim.offsetPct]).toEqual(['far', -0.3]);
    const elsewhere = shared(commonAim(both, of({ boardDistanceMm: 9800 })));
    expect(elsewhere.each.map((a) => a.row)).toEqual(['MOT-1', 'MOT-3']);
  });

  test('a board figure alone is an aim on that board, and near field plays no part', () => {
    const aim = shared(
      commonAim([book(1.2, null, 5000)], of({ boardDistanceMm: 4950, farShiftPct: { min: 0.2, max: 1 } })),
    );
    expect([aim.place, aim.dropPct]).toEqual(['board', 1.2]);
  });

  test("near field is left open for a cut-off, 0.2 to 0.8 %, and not for a main beam's hot spot or a board's figure", () => {
    const near = { farShiftPct: { min: 0.2, max: 0.8 }, boardDistanceMm: 5000 };
    const none = { min: 0, max: 0 };
    const main = {
      cutOffKind: null,
      riseSide: null,
      lamp: lampAt(650, 585, 0, { function: 'driving' }),
    } as const;
    const inspection = schemes('gb-inspection-car');
    expect(shared(commonAim(inspection, of(near))).farShiftPct).toEqual({ min: 0.2, max: 0.8 });
    expect(shared(commonAim(inspection, of({ ...near, ...main }))).farShiftPct).toEqual(none);
    expect(shared(commonAim([book(1.2, 0.3, 5000)], of(near))).farShiftPct).toEqual(none);
  });

  test('a main beam up to 850 mm is to stand in the middle of 0 to 2 % down and 0 to 2 % left', () => {
    const main = {
      cutOffKind: null,
      riseSide: null,
      lamp: lampAt(650, 585, 0, { function: 'driving' }),
    } as const;
    const aim = shared(commonAim(schemes('gb-inspection-car'), of(main)));
    expect([aim.feature, aim.dropPct, aim.offsetPct]).toEqual(['hot-spot', 1, -1]);
  });

  test.each([
    [['gb-individual-approval'], of(), 'page and edition'],
    [['us-visual-aim'], of({ trafficSide: 'right', riseSide: 'right' }), 'VOL or VOR'],
    [[], of(), 'None of the chosen rules'],
  ] as const)('%s give no aim, and a reason', (ids, given, why) => {
    const aim = commonAim(schemes(...ids), given);
    expect(aim.kind === 'none' && aim.why).toContain(why);
  });

  test('a table of sideways limits alone gives no height to aim at', () => {
    const aim = commonAim([own('mine', null, null, [-1, 1])], of());
    expect(aim.kind).toBe('none');
  });

  test('a lamp set exactly to the common aim is within every scheme that is in it', () => {
    const ids = ['gb-inspection-car', 'un-r48', 'un-r53', 'japan'];
    fc.assert(
      fc.property(fc.subarray(ids, { minLength: 1 }), fc.integer({ min: 560, max: 1180 }), (chosen, mm) => {
        const lamp = lampAt(mm, mm - 70);
        const aim = commonAim(schemes(...chosen), of({ lamp, uDropPct: 0 }));
        if (aim.kind !== 'shared') return;
        const input = reading({
          lamp,
          dropPct: exactly(aim.dropPct),
          offsetPct: exactly(aim.offsetPct ?? -0.2),
        });
        for (const scheme of schemes(...chosen))
          for (const v of judgeScheme(scheme, input)) expect(v.kind, `${v.row} at ${mm}`).toBe('within');
      }),
    );
  });
});
