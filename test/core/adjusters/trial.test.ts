import { describe, expect, test } from 'vitest';
import { effectFromTrial, screwFromTrial } from '../../../src/core/adjusters/trial.ts';
import { adviseFromEffects } from '../../../src/core/adjusters/turns.ts';
import { type Estimate, exactly, standardUncertainty } from '../../../src/core/uncertainty/estimate.ts';

/** A reading with the bay's 0.3 % that every shot shares, and noise of its own. */
function shot(name: string, value: number): Estimate {
  return { value, parts: { floor: 0.3, [`noise@${name}`]: 0.02 } };
}

describe('learning a screw by a trial turn', () => {
  const before = { dropPct: shot('a', 0.84), offsetPct: shot('a', 0.31) };
  const after = { dropPct: shot('b', 1.37), offsetPct: shot('b', 0.27) };

  test('one turn from 0.84 to 1.37 %: 0.53 % per turn, sure to the noise of two shots, not to the bay', () => {
    const effect = effectFromTrial(before, after, 1);
    expect(effect.dropPct.value).toBeCloseTo(0.53, 12);
    expect(effect.offsetPct!.value).toBeCloseTo(-0.04, 12);
    expect(standardUncertainty(effect.dropPct)).toBeCloseTo(0.02 * Math.SQRT2, 12);
  });

  test('half a turn anticlockwise with the same change means -1.06 % per turn', () => {
    expect(effectFromTrial(before, after, -0.5).dropPct.value).toBeCloseTo(-1.06, 12);
  });

  test('what was learnt gives the turns that are left: from 1.37 to 1.00 %, 0.698 of a turn back', () => {
    const known = screwFromTrial({ name: 'upper', drivenFrom: 'rear' }, effectFromTrial(before, after, 1))!;
    const advice = adviseFromEffects(
      [known],
      { dropPct: exactly(1.37), offsetPct: null },
      { dropPct: 1, offsetPct: null },
    );
    if (advice.kind !== 'turn') throw new Error(advice.kind);
    expect(advice.steps[0]!.exactTurns).toBeCloseTo(-0.37 / 0.53, 9);
    expect(advice.steps[0]!.drivenFrom).toBe('rear');
  });

  test('a trial that moved the beam by no more than noise told nothing', () => {
    const still = { dropPct: shot('b', 0.87), offsetPct: null };
    expect(screwFromTrial({ name: 'x', drivenFrom: 'front' }, effectFromTrial(before, still, 1))).toBeNull();
  });

  test('no turn, no trial', () => {
    expect(() => effectFromTrial(before, after, 0)).toThrow('how far the screw was turned');
  });
});
