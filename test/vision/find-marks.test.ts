import { describe, expect, test } from 'vitest';
import type { BoardPoint, PhotoPoint } from '../../src/core/frames.ts';
import { applyHomography, type Homography } from '../../src/core/geometry/homography.ts';
import type { Raster } from '../../src/core/raster.ts';
import { type FoundMark, findMarks } from '../../src/vision/find-marks.ts';
import { sheetMarks } from '../../src/vision/mark-design.ts';
import { cameraView, drawScene, generator, type Scene, sheetToBoard, srgb } from './draw-board.ts';

interface HungSheet {
  readonly number: number;
  readonly at: BoardPoint;
  readonly turnDeg: number;
}

const SIZE = { width: 1100, height: 800 };
/** Two sheets, turned differently; one camera from the upper right. */
const SHEETS: readonly HungSheet[] = [
  { number: 4, at: { X: -190, Y: 35 }, turnDeg: 4 },
  { number: 29, at: { X: 205, Y: -60 }, turnDeg: -11 },
];
const VIEW = cameraView({
  at: { X: 300, Y: 220, Z: 900 },
  lookAt: { X: 5, Y: -12 },
  rollDeg: 3,
  focalPx: 1000,
  ...SIZE,
});

function scene(more: Partial<Scene>): Scene {
  return { ...SIZE, view: VIEW, sheets: SHEETS, light: () => 0.4, blurPx: 0.9, ...more };
}

function truthOf(m: FoundMark, sheets: readonly HungSheet[], view: Homography): PhotoPoint[] {
  const s = sheets.find((q) => q.number === m.sheet)!;
  return sheetMarks(m.sheet)[m.place]!.corners.map((c) =>
    applyHomography(view, sheetToBoard(s.at, s.turnDeg, c)),
  );
}

/** Root mean square of all corner coordinates' errors, px. */
function cornerRms(found: readonly FoundMark[], sheets = SHEETS, view = VIEW): number {
  const errors = found.flatMap((m) =>
    truthOf(m, sheets, view).flatMap((t, i) => [m.corners[i]!.x - t.x, m.corners[i]!.y - t.y]),
  );
  return Math.sqrt(errors.reduce((s, e) => s + e * e, 0) / errors.length);
}

/** Even light under which paper and print differ by so many levels. */
function lightFor(levels: number): () => number {
  let low = 1e-5;
  let high = 2;
  for (let i = 0; i < 60; i++) {
    const mid = Math.sqrt(low * high);
    if (255 * (srgb(0.85 * mid) - srgb(0.05 * mid)) < levels) low = mid;
    else high = mid;
  }
  return () => low;
}

const ids = (found: readonly FoundMark[]): number[] => found.map((m) => m.identity);
const ALL = SHEETS.flatMap((s) => sheetMarks(s.number).map((m) => m.identity)).sort((a, b) => a - b);

