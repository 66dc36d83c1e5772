import { describe, expect, test } from 'vitest';
import {
  type CalledOut,
  type CalledOutContext,
  calledOutChange,
  calledOutTurns,
} from '../../../src/core/adjusters/called-out.ts';
import { held, PIVOT, screw } from './lamps.ts';

const GB: CalledOutContext = {
  targetDropPct: 1.3,
  targetOffsetPct: -0.5,
  dropBand: { minPct: 0.5, maxPct: 2.75 },
  offsetBand: { minPct: -2, maxPct: 0 },
};
function said(
  amount: number,
  unit: CalledOut['unit'],
  direction: CalledOut['direction'],
  countedFrom: CalledOut['countedFrom'],
  atMm: number | null = null,
): CalledOut {
  return { amount, unit, direction, countedFrom, atMm };
}

describe('a figure called out becomes the aim it stands for', () => {
  test.each([
    ['0.4 % high of the aim', said(0.4, 'pct', 'high', 'target'), 'drop', 0.9, 0.4],
    ['0.4 % low of the aim', said(0.4, 'pct', 'low', 'target'), 'drop', 1.7, -0.4],
    ['0.2 % above level', said(0.2, 'pct', 'high', 'level-line'), 'drop', -0.2, 1.5],
    ['3 % below level', said(3, 'pct', 'low', 'level-line'), 'drop', 3, -1.7],
    ['0.3 % over the upper limit', said(0.3, 'pct', 'high', 'nearest-limit'), 'drop', 0.2, 1.1],
    ['0.3 % under the lower limit', said(0.3, 'pct', 'low', 'nearest-limit'), 'drop', 3.05, -1.75],
    ['1 % right of straight ahead', said(1, 'pct', 'right', 'level-line'), 'offset', 1, -1.5],
    ['0.4 % left of the left limit', said(0.4, 'pct', 'left', 'nearest-limit'), 'offset', -2.4, 1.9],
    // W7: 4 in at 25 ft are 1.33333 %.
    ['4 in low at 25 ft', said(4, 'in-at', 'low', 'level-line', 7620), 'drop', 1.33333, -0.03333],
    ['12 cm low at 10 m', said(120, 'mm-at', 'low', 'level-line', 10_000), 'drop', 1.2, 0.1],
    // tan 0.4 deg is 0.0069814 (W8: 53.20 mm at 7.62 m); 41 minutes are 0.68333 deg, 1.1927 %.
    ['0.4 deg low', said(0.4, 'deg', 'low', 'level-line'), 'drop', 0.69814, 0.60186],
    ['41 minutes low', said(41, 'min', 'low', 'level-line'), 'drop', 1.1927, 0.1073],
  ] as const)('%s', (_, figure, axis, now, change) => {
    const c = calledOutChange(figure, GB);
    expect(c.axis).toBe(axis);
    expect(c.nowPct).toBeCloseTo(now, 5);
    expect(c.changePct).toBeCloseTo(change, 5);
    expect(c.nowPct + c.changePct).toBeCloseTo(c.targetPct, 12);
  });

  test.each([
    ['a negative amount', said(-0.3, 'pct', 'high', 'target'), 'amount: expected a figure of 0 or more'],
    ['inches without a distance', said(3, 'in-at', 'low', 'target'), 'atMm: expected the distance'],
    ['an angle of 50 deg', said(50, 'deg', 'low', 'target'), 'below 45 degrees'],
  ] as const)('%s is refused', (_, figure, message) => {
    expect(() => calledOutChange(figure, GB)).toThrow(message);
  });

  test('a sideways figure without a sideways aim, or from a limit there is not, is refused', () => {
    const without = { ...GB, targetOffsetPct: null };
    expect(() => calledOutChange(said(1, 'pct', 'left', 'target'), without)).toThrow('a sideways aim');
    const open = { ...GB, dropBand: { minPct: null, maxPct: 2.75 } };
    expect(() => calledOutChange(said(1, 'pct', 'high', 'nearest-limit'), open)).toThrow(
      'a limit on the high side',
    );
  });
});

describe('and then turns', () => {
  const lamp = held(PIVOT, screw('top', 0, 150, 0.79375), screw('side', 127, 0, 0.79375, 'back'));

  test('0.30 % too high by the aim is 0.567 of a turn clockwise at the top screw alone (W43)', () => {
    const advice = calledOutTurns(lamp, said(0.3, 'pct', 'high', 'target'), GB);
    if (advice.kind !== 'turn') throw new Error(advice.kind);
    expect(advice.steps).toMatchObject([{ screw: 'top', direction: 'clockwise' }]);
    expect(advice.steps[0]!.exactTurns).toBeCloseTo(0.56693, 5);
  });

  test('0.30 % right of the aim is 0.48 of a turn at the side screw alone, forward, so anticlockwise (W46)', () => {
    const advice = calledOutTurns(lamp, said(0.3, 'pct', 'right', 'target'), GB);
    if (advice.kind !== 'turn') throw new Error(advice.kind);
    expect(advice.steps).toMatchObject([{ screw: 'side', direction: 'anticlockwise', eighths: 4 }]);
    expect(advice.steps[0]!.exactTurns).toBeCloseTo(-0.48, 5);
  });
});
