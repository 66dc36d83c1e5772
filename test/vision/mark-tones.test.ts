import { describe, expect, test } from 'vitest';
import type { BoardPoint } from '../../src/core/frames.ts';
import { makeScene, type PlacedPrint, renderRaster } from '../../src/renderer/index.ts';
import { findMarks } from '../../src/vision/find-marks.ts';
import { BLACK_REFLECTANCE, PAPER_REFLECTANCE, sheetDesign } from '../../src/vision/mark-design.ts';
import { markTones, meanLightOf } from '../../src/vision/mark-tones.ts';

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

  test('black over white is what the sheets were drawn with, to 20 %, in bright and in dim light alike', () => {
    const pairs = markTones(raster, findMarks(raster));
    expect(pairs.length).toBeGreaterThanOrEqual(6);
    const whites = pairs.map((p) => p.white);
    expect(Math.max(...whites)).toBeGreaterThan(1.5 * Math.min(...whites));
    for (const p of pairs) {
      const ratio = p.black / p.white / (BLACK_REFLECTANCE / PAPER_REFLECTANCE);
      // In cells 5 px wide the blur still spills 1 % of white into black, which has 6 %.
      expect(Math.abs(Math.log(ratio)), `white ${p.white}`).toBeLessThan(0.2);
    }
  });

  test('the mean light lies between nothing and full', () => {
    const mean = meanLightOf(raster);
    expect(mean).toBeGreaterThan(0.005);
    expect(mean).toBeLessThan(0.6);
  });
});