describe('finding marks', () => {
  test('a clean photo gives all 8 marks with corners to 0.03 px rms (0.1 asked)', () => {
    const found = findMarks(drawScene(scene({})));
    expect(ids(found)).toEqual(ALL);
    expect(cornerRms(found)).toBeLessThan(0.03);
    for (const m of found) {
      expect(m.mirrored).toBe(false);
      expect(m.blurPx).toBeGreaterThan(0.8);
      expect(m.blurPx).toBeLessThan(1.1);
      // Paper 0.85 x 0.4 and print 0.05 x 0.4 of full scale in sRGB: 157 and 38 levels.
      expect(m.contrastLevels).toBeGreaterThan(115);
      expect(m.contrastLevels).toBeLessThan(123);
    }
  });

  test('8 levels of contrast in noise of 2 levels: all 8 marks, and errors are what uPx says', () => {
    const found = findMarks(drawScene(scene({ light: lightFor(8), noise: 2, seed: 5 })));
    expect(ids(found)).toEqual(ALL);
    const stated = Math.sqrt(found.reduce((s, m) => s + m.uPx ** 2, 0) / found.length);
    expect(cornerRms(found) / stated).toBeGreaterThan(0.6);
    expect(cornerRms(found) / stated).toBeLessThan(1.5);
    expect(stated).toBeLessThan(0.25);
  });

  test('light that falls to a tenth across one sheet costs no mark', () => {
    const light = (p: BoardPoint): number => 0.5 * 10 ** (-(p.X + 190) / 300);
    const found = findMarks(drawScene(scene({ light, noise: 1.5, seed: 6 })));
    expect(ids(found)).toEqual(ALL);
    expect(cornerRms(found)).toBeLessThan(0.08);
  });

  test('a cut-off 18 mm soft running through a sheet leaves every corner within 0.25 px and three times uPx', () => {
    const light = (p: BoardPoint): number => 0.012 + 0.3 / (1 + Math.exp((p.Y - 20) / 18));
    const found = findMarks(drawScene(scene({ light, noise: 1, seed: 7 })));
    expect(ids(found)).toEqual(ALL);
    for (const m of found) {
      truthOf(m, SHEETS, VIEW).forEach((t, i) => {
        const off = Math.hypot(m.corners[i]!.x - t.x, m.corners[i]!.y - t.y);
        expect(off).toBeLessThan(0.25);
        expect(off / m.uPx).toBeLessThan(3.5);
      });
    }
  });

  test('a cut-off as sharp as a print edge through a sheet: its marks are left out rather than wrong by 0.5 px', () => {
    for (const y0 of [-30, 60]) {
      const light = (p: BoardPoint): number => 0.012 + 0.3 / (1 + Math.exp((p.Y - y0) / 8));
      for (const m of findMarks(drawScene(scene({ light, noise: 1, seed: 7 })))) {
        truthOf(m, SHEETS, VIEW).forEach((t, i) => {
          expect(Math.hypot(m.corners[i]!.x - t.x, m.corners[i]!.y - t.y)).toBeLessThan(0.5);
        });
      }
    }
  });

  test.each([
    { name: 'an S-curve', tone: (v: number) => srgb(v) ** 2 * (3 - 2 * srgb(v)) },
    { name: 'a flat curve', tone: (v: number) => 0.1 + 0.8 * srgb(v) },
    { name: 'plain linear coding', tone: (v: number) => Math.min(1, v) },
  ])(
    '$name instead of sRGB moves no corner by more than 0.1 px: growth of black is fitted apart',
    ({ tone }) => {
      const found = findMarks(drawScene(scene({ tone, blurPx: 1.2, noise: 0.5 })));
      expect(ids(found)).toEqual(ALL);
      expect(cornerRms(found)).toBeLessThan(0.06);
    },
  );

  test('white burnt out to three times full scale still gives corners to 0.25 px rms, and uPx knows it', () => {
    const found = findMarks(drawScene(scene({ light: () => 3.5, noise: 1 })));
    expect(ids(found)).toEqual(ALL);
    expect(cornerRms(found)).toBeLessThan(0.25);
    const stated = Math.sqrt(found.reduce((s, m) => s + m.uPx ** 2, 0) / found.length);
    expect(cornerRms(found) / stated).toBeLessThan(1.8);
  });

  test('a mirrored photo shows every mark as mirrored, its corners still on the right print', () => {
    const found = findMarks(drawScene(scene({ mirrored: true, noise: 1 })));
    expect(ids(found)).toEqual(ALL);
    for (const m of found) {
      expect(m.mirrored).toBe(true);
      truthOf(m, SHEETS, VIEW).forEach((t, i) => {
        expect(Math.hypot(m.corners[i]!.x - (SIZE.width - 1 - t.x), m.corners[i]!.y - t.y)).toBeLessThan(0.1);
      });
    }
  });

  test('36 px across the short axis, seen 60 degrees from the side, is found with 12 levels of contrast', () => {
    const view = cameraView({
      at: { X: 1733, Y: 120, Z: 1000 },
      lookAt: { X: 0, Y: 0 },
      focalPx: 1870,
      ...SIZE,
    });
    const sheets = [{ number: 11, at: { X: 3, Y: -8 }, turnDeg: 2 }];
    const found = findMarks(drawScene(scene({ view, sheets, light: lightFor(12), noise: 1.5, seed: 9 })));
    expect(found).toHaveLength(4);
    const widths = found.map((m) =>
      Math.hypot(m.corners[1].x - m.corners[0].x, m.corners[1].y - m.corners[0].y),
    );
    expect(Math.max(...widths)).toBeLessThan(45);
    expect(cornerRms(found, sheets, view)).toBeLessThan(0.2);
  });

  test('16 bits, and four channels, give the same corners as 8 bits of three to 0.03 px', () => {
    const plain = drawScene(scene({ noise: 1, seed: 3 }));
    const wide: Raster = { ...plain, maxLevel: 65535, data: Uint16Array.from(plain.data, (v) => v * 257) };
    const four = new Uint8ClampedArray(SIZE.width * SIZE.height * 4).fill(255);
    for (let i = 0; i < SIZE.width * SIZE.height; i++) {
      for (let c = 0; c < 3; c++) four[4 * i + c] = plain.data[3 * i + c]!;
    }
    const first = findMarks(plain);
    for (const other of [findMarks(wide), findMarks({ ...plain, channels: 4, data: four })]) {
      expect(ids(other)).toEqual(ids(first));
      other.forEach((m, k) => {
        m.corners.forEach((c, i) => {
          expect(Math.hypot(c.x - first[k]!.corners[i]!.x, c.y - first[k]!.corners[i]!.y)).toBeLessThan(0.03);
        });
      });
    }
  });

  test('a photo shifted by (7, 5) px shifts every corner by (7, 5) to 0.05 px', () => {
    const moved = [1, 0, 7, 0, 1, 5, 0, 0, 1];
    const view = Array.from({ length: 9 }, (_, i) =>
      [0, 1, 2].reduce((s, k) => s + moved[3 * Math.floor(i / 3) + k]! * VIEW[3 * k + (i % 3)]!, 0),
    );
    const first = findMarks(drawScene(scene({})));
    const second = findMarks(drawScene(scene({ view })));
    first.forEach((m, k) => {
      m.corners.forEach((c, i) => {
        expect(second[k]!.corners[i]!.x - c.x).toBeCloseTo(7, 1);
        expect(second[k]!.corners[i]!.y - c.y).toBeCloseTo(5, 1);
      });
    });
  });

  test('a large mark, 400 px across, is found as exactly as a small one: 0.05 px rms', () => {
    const view = cameraView({
      at: { X: 60, Y: 20, Z: 210 },
      lookAt: { X: 0, Y: 0 },
      rollDeg: 4,
      focalPx: 900,
      ...SIZE,
    });
    const sheets = [{ number: 44, at: { X: 86, Y: -52 }, turnDeg: 0 }];
    const found = findMarks(drawScene(scene({ view, sheets, noise: 1 })));
    expect(found.length).toBeGreaterThan(0);
    expect(cornerRms(found, sheets, view)).toBeLessThan(0.05);
  });

  test('tape over a corner of a mark: that mark is left out or still within 0.3 px, never wrong', () => {
    const strokes = [
      { from: { X: -330, Y: 120 }, to: { X: -290, Y: 90 }, widthMm: 19, reflectance: 0.8 },
      { from: { X: 60, Y: -125 }, to: { X: 105, Y: -105 }, widthMm: 19, reflectance: 0.1 },
    ];
    const found = findMarks(drawScene(scene({ strokes, noise: 1 })));
    expect(found.length).toBeGreaterThanOrEqual(6);
    for (const m of found) {
      expect(ALL).toContain(m.identity);
      truthOf(m, SHEETS, VIEW).forEach((t, i) => {
        expect(Math.hypot(m.corners[i]!.x - t.x, m.corners[i]!.y - t.y)).toBeLessThan(0.3);
      });
    }
  });
});

