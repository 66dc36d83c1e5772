import { describe, expect, test } from 'vitest';
import type { BoardPoint } from '../../src/core/frames.ts';
import { applyHomography } from '../../src/core/geometry/homography.ts';
import type { Raster } from '../../src/core/raster.ts';
import { snapCross } from '../../src/vision/snap-cross.ts';
import { cameraView, drawScene, generator, type Scene } from './draw-board.ts';

const SIZE = { width: 420, height: 330 };
/** 1 px is about 1 mm. */
const VIEW = cameraView({
  at: { X: 180, Y: 120, Z: 900 },
  lookAt: { X: 0, Y: 0 },
  rollDeg: 3,
  focalPx: 900,
  ...SIZE,
});
const AT: BoardPoint = { X: 13, Y: -21 };
const SEEN = applyHomography(VIEW, AT);

type Stroke = NonNullable<Scene['strokes']>[number];
function stroke(angleDeg: number, widthMm: number, reflectance: number, lengthMm = 70): Stroke {
  const c = lengthMm * Math.cos((angleDeg * Math.PI) / 180);
  const s = lengthMm * Math.sin((angleDeg * Math.PI) / 180);
  return { from: { X: AT.X - c, Y: AT.Y - s }, to: { X: AT.X + c, Y: AT.Y + s }, widthMm, reflectance };
}
function photo(strokes: readonly Stroke[], light: number, noise: number, seed = 1): Raster {
  return drawScene({
    ...SIZE,
    view: VIEW,
    sheets: [],
    strokes,
    light: (p) => light * (1 + p.X / 900),
    blurPx: 0.9,
    noise,
    seed,
  });
}

describe('a tap snaps to the crossing', () => {
  test.each([
    {
      name: 'black pen, 1.2 px',
      width: 1.2,
      reflectance: 0.1,
      light: 0.3,
      noise: 2,
      dx: 6,
      dy: -9,
      limit: 0.1,
    },
    { name: 'marker, 3 px', width: 3, reflectance: 0.1, light: 0.3, noise: 2, dx: -10, dy: 8, limit: 0.1 },
    {
      name: 'dark tape, 12 mm',
      width: 12,
      reflectance: 0.15,
      light: 0.3,
      noise: 2,
      dx: 11,
      dy: 7,
      limit: 0.1,
    },
    {
      name: 'white tape, 19 mm',
      width: 19,
      reflectance: 0.9,
      light: 0.3,
      noise: 1,
      dx: -7,
      dy: -12,
      limit: 0.25,
    },
    {
      name: 'dark tape, 25 mm',
      width: 25,
      reflectance: 0.1,
      light: 0.3,
      noise: 2,
      dx: 9,
      dy: 10,
      limit: 0.1,
    },
    {
      name: 'marker in the dark, 18 levels of board',
      width: 2.5,
      reflectance: 0.1,
      light: 0.006,
      noise: 1.5,
      dx: 5,
      dy: 4,
      limit: 0.25,
    },
    {
      name: 'dark tape in the dark, 18 levels of board',
      width: 19,
      reflectance: 0.15,
      light: 0.006,
      noise: 1.5,
      dx: 12,
      dy: 3,
      limit: 0.25,
    },
  ])(
    '$name, tapped ($dx, $dy) px beside: to $limit px and within three uPx',
    ({ width, reflectance, light, noise, dx, dy, limit }) => {
      const r = photo([stroke(17, width, reflectance), stroke(104, width, reflectance)], light, noise);
      const s = snapCross(r, { x: SEEN.x + dx, y: SEEN.y + dy });
      expect(s.found).toBe(true);
      if (!s.found) return;
      const off = Math.hypot(s.at.x - SEEN.x, s.at.y - SEEN.y);
      expect(off).toBeLessThan(limit);
      expect(off).toBeLessThan(3 * s.uPx);
      expect(s.darker).toBe(reflectance < 0.7);
    },
  );

  test('strokes of unequal width, 4 and 15 mm, that cross at 60 degrees: to 0.15 px', () => {
    const r = photo([stroke(20, 4, 0.1), stroke(80, 15, 0.15)], 0.3, 1.5);
    const s = snapCross(r, { x: SEEN.x - 8, y: SEEN.y + 6 });
    expect(s.found).toBe(true);
    if (s.found) expect(Math.hypot(s.at.x - SEEN.x, s.at.y - SEEN.y)).toBeLessThan(0.15);
  });

  test('the same crossing from nine taps around: all within 0.02 px of each other', () => {
    const r = photo([stroke(3, 12, 0.15), stroke(95, 12, 0.15)], 0.3, 2);
    const at = [-9, 0, 9].flatMap((dx) =>
      [-8, 1, 10].map((dy) => {
        const s = snapCross(r, { x: SEEN.x + dx, y: SEEN.y + dy });
        if (!s.found) throw new Error(`${dx} ${dy}: ${s.why}`);
        return s.at;
      }),
    );
    for (const p of at) expect(Math.hypot(p.x - at[0]!.x, p.y - at[0]!.y)).toBeLessThan(0.02);
  });
});

describe('a tap beside no crossing says so', () => {
  test('30 px from the crossing, outside the photo', () => {
    const r = photo([stroke(17, 12, 0.15), stroke(104, 12, 0.15)], 0.3, 2);
    expect(snapCross(r, { x: SEEN.x + 24, y: SEEN.y + 22 })).toMatchObject({ found: false, why: 'no-cross' });
    expect(snapCross(r, { x: -3, y: 20 })).toMatchObject({ found: false, why: 'outside-photo' });
  });

  test('one line alone, a corner of two, and the cut-off across one line are no cross', () => {
    const corner: Stroke[] = [
      { from: AT, to: { X: AT.X + 80, Y: AT.Y }, widthMm: 12, reflectance: 0.15 },
      { from: AT, to: { X: AT.X, Y: AT.Y + 80 }, widthMm: 12, reflectance: 0.15 },
    ];
    for (const strokes of [[stroke(17, 12, 0.15)], corner]) {
      expect(snapCross(photo(strokes, 0.3, 2), { x: SEEN.x + 4, y: SEEN.y - 3 }).found).toBe(false);
    }
    const edge = drawScene({
      ...SIZE,
      view: VIEW,
      sheets: [],
      strokes: [stroke(88, 12, 0.15)],
      light: (p) => 0.01 + 0.3 / (1 + Math.exp((p.Y + 21) / 10)),
      blurPx: 0.9,
      noise: 1.5,
    });
    expect(snapCross(edge, { x: SEEN.x + 4, y: SEEN.y - 3 }).found).toBe(false);
  });

  test('24 places in plain noise of 1 to 15 levels: never a cross', () => {
    const next = generator(12);
    for (let n = 0; n < 8; n++) {
      const r = photo([], 0.02 + 0.3 * next(), 1 + 14 * next(), n + 1);
      for (const x of [90, 200, 310]) expect(snapCross(r, { x, y: 60 + 25 * n }).found).toBe(false);
    }
  });
});
