import { describe, expect, test } from 'vitest';
import { boardAxes, lampViewOf, tangentOf, vehiclePointOf } from '../../src/core/geometry/lamp-tangents.ts';
import { boardIlluminance } from '../../src/renderer/board-illuminance.ts';
import {
  boardToPhoto,
  makeScene,
  type PhotoRaster,
  type PlacedPrint,
  renderPhoto,
  renderRaster,
  type Scene,
  type SceneParts,
  tapeCross,
} from '../../src/renderer/index.ts';
import { readyLamp } from '../../src/renderer/lamp.ts';
import { boardPlace } from '../../src/renderer/space.ts';
import { encodeSrgb, toneCurve } from '../../src/renderer/tone.ts';

const DEG = Math.PI / 180;
/** A perfect camera: no noise, blur, glare or shading; and a perfect board. */
const CLEAN: SceneParts = {
  board: { unevenness: 0, grain: 0 },
  lens: { blurPx: 0, vignetting: 0, veil: 0, bloom: 0 },
  sensor: { fullWell: 1e12, readNoise: 0, exposure: { auto: 'hot-spot', stops: -0.2 } },
  ambient: { lux: 0 },
};

function linear(level: number): number {
  const c = level / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

/** BT.709 luminance (standards IMG-3) at a photo point, straight between pixels. */
function luminance(raster: PhotoRaster, x: number, y: number): number {
  const at = (i: number, j: number): number => {
    const k = (j * raster.width + i) * 3;
    const { data } = raster;
    return 0.2126 * linear(data[k]!) + 0.7152 * linear(data[k + 1]!) + 0.0722 * linear(data[k + 2]!);
  };
  const [i, j] = [Math.floor(x), Math.floor(y)];
  const [s, t] = [x - i, y - j];
  return (
    (1 - t) * ((1 - s) * at(i, j) + s * at(i + 1, j)) + t * ((1 - s) * at(i, j + 1) + s * at(i + 1, j + 1))
  );
}

describe('geometry', () => {
  test('board places and tangents agree with core for lean 2.3, yaw -3.1, roll 1.7 deg (signs of design.md 3)', () => {
    const turn = { outOfPlumbDeg: 2.3, yawDeg: -3.1, rollDeg: 1.7 };
    const centre = { right: -610, forward: 420, up: 655 };
    const pose = { origin: { right: 90, forward: 5230, up: 12 }, ...turn };
    const view = lampViewOf(pose, centre);
    const place = boardPlace({ distanceMm: view.distanceMm, axisFoot: view.axisFoot, ...turn }, null);
    expect(place.ex.forward).toBeCloseTo(boardAxes(turn).ex.forward, 12);
    for (const p of [
      { X: 340, Y: 905 },
      { X: -820, Y: 115 },
    ]) {
      const ours = place.place(p.X, p.Y);
      const core = vehiclePointOf(pose, p);
      expect(ours.right).toBeCloseTo(core.right - centre.right, 6);
      expect(ours.forward).toBeCloseTo(core.forward - centre.forward, 6);
      expect(ours.up).toBeCloseTo(core.up - centre.up, 6);
      const t = tangentOf(view, p);
      expect(ours.right / ours.forward).toBeCloseTo(t.u, 9);
      expect(ours.up / ours.forward).toBeCloseTo(t.v, 9);
      const back = place.meet({ right: 0, forward: 0, up: 0 }, ours);
      expect(back?.X).toBeCloseTo(p.X, 6);
      expect(back?.Y).toBeCloseTo(p.Y, 6);
    }
  });

  test('design.md 3: foot 20 mm below the tyre plane, cut-off 605 above it, lamp 650 at 5 m: v = -1.30 %', () => {
    // The lamp's axis meets the board 650 + 20 above its foot.
    const stand = { distanceMm: 5000, axisFoot: { X: 0, Y: 670 }, outOfPlumbDeg: 0, yawDeg: 0, rollDeg: 0 };
    const p = boardPlace(stand, null).place(0, 605);
    expect((100 * p.up) / p.forward).toBeCloseTo(-1.3, 12);
  });

  test('a bow of 20 mm in the middle seen at 30 deg looks 11 mm aside (design.md 4: 20 mm at 30 deg: 11 mm)', () => {
    const stand = { distanceMm: 5000, axisFoot: { X: 0, Y: 0 }, outOfPlumbDeg: 0, yawDeg: 0, rollDeg: 0 };
    const bowed = boardPlace(stand, { sagMm: 20, centreX: 0, halfWidthMm: 1000 }).place(0, 0);
    expect(bowed.forward).toBeCloseTo(4980, 9);
    const eye = { right: -5000 * Math.tan(30 * DEG), forward: 0, up: 0 };
    const way = { right: bowed.right - eye.right, forward: bowed.forward, up: 0 };
    const flat = boardPlace(stand, null).meet(eye, way);
    expect(flat?.X).toBeCloseTo(11.6, 1);
  });

  test('a camera 1 m behind, looking at (0, 650), 52 mm: that point is the middle, and right and up go right and up', () => {
    const scene = makeScene({ camera: { widthPx: 1200, heightPx: 900 } });
    const middle = boardToPhoto(scene, 0, 650);
    expect(middle.x).toBeCloseTo(599.5, 9);
    expect(middle.y).toBeCloseTo(449.5, 9);
    expect(boardToPhoto(scene, 300, 650).x).toBeGreaterThan(650);
    expect(boardToPhoto(scene, 0, 900).y).toBeLessThan(400);
  });
});

describe('prints', () => {
  const disc = (X: number, Y: number): PlacedPrint => ({
    shape: { kind: 'disc', centre: { X, Y }, radiusMm: 37 },
    reflectance: 0.05,
  });

  test('printed discs lie where boardToPhoto puts them, to 0.02 px, under distortion, roll, lean and blur', () => {
    const centres = [
      { X: -830, Y: 310 },
      { X: 640, Y: 180 },
      { X: 150, Y: 1120 },
    ];
    const scene = makeScene({
      ...CLEAN,
      board: { ...CLEAN.board, prints: centres.map((c) => disc(c.X, c.Y)) },
      stand: { outOfPlumbDeg: 2, yawDeg: -3, rollDeg: 1 },
      lamp: { lit: false },
      ambient: { lux: 120, perMetreX: 0, perMetreY: 0 },
      camera: { widthPx: 1200, heightPx: 900, k1: -0.05, rollDeg: 2.5 },
      lens: { ...CLEAN.lens, blurPx: 0.9 },
    });
    const { raster } = renderRaster(scene, 1);
    for (const c of centres) {
      const at = boardToPhoto(scene, c.X, c.Y);
      const paper = luminance(raster, at.x + 40, at.y);
      let [sum, sx, sy] = [0, 0, 0];
      for (let y = Math.round(at.y) - 30; y <= at.y + 30; y++) {
        for (let x = Math.round(at.x) - 30; x <= at.x + 30; x++) {
          const dark = paper - luminance(raster, x, y);
          sum += dark;
          sx += dark * x;
          sy += dark * y;
        }
      }
      // Seen obliquely a disc's centre is not its image's centroid, but here by less than 0.01 px.
      expect(Math.abs(sx / sum - at.x)).toBeLessThan(0.02);
      expect(Math.abs(sy / sum - at.y)).toBeLessThan(0.02);
    }
  });

  test('later prints cover earlier ones, and a strip 3 px wide keeps its area to 1 %', () => {
    const scene = makeScene({
      ...CLEAN,
      lamp: { lit: false },
      ambient: { lux: 120, perMetreX: 0, perMetreY: 0 },
      board: {
        ...CLEAN.board,
        albedo: 0.8,
        prints: [...tapeCross({ X: 0, Y: 700 }, 400, 9), disc(0, 700)].concat({
          shape: { kind: 'disc', centre: { X: 0, Y: 700 }, radiusMm: 20 },
          reflectance: 0.8,
        }),
      },
      camera: { widthPx: 1200, heightPx: 900, place: { right: 0, forward: 0, up: 0 } },
    });
    const { raster } = renderRaster(scene, 1);
    const middle = boardToPhoto(scene, 0, 700);
    const arm = boardToPhoto(scene, 0, 830);
    const paper = luminance(raster, arm.x + 60, arm.y);
    expect(luminance(raster, middle.x, middle.y) / paper).toBeCloseTo(1, 2);
    let dark = 0;
    for (let x = -12; x <= 12; x++)
      dark += 1 - luminance(raster, Math.round(arm.x) + x, Math.round(arm.y)) / paper;
    const pxPerMm = (boardToPhoto(scene, 100, 830).x - arm.x) / 100;
    // 9 mm of reflectance 0.05 on 0.8.
    expect(dark / (9 * pxPerMm * (1 - 0.05 / 0.8))).toBeCloseTo(1, 1.7);
  });
});

describe('the photograph shows the truth', () => {
  test('around the cut-off each level lies on the board where the truth has it, to 0.008 %', () => {
    const scene = makeScene({
      ...CLEAN,
      beam: { sharpnessG: 0.35 },
      opening: { widthMm: 120, heightMm: 100 },
      stand: { distanceMm: 4300, yawDeg: 2, outOfPlumbDeg: -1.5, axisFoot: { X: 80, Y: 655 } },
      camera: { widthPx: 1600, heightPx: 1200, k1: 0.03 },
    });
    const { raster, truth } = renderPhoto(scene, 3);
    const place = boardPlace(scene.board.stand, null);
    const illuminance = boardIlluminance(readyLamp(scene.lamps[0]!), place);
    for (const deg of [-2.5, 1.6]) {
      const u = (truth.onBoard.elbow?.offsetPct ?? 0) / 100 + Math.tan(deg * DEG);
      const middle = -(truth.onBoard.dropPct ?? 0) / 100 + Math.max(0, 0.268 * (u - 0.003));
      // The mean over a third of a degree sideways makes up for eight bits; what is left of them is about 0.004 %.
      const logs = (v: number): { photo: number; board: number } => {
        let photo = 0;
        let board = 0;
        for (let k = -8; k <= 8; k++) {
          const way = { right: u + k * 0.0004, forward: 1, up: v };
          const { X, Y } = place.meet({ right: 0, forward: 0, up: 0 }, way) ?? { X: 0, Y: 0 };
          const p = boardToPhoto(scene, X, Y);
          photo += luminance(raster, p.x, p.y);
          board += illuminance(X, Y);
        }
        return { photo: Math.log(photo), board: Math.log(board) };
      };
      const vs = Array.from({ length: 33 }, (_, i) => middle + (i - 16) * 0.025 * DEG);
      const both = vs.map(logs);
      const slopes = vs.map((v) => (logs(v + 0.0003).board - logs(v - 0.0003).board) / 0.0006);
      // How far the photo's profile must be moved, whatever its scale, to lie on the board's: least squares.
      const ratio = both.map(({ photo, board }) => photo - board);
      const mean = (list: readonly number[]): number => list.reduce((sum, x) => sum + x, 0) / list.length;
      const [mr, ms] = [mean(ratio), mean(slopes)];
      const moved =
        mean(ratio.map((r, i) => (r - mr) * (slopes[i]! - ms))) / mean(slopes.map((x) => (x - ms) ** 2));
      expect(Math.abs(100 * moved), `${deg} deg`).toBeLessThan(0.008);
    }
  });

  test('a mirrored scene gives the mirrored photograph, within one level', () => {
    const parts = (m: 1 | -1): SceneParts => ({
      ...CLEAN,
      beam: { kind: 'step', traffic: m === 1 ? 'right' : 'left' },
      aim: { dropPct: 0.7, offsetPct: m * 0.9, tiltDeg: m * 1.1 },
      stand: { axisFoot: { X: m * 70, Y: 640 }, yawDeg: m * 2, rollDeg: m * 0.6, outOfPlumbDeg: 1 },
      board: { ...CLEAN.board, prints: tapeCross({ X: m * 410, Y: 330 }, 150, 25, m * 20) },
      camera: {
        widthPx: 480,
        heightPx: 360,
        place: { right: m * 420, forward: -700, up: 500 },
        lookAt: { X: m * 35, Y: 660 },
        rollDeg: m * 1.5,
      },
    });
    const a = renderRaster(makeScene(parts(1)), 1).raster;
    const b = renderRaster(makeScene(parts(-1)), 1).raster;
    let worst = 0;
    let unequal = 0;
    for (let y = 0; y < 360; y++) {
      for (let k = 0; k < 480 * 3; k++) {
        const x = Math.floor(k / 3);
        const here = a.data[(y * 480 + x) * 3 + (k % 3)]!;
        const there = b.data[(y * 480 + 479 - x) * 3 + (k % 3)]!;
        worst = Math.max(worst, Math.abs(here - there));
        if (Math.abs(here - there) > 1) unequal++;
      }
    }
    // The cross's edges may be sampled at another phase of the sub-pixels: its outline is about 150 px of
    // 172 800, three values each.
    expect(unequal).toBeLessThan(200);
    expect(worst).toBeLessThanOrEqual(8);
  });
});

describe('camera', () => {
  const grey = (parts: SceneParts): { mean: number; sd: number; scene: Scene } => {
    const scene = makeScene({
      ...CLEAN,
      lamp: { lit: false },
      ambient: { lux: 100, perMetreX: 0, perMetreY: 0 },
      camera: { widthPx: 400, heightPx: 300 },
      ...parts,
    });
    const { raster } = renderRaster(scene, 9);
    const at = boardToPhoto(scene, 0, 650);
    const values: number[] = [];
    for (let y = -20; y < 20; y++) {
      for (let x = -20; x < 20; x++) {
        values.push(linear(raster.data[((Math.round(at.y) + y) * 400 + Math.round(at.x) + x) * 3 + 1]!));
      }
    }
    const mean = values.reduce((s, v) => s + v, 0) / values.length;
    const sd = Math.sqrt(values.reduce((s, v) => s + (v - mean) ** 2, 0) / values.length);
    return { mean, sd, scene };
  };

  test('W55: encode 0.18 = 117.646 and 0.5 = 187.516 of 255; the S-curve keeps black, middle and white', () => {
    expect(255 * encodeSrgb(0.18)).toBeCloseTo(117.646, 3);
    expect(255 * encodeSrgb(0.5)).toBeCloseTo(187.516, 3);
    const curve = toneCurve({ curve: 's-curve', strength: 0.6 });
    expect([curve(0), curve(1)].map((y) => Math.round(1e9 * y) / 1e9)).toEqual([0, 1]);
    expect(curve(0.05)).toBeLessThan(encodeSrgb(0.05));
    expect(curve(0.6)).toBeGreaterThan(encodeSrgb(0.6));
  });

  test('100 lx on albedo 0.8 at 1/200 s, f/2, ISO 100 gives 0.0265 of white; a time four times as long, four times that', () => {
    // L = 0.8 x 100/pi = 25.46 cd/m2; white at 120 N^2/(S t) = 960 cd/m2 (ISO 12232, from memory).
    const sensor = { ...CLEAN.sensor, fNumber: 2, iso: 100, exposure: { s: 1 / 200 } };
    // One of 256 levels is 0.0011 and 0.0023 wide there.
    expect(Math.abs(grey({ sensor }).mean - 0.0265)).toBeLessThan(0.0006);
    expect(Math.abs(grey({ sensor: { ...sensor, exposure: { s: 1 / 50 } } }).mean - 0.1061)).toBeLessThan(
      0.0012,
    );
  });

  test('photon noise: at 20 % of white, ISO 400 and 6000 electrons the green channel varies by 5.8 % (1/sqrt 300)', () => {
    const sensor = { fullWell: 6000, readNoise: 0, iso: 400, whiteBalance: 0, fNumber: 2 };
    const s = (0.2 * 120 * 4) / (400 * 25.4648);
    const { mean, sd } = grey({ sensor: { ...sensor, exposure: { s } } });
    expect(mean).toBeCloseTo(0.2, 2);
    expect(sd / mean).toBeGreaterThan(0.05);
    expect(sd / mean).toBeLessThan(0.066);
  });

  test('hot spot just clipped: some pixel reaches 255; at -1 stop none does; at +1.5 stops over 1 % of the board does', () => {
    const share = (stops: number): number => {
      const scene = makeScene({
        camera: { widthPx: 400, heightPx: 300 },
        sensor: { exposure: { auto: 'hot-spot', stops }, fullWell: 1e9, readNoise: 0 },
      });
      const { data } = renderRaster(scene, 2).raster;
      let n = 0;
      for (let k = 0; k < data.length; k += 3)
        if (Math.max(data[k]!, data[k + 1]!, data[k + 2]!) === 255) n++;
      return n / (400 * 300);
    };
    expect(share(0)).toBeGreaterThan(0);
    expect(share(0)).toBeLessThan(0.01);
    expect(share(-1)).toBe(0);
    expect(share(1.5)).toBeGreaterThan(0.01);
  });
});
