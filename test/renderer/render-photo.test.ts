import { describe, expect, test } from 'vitest';
import { makeScene, renderPhoto, tapeCross } from '../../src/renderer/index.ts';

const small = { widthPx: 480, heightPx: 352 };

describe('renderPhoto', () => {
  test('the same scene and seed give the same 480 x 352 levels; another seed does not', () => {
    const scene = makeScene({ camera: small, board: { prints: tapeCross({ X: 300, Y: 400 }) } });
    const first = renderPhoto(scene, 11).raster.data;
    expect(Buffer.compare(Buffer.from(first), Buffer.from(renderPhoto(scene, 11).raster.data))).toBe(0);
    expect(Buffer.compare(Buffer.from(first), Buffer.from(renderPhoto(scene, 12).raster.data))).not.toBe(0);
  });
});
