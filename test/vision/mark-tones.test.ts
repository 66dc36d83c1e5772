import { describe, expect, test } from 'vitest';
import type { BoardPoint } from '../../src/core/frames.ts';
import { makeScene, type PlacedPrint, renderRaster } from '../../src/renderer/index.ts';
import { findMarks } from '../../src/vision/find-marks.ts';
import { BLACK_REFLECTANCE, PAPER_REFLECTANCE, sheetDesign } from '../../src/vision/mark-design.ts';
import { printPairs } from '../../src/vision/mark-tones.ts';

function sheetAt(number: number, at: BoardPoint): PlacedPrint[] {
  const design = sheetDesign(number, 'a4');
  const move = (p: BoardPoint) => ({ X: p.X + at.X, Y: p.Y + at.Y });
  const w = design.widthMm / 2;
  const h = design.heightMm / 2;
  const page = [
    { X: -w, Y: -h },
    { X: w, Y: -h },
    { X: w, Y: h },
    { X: -w, Y: h },
  ].map(move);
  return [
    { shape: { kind: 'polygon', points: page }, reflectance: PAPER_REFLECTANCE },
    ...design.shapes.map(
      (shape): PlacedPrint =>
        shape.kind === 'polygon'
          ? { shape: { kind: 'polygon', points: shape.points.map(move) }, reflectance: shape.reflectance }
          : { shape: { ...shape, centre: move(shape.centre) }, reflectance: shape.reflectance },
    ),
  ];
}

describe("white and black of the marks' print", () => {
  const scene = makeScene({
    stand: { distanceMm: 5000, axisFoot: { X: 30, Y: 660 } },
    board: {
      left: -900,
      right: 900,
      bottom: 0,
      top: 1300,
      prints: [...sheetAt(3, { X: -380, Y: 250 }), ...sheetAt(8, { X: 420, Y: 310 })],
    },
    camera: {
      widthPx: 1500,
      heightPx: 1125,
      place: { right: 350, forward: -400, up: 300 },
      lookAt: { X: 0, Y: 560 },
      focal35Mm: 66,
    },
    lens: { veil: 0, bloom: 0 },
  });
  const { raster } = renderRaster(scene, 4);

  const pairs = printPairs(raster, findMarks(raster));
  const black = BLACK_REFLECTANCE / PAPER_REFLECTANCE;

  test('black over white is what the sheets were drawn with, to 20 %, in bright and in dim light alike', () => {
    const marks = pairs.filter((p) => p.reflectance === black);
    expect(marks.length).toBeGreaterThanOrEqual(6);
    const whites = marks.map((p) => p.white);
    expect(Math.max(...whites)).toBeGreaterThan(1.5 * Math.min(...whites));
    for (const p of marks) {
      // In cells 5 px wide the blur still spills 1 % of white into black, which has 6 %.
      expect(Math.abs(Math.log(p.dark / p.white / black)), `white ${p.white}`).toBeLessThan(0.2);
    }
  });

  test('five grey steps, twice on each of two sheets: over their paper as drawn, within three of their own doubts', () => {
    const greys = pairs.filter((p) => p.reflectance !== black);
    expect(greys).toHaveLength(20);
    expect(new Set(greys.map((p) => p.reflectance)).size).toBe(5);
    for (const p of greys) {
      const misfit = Math.log(p.dark / p.white / p.reflectance);
      // Steps 12 px high: some 1 % of paper's light is blurred into the darkest.
      expect(Math.abs(misfit), `${p.reflectance} in ${p.white}`).toBeLessThan(0.02 + 3 * p.u);
      expect(p.u).toBeLessThan(0.2);
    }
  });

  test('surroundings: the whole photo has one mean light; near a brighter sheet it is brighter than near a dimmer one', () => {
    expect(new Set(pairs.map((p) => p.around[0])).size).toBe(1);
    const sorted = pairs.filter((p) => p.reflectance === black).sort((a, b) => a.white - b.white);
    const [dimmest, brightest] = [sorted[0]!, sorted.at(-1)!];
    expect(brightest.around[2]).toBeGreaterThan(1.2 * dimmest.around[2]);
    for (const p of pairs) for (const a of p.around) expect(a).toBeGreaterThan(0.002);
  });

  test('a photo without marks gives no pairs', () => {
    expect(printPairs(raster, [])).toEqual([]);
  });
});
