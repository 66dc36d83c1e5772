import { describe, expect, test } from 'vitest';
import { profileNoise } from '../../../src/core/beam/profile-noise.ts';
import type { LightGrid } from '../../../src/core/sampling/light-grid.ts';
import { generator } from './drawn-grid.ts';

const ROWS = 80;
const DU = 0.0017;
const DV = 0.00035;

/** Light by row and column, with noise of `relative` of it. */
function grid(
  columns: number,
  light: (row: number, column: number) => number,
  relative: number,
  seed = 3,
): LightGrid {
  const next = generator(seed);
  const normal = () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
  const values = new Float32Array(columns * ROWS);
  for (let r = 0; r < ROWS; r++)
    for (let c = 0; c < columns; c++) values[r * columns + c] = light(r, c) * (1 + relative * normal());
  return {
    columns,
    rows: ROWS,
    u0: -0.02,
    du: DU,
    v0: -0.014,
    dv: DV,
    light: values,
    clipped: new Float32Array(columns * ROWS),
    pixelsPerCell: 12,
  };
}

const all = (n: number) => Array.from({ length: n }, (_, i) => i);
/** Heights are counted from the grid's row 40. */
const level = () => -0.014 + 40 * DV;
const rms = (values: Iterable<number>) => {
  const list = [...values];
  return Math.sqrt(list.reduce((s, v) => s + v * v, 0) / list.length);
};

describe('how sure the mean of aligned columns is', () => {
  test.each([
    { columns: 25, relative: 0.02 },
    { columns: 100, relative: 0.05 },
    { columns: 36, relative: 0.005 },
  ])(
    '$columns columns with noise of $relative: relative / sqrt(n) / ln 10, on average to 5 %',
    ({ columns, relative }) => {
      const g = grid(columns, (r) => 0.4 * 10 ** (-r / 40), relative);
      const u = profileNoise(g, all(columns), level, -30, 60);
      // 60 heights, each from some dozens of pairs: 0.707 / sqrt(60 x 24) = 2 % of scatter at worst.
      expect(rms(u) / (relative / Math.sqrt(columns) / Math.LN10)).toBeGreaterThan(0.95);
      expect(rms(u) / (relative / Math.sqrt(columns) / Math.LN10)).toBeLessThan(1.05);
    },
  );

  test('light that grows by 3 % from column to column is no noise: 1.5 % of noise is told to 10 %', () => {
    const g = grid(30, (_, c) => 0.2 * (1 + 0.003 * c), 0.015);
    const u = profileNoise(g, all(30), level, -30, 60);
    const told = rms(u) / (0.015 / Math.sqrt(30) / Math.LN10);
    expect(told).toBeGreaterThan(0.9);
    expect(told).toBeLessThan(1.1);
    // The plain scatter of the columns would say 2.6 % and more.
    expect(0.003 * Math.sqrt((30 ** 2 - 1) / 12)).toBeGreaterThan(0.025);
  });

  test('a sloping edge is followed: heights are counted from it, so that noise-free light has no noise', () => {
    const slope = 0.103;
    const heightAt = (u: number) => -0.003 + slope * u;
    // Each column is the same step, moved by whole rows: exactly what rounding to rows sees as the same light.
    const rowOf = (c: number) => Math.round((heightAt(-0.02 + c * DU) + 0.014) / DV);
    const g = grid(30, (r, c) => (r < rowOf(c) ? 0.5 : 0.02), 0);
    const u = profileNoise(g, all(30), heightAt, -20, 40);
    // Light is kept in 32 bits: 6e-8 of it.
    expect(Math.max(...u)).toBeLessThan(1e-6);
    const wrong = profileNoise(g, all(30), level, -20, 40);
    expect(Math.max(...wrong)).toBeGreaterThan(0.02);
  });

  test('three times the light: the same relative noise', () => {
    const one = profileNoise(
      grid(20, (r) => 0.1 + r / 400, 0.03),
      all(20),
      level,
      -30,
      60,
    );
    const three = profileNoise(
      grid(20, (r) => 3 * (0.1 + r / 400), 0.03),
      all(20),
      level,
      -30,
      60,
    );
    one.forEach((u, i) => {
      expect(three[i]! / u).toBeCloseTo(1, 4);
    });
  });

  test('fewer than six pairs, or heights outside the grid: 0.5, which counts for nothing', () => {
    const g = grid(6, () => 0.3, 0.01);
    expect([...profileNoise(g, all(6), level, -5, 10)]).toEqual(new Array(10).fill(0.5));
    const wide = grid(20, () => 0.3, 0.01);
    const u = profileNoise(wide, all(20), level, -60, 40);
    // Row 40 - 60 = -20 lies below the grid; from height index 20 on it is inside.
    expect([...u.subarray(0, 20)]).toEqual(new Array(20).fill(0.5));
    expect(Math.max(...u.subarray(20))).toBeLessThan(0.01);
  });

  test('print over a third of the columns: the rest is used, and the mean is a little less sure', () => {
    const g = grid(30, () => 0.3, 0.02);
    const whole = rms(profileNoise(g, all(30), level, -30, 60));
    for (let r = 0; r < ROWS; r++) for (let c = 10; c < 20; c++) g.light[r * 30 + c] = Number.NaN;
    const rest = rms(profileNoise(g, all(30), level, -30, 60));
    // 20 of 30 columns: the root of 1.5 is 1.22.
    expect(rest / whole).toBeGreaterThan(1.1);
    expect(rest / whole).toBeLessThan(1.35);
  });

  test('darkness with coding noise never says more than 0.5', () => {
    const g = grid(20, () => 1e-5, 30);
    for (const u of profileNoise(g, all(20), level, -30, 60)) {
      expect(u).toBeGreaterThan(0);
      expect(u).toBeLessThanOrEqual(0.5);
    }
  });
});
