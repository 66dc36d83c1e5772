import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { UNKNOWN_TONE } from '../../../src/core/photometry/tone-fit.ts';
import { otherwiseRead, type ToneParams } from '../../../src/core/photometry/tone-response.ts';
import { linearFromSrgb } from '../../../src/core/photometry/transfer-curve.ts';
import { fitResponse } from '../../../src/core/sampling/merge-response.ts';

interface Reference {
  readonly scipy: string;
  readonly cases: readonly {
    readonly strength: number;
    readonly stated: readonly number[];
    readonly pairs: readonly { a: number; b: number; codedA: number; codedB: number }[];
    readonly at: readonly number[];
    readonly fitted: readonly number[];
    readonly true: readonly number[];
  }[];
}

// test/reference/bracket_response.py: a cubic spline with log exposures by scipy's least_squares, and the true curve.
const reference = JSON.parse(
  readFileSync(new URL('../../reference/bracket_response.json', import.meta.url), 'utf8'),
) as Reference;

/** ln of linear light at coded values, less that at 0.45. */
function lnLight(params: ToneParams, at: readonly number[]): number[] {
  const light = otherwiseRead([], params);
  const ln = at.map((coded) => Math.log(light(linearFromSrgb(coded))));
  return ln.map((x) => x - ln[at.indexOf(0.45)]!);
}

describe("a camera's response from frames of one scene", () => {
  test.each(reference.cases)(
    'S-curve of strength $strength: ln of light within 2.5 % of the spline that scipy fitted, and of the truth within 2.5 of its doubts',
    (c) => {
      const frames = c.stated.map((exposure) => ({ exposure }));
      const pairs = c.pairs.map((p) => ({ ...p, u: 0.01 }));
      const tone = fitResponse(pairs, frames, UNKNOWN_TONE);
      const ln = lnLight(tone.params, c.at);
      const changed = tone.modes.map((mode) =>
        lnLight(
          tone.params.map((p, n) => p + mode[n]!),
          c.at,
        ),
      );
      c.at.forEach((_, i) => {
        const u = Math.hypot(...changed.map((x) => x[i]! - ln[i]!));
        // Both roads see the same data through the same 3.5 % of exposure; their smoothness differs.
        expect(Math.abs(ln[i]! - c.fitted[i]!)).toBeLessThan(0.025 * Math.abs(c.fitted[i]!) + 0.005);
        expect(Math.abs(ln[i]! - c.true[i]!)).toBeLessThan(2.5 * u + 0.002);
      });
      // Nothing seen, the doubt of light at 0.12 against 0.45 is some 60 %; the bracket leaves a tenth of that.
      const before = UNKNOWN_TONE.modes.map((mode) => lnLight(mode, c.at)[0]! - lnLight([], c.at)[0]!);
      const after = Math.hypot(...changed.map((x) => x[0]! - ln[0]!));
      expect(after).toBeLessThan(0.25 * Math.hypot(...before));
    },
  );

  test('frames that share no light leave what was known as it was', () => {
    expect(fitResponse([], [{ exposure: 1 }, { exposure: 64 }], UNKNOWN_TONE)).toBe(UNKNOWN_TONE);
  });
});
