import { describe, expect, test } from 'vitest';
import { ratioU, solveGains } from '../../../src/core/photometry/merge-ratios.ts';
import { linearFromSrgb, srgbFromLinear } from '../../../src/core/photometry/transfer-curve.ts';
import { boardAlbedo, withoutAlbedo } from '../../../src/core/sampling/board-albedo.ts';
import type { LightGrid } from '../../../src/core/sampling/light-grid.ts';
import { type LinearFrame, mergeFrames } from '../../../src/core/sampling/merge-frames.ts';
import { withoutRoom } from '../../../src/core/sampling/merge-room.ts';
import { Random } from '../../../src/renderer/index.ts';

const COLUMNS = 70;
const ROWS = 190;
const PIXELS = 4;

/** A beam that falls from 1 to 0.006 across an edge that climbs to the right; no row or column like another. */
function beam(c: number, r: number): number {
  const edge = 118 + 0.15 * c;
  const steep = 10 ** (-1.1 * (1 + Math.tanh((r - edge) / 9)));
  const spot = Math.exp(-(((c - 41) / 30) ** 2) - ((r - 88) / 70) ** 2);
  return steep * (0.2 + 0.8 * spot);
}

function gridOf(
  light: (c: number, r: number) => number,
  clipped: (c: number, r: number) => number = () => 0,
) {
  const grid: LightGrid = {
    columns: COLUMNS,
    rows: ROWS,
    u0: -0.061,
    du: 0.00175,
    v0: -0.041,
    dv: 0.00035,
    light: new Float32Array(COLUMNS * ROWS),
    clipped: new Float32Array(COLUMNS * ROWS),
    pixelsPerCell: PIXELS,
  };
  for (let r = 0; r < ROWS; r++) {
    for (let c = 0; c < COLUMNS; c++) {
      grid.light[r * COLUMNS + c] = light(c, r);
      grid.clipped[r * COLUMNS + c] = clipped(c, r);
    }
  }
  return grid;
}

/** One 8-bit frame: 5000 electrons at white, mean of PIXELS pixels per cell. `off` is the error of the stated exposure. */
function frame(stated: number, off: number, seed: number, scene = beam): LinearFrame {
  const random = new Random(seed);
  const burnt = new Set<number>();
  const grid = gridOf((c, r) => {
    let sum = 0;
    for (let k = 0; k < PIXELS; k++) {
      const e = scene(c, r) * stated * (1 + off);
      const noisy = e + random.normal() * Math.sqrt(e / 5000 + (4 / 5000) ** 2);
      const level = Math.min(255, Math.round(255 * srgbFromLinear(Math.max(0, noisy))));
      if (level >= 252) burnt.add(r * COLUMNS + c);
      sum += linearFromSrgb(level / 255);
    }
    return sum / PIXELS;
  });
  for (const k of burnt) grid.clipped[k] = 1;
  return { grid, exposure: stated, iso: 100 };
}

/** Root mean square of ln(merged / scene) about its mean, over cells that `where` chooses. */
function misfit(grid: LightGrid, where: (e: number) => boolean): number {
  const off: number[] = [];
  for (let r = 0; r < ROWS; r++) {
    for (let c = 0; c < COLUMNS; c++) {
      const k = r * COLUMNS + c;
      if (where(beam(c, r)) && grid.clipped[k] === 0) off.push(Math.log(grid.light[k]! / beam(c, r)));
    }
  }
  const mean = off.reduce((s, x) => s + x, 0) / off.length;
  return Math.sqrt(off.reduce((s, x) => s + (x - mean) ** 2, 0) / off.length);
}

const atEdge = (e: number) => e > 0.03 && e < 0.3;
const BRACKET = [frame(0.25, 0.03, 1), frame(1, -0.04, 2), frame(4, 0.05, 3)];

