import { describe, expect, test } from 'vitest';
import type { CommonAim } from '../../src/core/rules/common-aim.ts';
import type { ReadShot } from '../../src/job/result.ts';
import { adviceFromTrials } from '../../src/report/trials.ts';
import { JOB, LEFT, RESULT } from './fixture.ts';

const AIM: CommonAim = {
  kind: 'shared',
  feature: 'cut-off',
  place: 'board',
  dropBand: { minPct: 0.5, maxPct: 2.75 },
  dropPct: 1.3,
  lateralBand: null,
  offsetPct: null,
  farShiftPct: { min: 0, max: 0 },
  each: [],
  why: 'the aim of the test',
  figureChecked: true,
};

/** The left lamp again with another drop and offset; the bay's errors are the same ones. */
function shot(id: string, drop: number, offset: number): ReadShot {
  return {
    ...LEFT,
    shot: id,
    aim: AIM,
    farShiftPct: { min: 0, max: 0 },
    dropPct: { value: drop, parts: { floor: 0.1, 'lamp-height@left': 0.06, [`noise@${id}`]: 0.01 } },
    offsetPct: { value: offset, parts: { 'vehicle-axis': 0.09, [`noise@${id}`]: 0.02 } },
  };
}

const lamp = JOB.lamps[0]!;
const result = {
  ...RESULT,
  shots: [shot('one', 0.4, -0.3), shot('two', 0.76, -0.31), shot('three', 0.74, 0.07)],
};

describe('what trial turns teach', () => {
  test('1 1/2 turns from 0.40 to 0.76 % are 0.24 % a turn, and the floor has cancelled', () => {
    const { learnt } = adviceFromTrials(lamp, result, [
      { screw: 'top screw', turns: 1.5, before: 'one', after: 'two' },
    ]);
    // U = 2·sqrt(0.01² + 0.01²)/1.5 = 0.019: floor and lamp height are in both photos alike.
    expect(learnt[0]).toContain('0.240 ± 0.019 % down');
    expect(learnt[0]).toContain('not sideways as far as can be told');
  });

  test('with both screws learnt the advice reaches 1.3 % to within a sixteenth of a turn', () => {
    const { advice } = adviceFromTrials(lamp, result, [
      { screw: 'top screw', turns: 1.5, before: 'one', after: 'two' },
      { screw: 'side screw', turns: -1, before: 'two', after: 'three' },
    ]);
    if (advice.kind !== 'turn') throw new Error(JSON.stringify(advice));
    expect(Math.abs(advice.expected.dropPct - 1.3)).toBeLessThan(0.24 / 16 + 0.02 / 16 + 1e-9);
    expect(advice.steps.at(-1)?.screw).toBe('top screw');
  });

  test('a trial that moved nothing is told as such and not used', () => {
    const { learnt, advice } = adviceFromTrials(
      lamp,
      { ...RESULT, shots: [shot('one', 0.4, -0.3), shot('two', 0.41, -0.31)] },
      [{ screw: 'top screw', turns: 0.5, before: 'one', after: 'two' }],
    );
    expect(learnt[0]).toContain('Try a larger turn');
    expect(advice.kind).toBe('refused');
  });

  test('a shot of another lamp is refused by name', () => {
    expect(() =>
      adviceFromTrials(lamp, RESULT, [{ screw: 'x', turns: 1, before: 'left-dip', after: 'right-dip' }]),
    ).toThrow('right-dip, of right');
  });
});
