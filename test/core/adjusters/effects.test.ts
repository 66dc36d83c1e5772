import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type ScrewLever, supportEffects } from '../../../src/core/adjusters/effects.ts';
import type { Support } from '../../../src/core/adjusters/lamp-mechanics.ts';
import { solveAmounts } from '../../../src/core/adjusters/solve-turns.ts';
import { RULES_REFERENCE } from '../../reference/rules-and-turns.ts';
import { fixed, PIVOT, screw } from './lamps.ts';

function levers(...supports: readonly Support[]): readonly ScrewLever[] {
  const effects = supportEffects(supports);
  if (effects.kind !== 'levers') throw new Error(effects.detail);
  return effects.levers;
}

describe('what a screw does to the aim', () => {
  test('a top support 150 mm above the pivot pushed 0.8 mm forward brings the beam down 0.533 % (design)', () => {
    const [top] = levers(PIVOT, screw('top', 0, 150), screw('side', 140, 20));
    expect(0.8 * top!.perMm.dropPct).toBeCloseTo(0.53333, 4);
    // The side screw is held at (140, 20): the lamp turns about the line from the pivot to it.
    expect(0.8 * top!.perMm.offsetPct).toBeCloseTo((0.53333 * 20) / 140, 4);
  });

  test('a support 140 mm right of the pivot pushed 1 mm forward turns the beam 0.714 % to the left', () => {
    const [, side] = levers(PIVOT, screw('top', 0, 150), screw('side', 140, 0));
    expect(side!.perMm.offsetPct).toBeCloseTo(-0.714286, 6);
    expect(side!.perMm.dropPct).toBeCloseTo(0, 12);
  });

  // numpy.linalg.lstsq on the plane's equations (test/reference/rules_and_turns.py).
  test.each(RULES_REFERENCE.turns)('$name: J and turns agree with numpy to 1e-9', (known) => {
    let k = 0;
    const supports = known.supports.map(([kind, right, up]): Support => {
      if (kind !== 'screw') return { kind, rightMm: right, upMm: up };
      const pitch = known.pitches[k]!;
      k += 1;
      return screw(`s${k}`, right, up, Math.abs(pitch), pitch > 0 ? 'forward' : 'back');
    });
    const perTurn = levers(...supports).map(({ perMm }, i) => ({
      dropPct: perMm.dropPct * known.pitches[i]!,
      offsetPct: perMm.offsetPct * known.pitches[i]!,
    }));
    perTurn.forEach((e, i) => {
      expect(e.dropPct).toBeCloseTo(known.J[0]![i]!, 9);
      expect(e.offsetPct).toBeCloseTo(known.J[1]![i]!, 9);
    });
    const solved = solveAmounts(perTurn, { dropPct: known.change[0], offsetPct: known.change[1] });
    if (solved.kind !== 'solved') throw new Error(solved.detail);
    for (const [i, turns] of solved.amounts.entries()) expect(turns).toBeCloseTo(known.turns[i]!, 9);
  });

  test('a spring only presses: with it or without it the screws do the same', () => {
    const with_ = levers(
      PIVOT,
      screw('a', -8, 143),
      { kind: 'spring', rightMm: 90, upMm: 77 },
      screw('b', 131, 12),
    );
    expect(with_).toEqual(levers(PIVOT, screw('a', -8, 143), screw('b', 131, 12)));
  });

  test('two screws and no fixed support turn about the point that places are counted from', () => {
    expect(levers(screw('a', -8, 143), screw('b', 131, 12))).toEqual(
      levers(PIVOT, screw('a', -8, 143), screw('b', 131, 12)),
    );
  });

  test('where the point of reference lies makes no difference once a pivot is given', () => {
    const place = fc.integer({ min: -200, max: 200 });
    fc.assert(
      fc.property(place, place, (x, y) => {
        const moved = levers(fixed(x, y), screw('a', x - 8, y + 143), screw('b', x + 131, y + 12));
        levers(PIVOT, screw('a', -8, 143), screw('b', 131, 12)).forEach((lever, i) => {
          expect(moved[i]!.perMm.dropPct).toBeCloseTo(lever.perMm.dropPct, 9);
          expect(moved[i]!.perMm.offsetPct).toBeCloseTo(lever.perMm.offsetPct, 9);
        });
      }),
    );
  });

  test('a lamp mirrored left to right keeps what its screws do to the drop and flips what they do sideways', () => {
    const right = levers(fixed(4, -3), screw('a', -8, 143), screw('b', 131, 12));
    const left = levers(fixed(-4, -3), screw('a', 8, 143), screw('b', -131, 12));
    right.forEach(({ perMm }, i) => {
      expect(left[i]!.perMm.dropPct).toBeCloseTo(perMm.dropPct, 9);
      expect(left[i]!.perMm.offsetPct).toBeCloseTo(-perMm.offsetPct, 9);
    });
  });
});

describe('supports that can not be', () => {
  test.each([
    ['no screw at all', [PIVOT, fixed(90, 14)], 'no-screws'],
    ['both screws in line with the pivot', [PIVOT, screw('a', 30, 90), screw('b', 50, 150)], 'near-singular'],
    ['a screw 6 mm from the hinge', [fixed(-70, 0), fixed(70, 0), screw('a', 20, 6)], 'near-singular'],
    ['a screw on the pivot', [PIVOT, screw('a', 0, 0)], 'near-singular'],
    [
      'three screws in one line',
      [screw('a', 0, 0), screw('b', 30, 90), screw('c', 50, 150)],
      'near-singular',
    ],
    [
      'a pivot and three screws, more than hold a plane',
      [PIVOT, screw('a', 0, 150), screw('b', 140, 0), screw('c', -120, 9)],
      'near-singular',
    ],
  ] as const)('%s is refused', (_, supports, why) => {
    const effects = supportEffects(supports);
    expect(effects.kind === 'refused' && effects.why).toBe(why);
  });
});