describe('frames merged in linear light', () => {
  test('stops of -2, 0 and +2 with exposures 3 to 5 % off: the edge comes out to 2 %, well below the noise of one frame', () => {
    const merged = mergeFrames(BRACKET);
    const alone = misfit(BRACKET[1]!.grid, atEdge);
    expect(misfit(merged.grid, atEdge)).toBeLessThan(0.02);
    // Photons alone would give 1 / sqrt(5.25) = 0.44 of it; 0.4 % held for the curve evens the weights out a little.
    expect(misfit(merged.grid, atEdge)).toBeLessThan(0.6 * alone);
    // By photons 4 : 1 : 0.25 where the longest frame is not burnt out; it is so in most of the cells from 0.2 up.
    expect(merged.shares[2]).toBeGreaterThan(1.5 * merged.shares[0]!);
    expect(merged.shares.reduce((s, x) => s + x, 0)).toBeCloseTo(1, 5);
    expect(merged.odd).toEqual([]);
  });

  test('ratios 4.4 and 4.4 of stated 4 are found to 1 %, from overlap against a prior of 5 %', () => {
    const { ln } = mergeFrames(BRACKET).gains;
    expect(Math.abs(ln[1]! - ln[0]! - Math.log((4 * 0.96) / 1.03))).toBeLessThan(0.01);
    expect(Math.abs(ln[2]! - ln[1]! - Math.log((4 * 1.05) / 0.96))).toBeLessThan(0.01);
  });

  test('the hot spot is burnt out in the longer frames, and not in what they merge to', () => {
    const merged = mergeFrames(BRACKET);
    const burnt = (g: LightGrid) => g.clipped.reduce((s, x) => s + (x > 0 ? 1 : 0), 0);
    expect(burnt(BRACKET[2]!.grid)).toBeGreaterThan(1000);
    expect(burnt(merged.grid)).toBe(0);
    // Its peak is white and no more: 0.998 of the beam's brightest cell in the shortest frame's terms.
    expect(misfit(merged.grid, (e) => e > 0.8)).toBeLessThan(0.02);
  });

  test('what every frame burns out stays burnt out', () => {
    const longer = [frame(3, 0.01, 4), frame(8, -0.02, 5)];
    const merged = mergeFrames(longer);
    for (let k = 0; k < merged.grid.light.length; k++) {
      const all = longer.every((f) => f.grid.clipped[k]! > 0);
      if (all) expect(merged.grid.clipped[k]).toBeGreaterThan(0);
    }
    expect(merged.grid.clipped.some((x) => x > 0)).toBe(true);
  });

  test('what every frame shows black is counted, and takes the pooled light', () => {
    const dark = mergeFrames([frame(0.002, 0, 6), frame(0.004, 0, 7)]);
    expect(dark.blackShare).toBeGreaterThan(0.15);
  });

  test('another order of frames gives the same light to 1e-5, and all exposures doubled on paper the same grid', () => {
    const merged = mergeFrames(BRACKET);
    const turned = mergeFrames([BRACKET[2]!, BRACKET[0]!, BRACKET[1]!]);
    const doubled = mergeFrames(BRACKET.map((f) => ({ ...f, exposure: 2 * f.exposure! })));
    for (let k = 0; k < merged.grid.light.length; k++) {
      expect(Math.abs(turned.grid.light[k]! / merged.grid.light[k]! - 1)).toBeLessThan(1e-5);
      expect(Math.abs(doubled.grid.light[k]! / merged.grid.light[k]! - 1)).toBeLessThan(1e-5);
    }
    expect(doubled.unitLn - merged.unitLn).toBeCloseTo(Math.log(2), 6);
  });

  test('one frame more never makes the edge worse: 3, then 4, then 5 frames', () => {
    const three = misfit(mergeFrames(BRACKET).grid, atEdge);
    const four = misfit(mergeFrames([...BRACKET, frame(2, -0.03, 8)]).grid, atEdge);
    const five = misfit(mergeFrames([...BRACKET, frame(2, -0.03, 8), frame(3, 0.02, 9)]).grid, atEdge);
    expect(four).toBeLessThan(three);
    expect(five).toBeLessThan(four);
  });

  test('a frame 2.4 times as bright as its file says, and one of another beam, are told apart and left out', () => {
    const wrong = mergeFrames([...BRACKET, { ...frame(2.4, 0, 10), exposure: 1 }]);
    expect(wrong.odd).toMatchObject([{ frame: 3, kind: 'level' }]);
    const other = frame(1, 0.01, 11, (c, r) => beam(COLUMNS - 1 - c, r + 14));
    expect(mergeFrames([...BRACKET, other]).odd).toMatchObject([{ frame: 3, kind: 'pattern' }]);
  });

  test('files that do not say leave the ratio to the overlap: 4.2 within 2 %', () => {
    const blind = mergeFrames(BRACKET.map((f) => ({ ...f, exposure: null })));
    expect(Math.exp(blind.gains.ln[1]! - blind.gains.ln[0]!)).toBeCloseTo((4 * 0.96) / 1.03, 1);
  });
});

describe('exposures', () => {
  test('two settings of 3.5 % and repeats of 0.7 % that overlap by 0.6 %: the ratio is weighed by hand', () => {
    // Prior of the ratio: sqrt(2 (0.035² + 0.007²)) = 0.0505; data 0.006; the mean by inverse variance (JCGM 100, 5.2).
    const seen = Math.log(4.3);
    const gains = solveGains([{ exposure: 0.5 }, { exposure: 2 }], [{ a: 0, b: 1, lnRatio: seen, u: 0.006 }]);
    const [wp, wd] = [1 / 0.0505 ** 2, 1 / 0.006 ** 2];
    expect(gains.ln[1]! - gains.ln[0]!).toBeCloseTo((wp * Math.log(4) + wd * seen) / (wp + wd), 5);
    expect(ratioU(gains, 0, 1)).toBeCloseTo(1 / Math.sqrt(wp + wd), 5);
  });

  test('two photos of one setting differ by 1 %, of two settings by 5 %', () => {
    const gains = solveGains([{ exposure: 0.5 }, { exposure: 0.5 }, { exposure: 1 }], []);
    expect(ratioU(gains, 0, 1)).toBeCloseTo(0.0099, 4);
    expect(ratioU(gains, 1, 2)).toBeCloseTo(0.0505, 4);
  });
});

