import { expect, test } from 'vitest';
import { boardToPhoto, HELD_BACK_FAMILY, Random, randomScene } from '../../src/renderer/index.ts';

test('the same seed draws the same scene; 41 and 42 draw different ones', () => {
  const draw = (seed: number) => JSON.stringify(randomScene(new Random(seed)));
  expect(draw(41)).toBe(draw(41));
  expect(draw(41)).not.toBe(draw(42));
});

test('the first draws of seeds 0 to 399 take each of four families 70 to 130 times', () => {
  const count = new Map<string, number>();
  for (let seed = 0; seed < 400; seed++) {
    const { family } = randomScene(new Random(seed)).label;
    count.set(family, (count.get(family) ?? 0) + 1);
  }
  expect(count.size).toBe(4);
  for (const n of count.values()) expect(Math.abs(n - 100)).toBeLessThan(30);
});

test('200 scenes: the held-back family never comes unasked, and all four corners of the board are in the picture', () => {
  const random = new Random(7);
  for (let i = 0; i < 200; i++) {
    const { scene, label } = randomScene(random);
    expect(label.family).not.toBe(HELD_BACK_FAMILY);
    expect(label.distanceMm).toBeGreaterThanOrEqual(3000);
    expect(label.distanceMm).toBeLessThan(10000);
    const { left, right, bottom, top } = scene.board;
    for (const X of [left, right]) {
      for (const Y of [bottom, top]) {
        const p = boardToPhoto(scene, X, Y);
        expect(p.x, `scene ${i}`).toBeGreaterThan(0);
        expect(p.x, `scene ${i}`).toBeLessThan(scene.camera.widthPx - 1);
        expect(p.y, `scene ${i}`).toBeGreaterThan(0);
        expect(p.y, `scene ${i}`).toBeLessThan(scene.camera.heightPx - 1);
      }
    }
  }
});

test('normal draws have mean 0 and standard deviation 1 within 0.03 over 20000', () => {
  const random = new Random(3);
  const values = Array.from({ length: 20000 }, () => random.normal());
  const mean = values.reduce((s, v) => s + v, 0) / values.length;
  const sd = Math.sqrt(values.reduce((s, v) => s + (v - mean) ** 2, 0) / values.length);
  expect(Math.abs(mean)).toBeLessThan(0.03);
  expect(Math.abs(sd - 1)).toBeLessThan(0.03);
});