describe('never a false identity', () => {
  test('150 pictures of noise, stains, squares and bars of every size hold no mark', () => {
    const next = generator(4711);
    const width = 320;
    const height = 240;
    for (let n = 0; n < 150; n++) {
      const data = new Uint8Array(width * height * 3);
      const base = 10 + 120 * next();
      const plane = new Float32Array(width * height).fill(base);
      // Squares, some with random cells: the hardest lookalikes, each bit a coin toss.
      for (let k = 0; k < 6; k++) {
        const cell = 3 + Math.floor(6 * next());
        const x0 = Math.floor(next() * (width - 10 * cell));
        const y0 = Math.floor(next() * (height - 10 * cell));
        const white = Math.min(250, base * (1.3 + next()));
        for (let y = -1; y < 9; y++) {
          for (let x = -1; x < 9; x++) {
            const border = x === 0 || y === 0 || x === 7 || y === 7;
            const outside = x < 0 || y < 0 || x > 7 || y > 7;
            const level = outside ? white : border || next() < 0.5 ? base * 0.3 : white;
            for (let j = 0; j < cell; j++) {
              for (let i = 0; i < cell; i++) {
                const px = x0 + (x + 1) * cell + i;
                const py = y0 + (y + 1) * cell + j;
                if (px < width && py < height) plane[py * width + px] = level;
              }
            }
          }
        }
      }
      const noise = 1 + 25 * next() * next();
      for (let i = 0; i < plane.length; i++) {
        const g = noise * (next() + next() + next() - 1.5) * 2;
        const v = Math.min(255, Math.max(0, Math.round(plane[i]! + g)));
        data[3 * i] = v;
        data[3 * i + 1] = v;
        data[3 * i + 2] = v;
      }
      expect(findMarks({ width, height, channels: 3, maxLevel: 255, data })).toEqual([]);
    }
  });
});
