import { describe, expect, test } from 'vitest';
import { boardPointOf } from '../../../src/core/geometry/board-projection.ts';
import { boardPointAt } from '../../../src/core/geometry/lamp-tangents.ts';
import type { LampView } from '../../../src/core/lamp-view.ts';
import { srgbFromLinear } from '../../../src/core/photometry/transfer-curve.ts';
import type { Raster } from '../../../src/core/raster.ts';
import { sampleLightGrid } from '../../../src/core/sampling/sample-grid.ts';

const LAMP: LampView = {
  axisFoot: { X: 40, Y: 130 },
  distanceMm: 5000,
  outOfPlumbDeg: 1.5,
  yawDeg: -2,
  rollDeg: 0.4,
};
/** Oblique and turned, so that no axis can stand in for another; lens term on. */
const VIEW = {
  homography: [0.31, 0.012, 412, 0.008, -0.305, 330, 2e-5, -1.1e-5, 1],
  radial: { k1: -0.03, cx: 400, cy: 300, scalePx: 500 },
};

/** Light that is a plane over the board, so that averaging and interpolating change nothing. */
const light = (X: number, Y: number) => 0.4 + 0.00017 * X - 0.00023 * Y;

function draw(maxLevel: 255 | 65535): Raster {
  const width = 800;
  const height = 600;
  const data = maxLevel === 255 ? new Uint8Array(width * height * 3) : new Uint16Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const p = boardPointOf(VIEW, { x, y });
      const level = Math.round(maxLevel * srgbFromLinear(Math.min(1, Math.max(0, light(p.X, p.Y)))));
      data.fill(level, (y * width + x) * 3, (y * width + x) * 3 + 3);
    }
  }
  return { width, height, channels: 3, maxLevel, data };
}

describe('light on the grid', () => {
  test.each([
    { maxLevel: 255 as const, tolerance: 0.004 },
    { maxLevel: 65535 as const, tolerance: 0.0003 },
  ])(
    'each cell holds the light of the board point in its direction, at $maxLevel levels',
    ({ maxLevel, tolerance }) => {
      const grid = sampleLightGrid(draw(maxLevel), { view: VIEW, printedAreas: [] }, LAMP);
      expect(grid.columns).toBeGreaterThan(100);
      let worst = 0;
      let seen = 0;
      for (let r = 3; r < grid.rows - 3; r += 7) {
        for (let c = 2; c < grid.columns - 2; c += 5) {
          const value = grid.light[r * grid.columns + c]!;
          if (!Number.isFinite(value)) continue;
          const p = boardPointAt(LAMP, { u: grid.u0 + c * grid.du, v: grid.v0 + r * grid.dv });
          const expected = light(p.X, p.Y);
          if (expected < 0.05 || expected > 0.95) continue;
          worst = Math.max(worst, Math.abs(value - expected));
          seen++;
        }
      }
      expect(seen).toBeGreaterThan(300);
      expect(worst).toBeLessThan(tolerance);
    },
  );

  test('print and everything beyond the board are unknown, not dark', () => {
    const sheet = [
      { X: -100, Y: 0 },
      { X: 110, Y: 0 },
      { X: 110, Y: 90 },
      { X: -100, Y: 90 },
    ];
    const grid = sampleLightGrid(draw(255), { view: VIEW, printedAreas: [sheet] }, LAMP, {
      extent: { left: -600, right: 700, bottom: -400, top: 500 },
    });
    const at = (X: number, Y: number) => {
      const c = Math.round(((X - LAMP.axisFoot.X) / LAMP.distanceMm - grid.u0) / grid.du);
      const r = Math.round(((Y - LAMP.axisFoot.Y) / LAMP.distanceMm - grid.v0) / grid.dv);
      return grid.light[r * grid.columns + c];
    };
    expect(at(5, 45)).toBeNaN();
    expect(at(300, 45)).toBeGreaterThan(0);
    expect(grid.u0).toBeGreaterThan((-660 - LAMP.axisFoot.X) / LAMP.distanceMm);
  });

  test('a lamps-off photo is taken away in linear light', () => {
    const photo = draw(255);
    const off: Raster = {
      ...photo,
      data: new Uint8Array(photo.data.length).fill(Math.round(255 * srgbFromLinear(0.1))),
    };
    const plain = sampleLightGrid(photo, { view: VIEW, printedAreas: [] }, LAMP);
    const less = sampleLightGrid(photo, { view: VIEW, printedAreas: [] }, LAMP, { lampsOff: off });
    const k = Math.floor(plain.rows / 2) * plain.columns + Math.floor(plain.columns / 2);
    expect(plain.light[k]! - less.light[k]!).toBeCloseTo(0.1, 2);
  });
});
