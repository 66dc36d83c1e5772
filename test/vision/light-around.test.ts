import { describe, expect, test } from 'vitest';
import { linearFromSrgb } from '../../src/core/photometry/transfer-curve.ts';
import { lightAround } from '../../src/vision/light-around.ts';

/** Left of x = 300 level 40, right of it level 200, in green; red and blue are something else. */
function halves() {
  const [width, height] = [900, 600];
  const data = new Uint8Array(3 * width * height).fill(90);
  for (let i = 0; i < width * height; i++) data[3 * i + 1] = i % width < 300 ? 40 : 200;
  return { width, height, channels: 3, maxLevel: 255, data } as const;
}

describe('light around a place', () => {
  const around = lightAround(halves());
  const [dark, bright] = [linearFromSrgb(40 / 255), linearFromSrgb(200 / 255)];

  test('the whole is the mean of all green light: a third dark, two thirds bright, to 2 %', () => {
    for (const p of [around(10, 10), around(880, 590)])
      expect(Math.abs(p[0] / (dark / 3 + (2 * bright) / 3) - 1)).toBeLessThan(0.02);
  });

  test('on the border both are half and half; 120 px from it near sees one side, wide still 14 % of the other', () => {
    const [, wide, near] = around(300, 300);
    const half = (dark + bright) / 2;
    expect(Math.abs(wide / half - 1)).toBeLessThan(0.02);
    expect(Math.abs(near / half - 1)).toBeLessThan(0.02);
    const off = around(180, 300);
    expect(off[2]).toBeLessThan(1.2 * dark);
    // The normal distribution beyond 120 / 112.5 of its standard deviation: 0.143.
    expect(Math.abs((off[1] - dark) / (bright - dark) - 0.143)).toBeLessThan(0.03);
  });

  test('places outside the photo are those at its border', () => {
    expect(around(-50, 300)).toEqual(around(0, 300));
    expect(around(2000, 300)).toEqual(around(899, 300));
  });
});
