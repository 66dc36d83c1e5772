import { describe, expect, test } from 'vitest';
import type { ToneSpec } from '../../src/renderer/scene.ts';
import { encodeSrgb, toneCurve } from '../../src/renderer/tone.ts';

const CURVES: readonly ToneSpec['curve'][] = ['s-curve', 'cubic-s', 'toe', 'shoulder', 'lifted', 'film'];

describe("cameras' curves", () => {
  test.each(CURVES)('%s at 0.5: black and white stay, and more light is never coded darker', (curve) => {
    const code = toneCurve({ curve, strength: 0.5 });
    expect(code(0)).toBeCloseTo(0, 9);
    expect(code(1)).toBeCloseTo(1, 9);
    for (let k = 1; k <= 2000; k++) expect(code(k / 2000)).toBeGreaterThanOrEqual(code((k - 1) / 2000));
  });

  test('each bends another part of the scale: at 2 % and at 60 % of light against sRGB', () => {
    const bends = Object.fromEntries(
      CURVES.map((curve) => {
        const code = toneCurve({ curve, strength: 0.4 });
        return [curve, [0.02, 0.6].map((l) => Math.round(100 * (code(l) - encodeSrgb(l))) + 0)];
      }),
    );
    expect(bends).toEqual({
      's-curve': [-5, 6],
      'cubic-s': [-7, 8],
      toe: [-4, 0],
      shoulder: [0, 4],
      lifted: [4, 0],
      film: [-2, 1],
    });
  });

  test('film at 1 codes 0.18 within 0.002 of sRGB (0.4613561, IEC 61966-2-1)', () => {
    expect(Math.abs(toneCurve({ curve: 'film', strength: 1 })(0.18) - 0.4613561)).toBeLessThan(0.002);
  });
});
