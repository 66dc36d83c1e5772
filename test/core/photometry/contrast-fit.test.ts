import { describe, expect, test } from 'vitest';
import { addContrast, contrastTable, removeContrast } from '../../../src/core/photometry/contrast-curve.ts';
import { fitContrast, type PrintPair, UNKNOWN_CONTRAST } from '../../../src/core/photometry/contrast-fit.ts';
import { linearFromSrgb, linearTable, srgbFromLinear } from '../../../src/core/photometry/transfer-curve.ts';

/** Marks in light from dim to bright, black 0.061 of white, a veil over all, seen through a camera's curve. */
function pairs(curve: (coded: number) => number, veil = 0): PrintPair[] {
  const seen = (light: number) => linearFromSrgb(curve(srgbFromLinear(light + veil)));
  return [0.015, 0.04, 0.09, 0.16, 0.27, 0.41].map((white) => ({
    white: seen(white),
    black: seen(0.061 * white),
    u: 0.02,
  }));
}

describe('the contrast curve', () => {
  test('taking away what was added gives the start, for strengths from -0.3 to 0.48', () => {
    for (const strength of [-0.3, -0.11, 0, 0.2, 0.48])
      for (let y = 0; y <= 1; y += 0.05)
        expect(removeContrast(addContrast(y, strength), strength)).toBeCloseTo(y, 9);
  });

  test('no contrast is plain sRGB, at 8 and at 16 bits', () => {
    expect(contrastTable(255, 0)[128]).toBeCloseTo(linearTable(255)[128]!, 4);
    expect(contrastTable(65535, 0)[30000]).toBeCloseTo(linearTable(65535)[30000]!, 4);
  });

  test('black, middle and white stay where they are', () => {
    for (const y of [0, 0.5, 1]) expect(addContrast(y, 0.37)).toBeCloseTo(y, 12);
  });
});

describe('the contrast learnt from printed marks', () => {
  test.each([0, 0.12, 0.3, 0.42])(
    'a camera that added %f is told to 0.1, and within twice its own doubt',
    (strength) => {
      const fit = fitContrast(
        pairs((y) => addContrast(y, strength)),
        0.1,
      );
      // The prior holds strong curves back a little, and what the lens spills is not known to better than 12 %.
      expect(Math.abs(fit.strength - strength)).toBeLessThan(0.1);
      expect(Math.abs(fit.strength - strength)).toBeLessThan(2 * fit.u);
    },
  );

  // Another S than the reader's own: y - s sin(2 pi y) / 2 pi. One number can't follow it; its doubt must cover that.
  test('an S of another form still makes light truer: ratios about the edge err by less than half of what they did', () => {
    const s = 0.4;
    const curve = (y: number) => y - (s * Math.sin(2 * Math.PI * y)) / (2 * Math.PI);
    const fit = fitContrast(pairs(curve), 0.1);
    const ratio = (decode: (coded: number) => number) =>
      Math.log10(decode(curve(srgbFromLinear(0.2))) / decode(curve(srgbFromLinear(0.02))));
    const plain = Math.abs(ratio(linearFromSrgb) - 1);
    const mended = Math.abs(ratio((y) => linearFromSrgb(removeContrast(y, fit.strength))) - 1);
    expect(mended).toBeLessThan(0.5 * plain);
  });

  test('a veil of half a per cent of the mean light is not taken for a curve', () => {
    const fit = fitContrast(
      pairs((y) => y, 0.0008),
      0.16,
    );
    expect(Math.abs(fit.strength)).toBeLessThan(0.08);
  });

  test('two marks tell nothing, and a dirty one among six does not decide', () => {
    const six = pairs((y) => y);
    expect(fitContrast(six.slice(0, 2), 0.1)).toEqual(UNKNOWN_CONTRAST);
    const dirty = six.map((p, i) => (i === 3 ? { ...p, black: 3 * p.black } : p));
    expect(Math.abs(fitContrast(dirty, 0.1).strength)).toBeLessThan(0.1);
  });
});
