import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  budget,
  CAUSE_SCOPES,
  type CauseKind,
  causeId,
  causeKind,
  causeScope,
  combine,
  difference,
  type Estimate,
  estimate,
  exactly,
  expandedUncertainty,
  propagate,
  standardUncertainty,
  type UncertainInput,
  withParts,
} from '../../../src/core/uncertainty/estimate.ts';
import { causeWords, dropText, pctText } from '../../../src/core/uncertainty/words.ts';

/** Drop of a cut-off seen on a board: p = 100 (h - c)/D (project's table of standards, 10.7). */
const dropOf = ([h, c, D]: readonly number[]): readonly number[] => [(100 * (h! - c!)) / D!];

function inputs(h: number, uh: number, c: number, uc: number, D: number, uD: number): UncertainInput[] {
  return [
    { value: h, u: uh, cause: 'lamp-height' },
    { value: c, u: uc, cause: 'marks-placed' },
    { value: D, u: uD, cause: 'distance' },
  ];
}

// W39 and W40: u_p^2 = (100/D)^2 (u_h^2 + u_c^2) + (p u_D/D)^2, JCGM 100, 5.1.2.
describe('GUM arithmetic (W39, W40)', () => {
  test.each([
    ['W39', inputs(650, 2, 585, 3, 5000, 10), 1.3, 0.072158, 0.144316],
    ['W40', inputs(650, 2, 550, 3, 10_000, 20), 1, 0.036111, 0.072222],
  ])('%s: the drop and its u and U come out as printed', (_, given, drop, u, U) => {
    const [e] = propagate(given, dropOf);
    expect(e!.value).toBeCloseTo(drop, 12);
    // Central differences over one u are exact to u_D^2/D^2, 4e-6 of the distance's own small part.
    expect(standardUncertainty(e!)).toBeCloseTo(u, 6);
    expect(expandedUncertainty(e!)).toBeCloseTo(U, 6);
  });

  test("W39's budget puts the board's marks first (3 mm of 13 mm^2: 69 %), then the lamp's height (31 %)", () => {
    const [e] = propagate(inputs(650, 2, 585, 3, 5000, 10), dropOf);
    const [first, second, third] = budget(e!);
    expect([first!.cause, second!.cause, third!.cause]).toEqual(['marks-placed', 'lamp-height', 'distance']);
    expect(first!.share).toBeCloseTo(0.0036 / 0.00520676, 5);
    expect(second!.share).toBeCloseTo(0.0016 / 0.00520676, 5);
    expect(first!.share + second!.share + third!.share).toBeCloseTo(1, 12);
  });
});

const KINDS = Object.keys(CAUSE_SCOPES) as CauseKind[];
const anyEstimate: fc.Arbitrary<Estimate> = fc
  .record({
    value: fc.double({ min: -5, max: 5, noNaN: true }),
    parts: fc.array(fc.tuple(fc.constantFrom(...KINDS), fc.double({ min: -2, max: 2, noNaN: true })), {
      maxLength: 6,
    }),
  })
  .map(({ value, parts }) => ({ value, parts: Object.fromEntries(parts) }));

describe('estimates carry causes, not just a spread', () => {
  test('a cause of two readings cancels in their difference, one of each stays', () => {
    const left: Estimate = { value: 1.42, parts: { 'vehicle-axis': 0.35, 'noise@left-1': 0.02 } };
    const right: Estimate = { value: 1.17, parts: { 'vehicle-axis': 0.35, 'noise@right-1': 0.03 } };
    const d = difference(left, right);
    expect(d.value).toBeCloseTo(0.25, 12);
    expect(standardUncertainty(d)).toBeCloseTo(Math.hypot(0.02, 0.03), 12);
  });

  test('opposite signs of one cause add up in a difference: 0.2 and -0.3 make 0.5', () => {
    const d = difference(estimate(1, 'board-turn', 0.2), estimate(0.4, 'board-turn', -0.3));
    expect(standardUncertainty(d)).toBeCloseTo(0.5, 12);
  });

  test('a mean of four shots halves the noise and leaves the bay as it is', () => {
    const shots = [1.31, 1.27, 1.36, 1.3].map(
      (value, i): Estimate => ({ value, parts: { [causeId('noise', `s${i}`)]: 0.08, floor: 0.11 } }),
    );
    const mean = combine(shots.map((of) => ({ weight: 1 / 4, of })));
    expect(standardUncertainty(mean)).toBeCloseTo(Math.hypot(0.04, 0.11), 12);
  });

  test('an estimate less itself is exactly nought with no uncertainty, whatever its causes', () => {
    fc.assert(
      fc.property(anyEstimate, (e) => {
        const d = difference(e, e);
        expect(d.value).toBe(0);
        expect(standardUncertainty(d)).toBe(0);
      }),
    );
  });

  test('u of a sum lies between the difference and the sum of both u', () => {
    fc.assert(
      fc.property(anyEstimate, anyEstimate, (a, b) => {
        const u = standardUncertainty(
          combine([
            { weight: 1, of: a },
            { weight: 1, of: b },
          ]),
        );
        const [ua, ub] = [standardUncertainty(a), standardUncertainty(b)];
        expect(u).toBeLessThanOrEqual(ua + ub + 1e-9);
        expect(u).toBeGreaterThanOrEqual(Math.abs(ua - ub) - 1e-9);
      }),
    );
  });

  test('parts of a cause already there are added to it, not squared beside it', () => {
    const e = withParts(estimate(2, 'tone', 0.1), { tone: 0.2, glare: 0.4 });
    expect(standardUncertainty(e)).toBeCloseTo(0.5, 12);
  });

  test('two inputs of one cause move together: h and c off by the same tape leave the drop as it was', () => {
    const [e] = propagate(
      [
        { value: 650, u: 4, cause: 'levelness' },
        { value: 585, u: 4, cause: 'levelness' },
        { value: 5000, u: 0, cause: 'distance' },
      ],
      dropOf,
    );
    expect(standardUncertainty(e!)).toBeCloseTo(0, 12);
  });

  test('a function that is not finite at its inputs is refused by name', () => {
    expect(() => propagate(inputs(650, 1, 600, 1, 0, 1), dropOf)).toThrow(
      'output 0: expected a finite number',
    );
  });

  test('an id gives back its kind and reach: lamp-height@left-dip reaches a lamp', () => {
    const id = causeId('lamp-height', 'left-dip');
    expect([id, causeKind(id), causeScope(id)]).toEqual(['lamp-height@left-dip', 'lamp-height', 'lamp']);
    expect(exactly(3)).toEqual({ value: 3, parts: {} });
  });
});

describe('words for causes', () => {
  test.each(KINDS)('%s is said in plain words, with something to do about it', (kind) => {
    const { what, shrink } = causeWords(causeId(kind, 'left-dip'));
    expect(what).toMatch(/^(how|where|whether|the|other|grain|light)\b/);
    expect(what).not.toMatch(/\.$/);
    expect(shrink).toMatch(/^[A-Z].*\.$/);
    expect(`${what} ${shrink}`).not.toMatch(/sigma|residual|isolux|homograph|k = 2/i);
  });

  test('no two causes are told in the same words', () => {
    const all = KINDS.map((kind) => causeWords(kind).what);
    expect(new Set(all).size).toBe(all.length);
  });

  test('a drop of -0.2 is said as 0.20 % up, and minus nought has no sign', () => {
    expect([dropText(-0.2), dropText(1.3), pctText(-0.001)]).toEqual(['0.20 % up', '1.30 % down', '0.00 %']);
  });
});