describe('room light', () => {
  const room = (c: number, r: number) => 0.02 * (1 + 0.002 * c - 0.001 * r);
  const lit = gridOf((c, r) => beam(c, r) + room(c, r));

  test('a photo with the lamps off, exposed 2.7 times longer, takes 2 % of room light out to 0.02 %', () => {
    const off = gridOf((c, r) => 2.7 * room(c, r));
    const taken = withoutRoom(lit, off, { value: 1 / 2.7, uLn: 0.05 });
    if (!taken.taken) throw new Error(taken.why);
    for (const [c, r] of [
      [3, 180],
      [35, 90],
      [66, 140],
    ] as const)
      expect(Math.abs(taken.grid.light[r * COLUMNS + c]! - beam(c, r))).toBeLessThan(2e-4);
    // 5 % of ratio, 4 % of flicker and white balance, of the room's median light (0.0188).
    expect(taken.uLeft).toBeCloseTo(Math.hypot(0.05, 0.04) * taken.room, 6);
    expect(taken.room).toBeCloseTo(0.0188, 2);
  });

  test('a ratio 4 % too large is held back by the darkest place, where the lit board can be no darker than the room', () => {
    const off = gridOf(room);
    const bare = gridOf((c, r) => room(c, r) + (r < 100 ? beam(c, r) : 0));
    const taken = withoutRoom(bare, off, { value: 1.04, uLn: 0.05 });
    if (!taken.taken) throw new Error(taken.why);
    expect(Math.min(...taken.grid.light)).toBeGreaterThan(-0.0003);
  });

  test('a room burnt out, brighter than the lit board, or of unknown exposure is not subtracted', () => {
    const ratio = { value: 1, uLn: 0.05 };
    expect(
      withoutRoom(
        lit,
        gridOf(room, (c) => (c < 9 ? 1 : 0)),
        ratio,
      ),
    ).toEqual({
      taken: false,
      why: 'burnt-out',
    });
    expect(
      withoutRoom(
        lit,
        gridOf((c, r) => 3 * room(c, r)),
        ratio,
      ),
    ).toMatchObject({
      why: 'brighter-than-lit',
    });
    expect(withoutRoom(lit, gridOf(room), { value: 1, uLn: 2 })).toMatchObject({ why: 'unknown-ratio' });
  });
});

describe('uneven reflectance', () => {
  /** 2 % of blotches, 12 columns and 60 rows wide. */
  const board = (c: number, r: number) => 1 + 0.02 * Math.sin(c / 1.9) * Math.cos(r / 9.5);
  const noisy = (seed: number, level: number, share: number) => {
    const random = new Random(seed);
    return gridOf(
      (c, r) => level * (1 + 0.003 * c) * (1 + share * (board(c, r) - 1)) + 0.003 * level * random.normal(),
    );
  };

  test('a bright photo in even light tells blotches of 1 % rms, and dividing leaves less than 0.7 of them', () => {
    const albedo = boardAlbedo(noisy(12, 0.2, 1));
    if (albedo === null) throw new Error('not told');
    // Averaged over a quarter of a degree each way, 1 % of blotches this small is some 0.6 %.
    expect(albedo.spread).toBeGreaterThan(0.004);
    expect(albedo.spread).toBeLessThan(0.012);
    const flat = withoutAlbedo(gridOf(board), albedo);
    const spread = (g: LightGrid) => {
      const inner = [...g.light].filter((_, k) => k % COLUMNS > 5 && k % COLUMNS < 64);
      const mean = inner.reduce((s, x) => s + x, 0) / inner.length;
      return Math.sqrt(inner.reduce((s, x) => s + (x - mean) ** 2, 0) / inner.length);
    };
    expect(spread(flat)).toBeLessThan(0.7 * spread(gridOf(board)));
  });

  test('a dim photo, an even board and a hard shadow tell nothing', () => {
    expect(boardAlbedo(noisy(13, 0.01, 1))).toBeNull();
    expect(boardAlbedo(noisy(14, 0.2, 0))).toBeNull();
    expect(boardAlbedo(gridOf((c, r) => (c + r > 140 ? 0.1 : 0.2)))).toBeNull();
  });
});
