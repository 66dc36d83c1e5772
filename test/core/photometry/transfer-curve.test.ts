import { describe, expect, test } from 'vitest';
import {
  linearFromSrgb,
  linearTable,
  luminanceOf,
  srgbFromLinear,
} from '../../../src/core/photometry/transfer-curve.ts';

describe('sRGB and luminance', () => {
  // IEC 61966-2-1 as W3C relative luminance prints it (0.04045); rows W53-W55 of the standards page.
  test.each([
    [10, 0.003035],
    [11, 0.003347],
    [64, 0.051269],
    [128, 0.215861],
    [200, 0.57758],
  ])('W53: level %i is %f of full light', (level, light) => {
    expect(linearTable(255)[level]).toBeCloseTo(light, 6);
  });

  test.each([
    [255, 0, 0, 0.2126],
    [0, 255, 0, 0.7152],
    [0, 0, 255, 0.0722],
    [255, 126, 0, 0.361817],
    [200, 100, 50, 0.21624],
  ])('W54: luminance of (%i, %i, %i) is %f', (r, g, b, y) => {
    expect(
      luminanceOf(linearFromSrgb(r / 255), linearFromSrgb(g / 255), linearFromSrgb(b / 255)),
    ).toBeCloseTo(y, 5);
  });

  test('W55: 0.18 and 0.5 of full light are levels 117.646 and 187.516', () => {
    expect(255 * srgbFromLinear(0.18)).toBeCloseTo(117.646, 3);
    expect(255 * srgbFromLinear(0.5)).toBeCloseTo(187.516, 3);
  });

  test('there and back is the same to 1e-9 over the whole range', () => {
    for (let i = 0; i <= 1000; i++) expect(linearFromSrgb(srgbFromLinear(i / 1000))).toBeCloseTo(i / 1000, 7);
  });
});
