import { describe, expect, test } from 'vitest';
import { supportEffects } from '../../../src/core/adjusters/effects.ts';
import type { Support } from '../../../src/core/adjusters/lamp-mechanics.ts';
import { adviseTurns } from '../../../src/core/adjusters/turns.ts';
import { estimate, exactly } from '../../../src/core/uncertainty/estimate.ts';

export function screw(
  name: string,
  rightMm: number,
  upMm: number,
  pitchMm: number | null = 0.8,
  clockwise: 'forward' | 'back' | 'unknown' = 'forward',
): Extract<Support, { kind: 'screw' }> {
  return { kind: 'screw', name, rightMm, upMm, pitchMm, clockwise, drivenFrom: 'front' };
}
const PIVOT: Support = { kind: 'fixed', rightMm: 0, upMm: 0 };

describe('what a screw does', () => {
  test('a top support 150 mm above the pivot pushed 0.8 mm forward brings the beam down 0.533 % (design)', () => {
    const effects = supportEffects([PIVOT, screw('top', 0, 150), screw('side', 140, 20)]);
    expect(effects.kind).toBe('levers');
    if (effects.kind !== 'levers') return;
    const top = effects.levers[0]!.perMm;
    // The side screw is held at (140, 20), so the lamp turns about the line from pivot to it.
    expect(0.8 * top.dropPct).toBeCloseTo(0.53333, 4);
    expect(0.8 * top.offsetPct).toBeCloseTo((0.53333 * 20) / 140, 4);
  });

  test('a support 140 mm right of the pivot pushed forward turns the beam to the left', () => {
    const effects = supportEffects([PIVOT, screw('top', 0, 150), screw('side', 140, 0)]);
    if (effects.kind !== 'levers') throw new Error('expected levers');
    expect(effects.levers[1]!.perMm.offsetPct).toBeCloseTo(-100 / 140, 9);
    expect(effects.levers[1]!.perMm.dropPct).toBeCloseTo(0, 12);
  });
});

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
      const top = screw('top', 0, arm, pitch);
      const effects = supportEffects([PIVOT, top]);
      if (effects.kind !== 'levers') throw new Error('expected levers');
      expect(effects.levers[0]!.perMm.dropPct * pitch).toBeCloseTo(perTurn, 6);
      const advice = adviseTurns(
        { kind: 'supports', supports: [PIVOT, top] },
        { dropPct: exactly(1.1), offsetPct: null },
        { dropPct: 1.4, offsetPct: null },
      );
      if (advice.kind !== 'turn') throw new Error(advice.kind);
      expect(advice.steps).toHaveLength(1);
      expect(advice.steps[0]!.direction).toBe('clockwise');
      expect(advice.steps[0]!.exactTurns).toBeCloseTo(turns, 5);
    },
  );

  test('W43: 0.529167 % is 0.30319 deg, and 26.46 mm at 5 m', () => {
    expect((Math.atan(0.00529167) * 180) / Math.PI).toBeCloseTo(0.30319, 5);
    expect(0.00529167 * 5000).toBeCloseTo(26.46, 2);
  });
});

describe('when to leave a screw alone', () => {
  const mechanics = { kind: 'supports', supports: [PIVOT, screw('top', 0, 150)] } as const;
  const aim = { dropPct: 1.3, offsetPct: null };
  const at = (drop: number, u: number) =>
    adviseTurns(mechanics, { dropPct: estimate(drop, 'floor', u), offsetPct: null }, aim).kind;

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
});
