import type { BoardPoint, PhotoPoint } from '../../src/core/frames.ts';
import { applyHomography, type Homography, invertHomography } from '../../src/core/geometry/homography.ts';
import type { Raster } from '../../src/core/raster.ts';
import { PAPER_REFLECTANCE, sheetDesign } from '../../src/vision/mark-design.ts';

/** A small drawing board of the tests' own: sheets on a plane, seen through a homography, with light, blur and noise. */
export interface Scene {
  readonly width: number;
  readonly height: number;
  /** Board mm to photo px. */
  readonly view: Homography;
  readonly sheets: readonly { readonly number: number; readonly at: BoardPoint; readonly turnDeg?: number }[];
  /** Straight drawn lines or tapes on the board. */
  readonly strokes?: readonly {
    readonly from: BoardPoint;
    readonly to: BoardPoint;
    readonly widthMm: number;
    readonly reflectance: number;
  }[];
  readonly boardReflectance?: number;
  /** Linear light on the board, 1 = a white that just fills the scale. */
  readonly light: (p: BoardPoint) => number;
  /** Linear light added everywhere (haze in the lens). */
  readonly haze?: number;
  /** Standard deviation of the blur, px, in linear light. */
  readonly blurPx?: number;
  /** Standard deviation of the noise, levels. */
  readonly noise?: number;
  readonly seed?: number;
  /** Tone curve after linear light; sRGB unless given. */
  readonly tone?: (linear: number) => number;
  readonly mirrored?: boolean;
}

export function generator(seed: number): () => number {
  let s = seed >>> 0;
  return () => {
    s = (s + 0x6d2b79f5) >>> 0;
    let t = s;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export function srgb(linear: number): number {
  const c = Math.min(Math.max(linear, 0), 1);
  return c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055;
}

const BITMAP_MM = 0.25;
const bitmaps = new Map<number, { data: Float32Array; w: number; h: number }>();

/** A sheet as reflectances, 4 per mm: the marks' edges fall on its grid lines. */
function sheetBitmap(number: number): { data: Float32Array; w: number; h: number } {
  const known = bitmaps.get(number);
  if (known) return known;
  const design = sheetDesign(number, 'a4');
  const w = Math.round(design.widthMm / BITMAP_MM);
  const h = Math.round(design.heightMm / BITMAP_MM);
  const data = new Float32Array(w * h).fill(PAPER_REFLECTANCE);
  for (const s of design.shapes) {
    if (s.kind !== 'polygon') continue;
    const col = (X: number): number => (X + design.widthMm / 2) / BITMAP_MM - 0.5;
    const row = (Y: number): number => (design.heightMm / 2 - Y) / BITMAP_MM - 0.5;
    const rows = s.points.map((p) => row(p.Y));
    for (let y = Math.max(0, Math.ceil(Math.min(...rows))); y <= Math.min(h - 1, Math.max(...rows)); y++) {
      const cuts: number[] = [];
      s.points.forEach((p, i) => {
        const q = s.points[(i + 1) % s.points.length]!;
        const a = row(p.Y);
        const b = row(q.Y);
        if (a <= y !== b <= y) cuts.push(col(p.X) + ((y - a) / (b - a)) * (col(q.X) - col(p.X)));
      });
      cuts.sort((a, b) => a - b);
      for (let i = 0; i + 1 < cuts.length; i += 2) {
        for (let x = Math.max(0, Math.ceil(cuts[i]!)); x <= Math.min(w - 1, cuts[i + 1]!); x++) {
          data[y * w + x] = s.reflectance;
        }
      }
    }
  }
  const made = { data, w, h };
  bitmaps.set(number, made);
  return made;
}

/** Where a sheet's own point lies on the board. */
export function sheetToBoard(at: BoardPoint, turnDeg: number, p: BoardPoint): BoardPoint {
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  return { X: at.X + c * p.X - s * p.Y, Y: at.Y + s * p.X + c * p.Y };
}

export function drawScene(scene: Scene): Raster {
  const { width, height, view } = scene;
  const inverse = invertHomography(view);
  const boardOf = (x: number, y: number): BoardPoint => {
    const p = applyHomography(inverse, { X: x, Y: y });
    return { X: p.x, Y: p.y };
  };
  const linear = new Float32Array(width * height);
  const base = scene.boardReflectance ?? 0.7;
  const row0 = (y: number): void => {
    for (let x = 0; x < width; x++) linear[y * width + x] = base * scene.light(boardOf(x, y));
  };
  for (let y = 0; y < height; y++) row0(y);
  for (const s of scene.sheets) paintSheet(scene, linear, inverse, s.number, s.at, s.turnDeg ?? 0, boardOf);
  for (const s of scene.strokes ?? []) paintStroke(scene, linear, s, boardOf);
  const haze = scene.haze ?? 0;
  if (haze !== 0) for (let i = 0; i < linear.length; i++) linear[i]! += haze;
  if (scene.blurPx) blur(linear, width, height, scene.blurPx);
  return coded(scene, linear);
}

function paintSheet(
  scene: Scene,
  linear: Float32Array,
  inverse: Homography,
  number: number,
  at: BoardPoint,
  turnDeg: number,
  boardOf: (x: number, y: number) => BoardPoint,
): void {
  const { data, w, h } = sheetBitmap(number);
  const halfW = (w * BITMAP_MM) / 2;
  const halfH = (h * BITMAP_MM) / 2;
  const box = bounds(scene, [
    sheetToBoard(at, turnDeg, { X: -halfW, Y: -halfH }),
    sheetToBoard(at, turnDeg, { X: halfW, Y: -halfH }),
    sheetToBoard(at, turnDeg, { X: halfW, Y: halfH }),
    sheetToBoard(at, turnDeg, { X: -halfW, Y: halfH }),
  ]);
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  for (let y = box.y0; y <= box.y1; y++) {
    for (let x = box.x0; x <= box.x1; x++) {
      let sum = 0;
      let inside = 0;
      for (let k = 0; k < SAMPLES; k++) {
        const px = x + OFFSETS[2 * k]!;
        const py = y + OFFSETS[2 * k + 1]!;
        const depth = inverse[6]! * px + inverse[7]! * py + inverse[8]!;
        const dX = (inverse[0]! * px + inverse[1]! * py + inverse[2]!) / depth - at.X;
        const dY = (inverse[3]! * px + inverse[4]! * py + inverse[5]!) / depth - at.Y;
        const col = Math.floor((c * dX + s * dY + halfW) / BITMAP_MM);
        const row = Math.floor((halfH - (-s * dX + c * dY)) / BITMAP_MM);
        if (col >= 0 && col < w && row >= 0 && row < h) {
          sum += data[row * w + col]!;
          inside++;
        }
      }
      if (inside === 0) continue;
      const i = y * scene.width + x;
      const e = scene.light(boardOf(x, y));
      linear[i] = (linear[i]! * (SAMPLES - inside) + sum * e) / SAMPLES;
    }
  }
}

function paintStroke(
  scene: Scene,
  linear: Float32Array,
  stroke: NonNullable<Scene['strokes']>[number],
  boardOf: (x: number, y: number) => BoardPoint,
): void {
  const { from, to, widthMm, reflectance } = stroke;
  const length = Math.hypot(to.X - from.X, to.Y - from.Y);
  const e = { X: (to.X - from.X) / length, Y: (to.Y - from.Y) / length };
  const at = (a: number, b: number): BoardPoint => ({
    X: from.X + a * e.X - b * e.Y,
    Y: from.Y + a * e.Y + b * e.X,
  });
  const half = widthMm / 2;
  const box = bounds(scene, [at(0, -half), at(0, half), at(length, half), at(length, -half)]);
  for (let y = box.y0; y <= box.y1; y++) {
    for (let x = box.x0; x <= box.x1; x++) {
      let inside = 0;
      for (let k = 0; k < SAMPLES; k++) {
        const p = boardOf(x + OFFSETS[2 * k]!, y + OFFSETS[2 * k + 1]!);
        const a = (p.X - from.X) * e.X + (p.Y - from.Y) * e.Y;
        const b = -(p.X - from.X) * e.Y + (p.Y - from.Y) * e.X;
        if (a >= 0 && a <= length && Math.abs(b) <= half) inside++;
      }
      if (inside === 0) continue;
      const i = y * scene.width + x;
      const light = scene.light(boardOf(x, y));
      linear[i] = (linear[i]! * (SAMPLES - inside) + inside * reflectance * light) / SAMPLES;
    }
  }
}

// A low-discrepancy pattern: no two samples share a row or column, so an edge along the pixels is not stepped.
const SAMPLES = 49;
const OFFSETS = centred(
  Array.from({ length: SAMPLES }, (_, k) => [
    ((k + 0.5) * 0.7548776662466927) % 1,
    ((k + 0.5) * 0.5698402909980532) % 1,
  ]),
);

/** The pattern's mean is put on the pixel's centre: otherwise everything drawn would be shifted by it. */
function centred(points: readonly (readonly number[])[]): number[] {
  const mean = [0, 1].map((c) => points.reduce((s, p) => s + p[c]!, 0) / points.length);
  return points.flatMap((p) => [p[0]! - mean[0]!, p[1]! - mean[1]!]);
}

function bounds(
  scene: Scene,
  corners: readonly BoardPoint[],
): { x0: number; x1: number; y0: number; y1: number } {
  const p: PhotoPoint[] = corners.map((c) => applyHomography(scene.view, c));
  return {
    x0: Math.max(0, Math.floor(Math.min(...p.map((q) => q.x))) - 1),
    x1: Math.min(scene.width - 1, Math.ceil(Math.max(...p.map((q) => q.x))) + 1),
    y0: Math.max(0, Math.floor(Math.min(...p.map((q) => q.y))) - 1),
    y1: Math.min(scene.height - 1, Math.ceil(Math.max(...p.map((q) => q.y))) + 1),
  };
}

function blur(plane: Float32Array, width: number, height: number, sigma: number): void {
  const r = Math.ceil(4 * sigma);
  const kernel = Array.from({ length: 2 * r + 1 }, (_, i) => Math.exp(-((i - r) ** 2) / (2 * sigma * sigma)));
  const total = kernel.reduce((a, b) => a + b, 0);
  const line = new Float32Array(Math.max(width, height));
  const pass = (start: number, step: number, n: number): void => {
    for (let i = 0; i < n; i++) line[i] = plane[start + i * step]!;
    for (let i = 0; i < n; i++) {
      let s = 0;
      for (let k = -r; k <= r; k++) s += kernel[k + r]! * line[Math.min(n - 1, Math.max(0, i + k))]!;
      plane[start + i * step] = s / total;
    }
  };
  for (let y = 0; y < height; y++) pass(y * width, 1, width);
  for (let x = 0; x < width; x++) pass(x, width, height);
}

/** Normal deviates to draw from: quicker than making each. */
const DEVIATES = (() => {
  const next = generator(2026);
  const all = Float64Array.from(
    { length: 65536 },
    () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  );
  const mean = all.reduce((a, b) => a + b, 0) / all.length;
  return all.map((v) => v - mean);
})();

function coded(scene: Scene, linear: Float32Array): Raster {
  const { width, height } = scene;
  // The tone curve by table: 65536 steps are finer than any level.
  const curve = scene.tone ?? srgb;
  const table = Float32Array.from({ length: 65537 }, (_, i) => 255 * curve(i / 65536));
  const tone = (v: number): number => (v >= 1 ? 255 * curve(v) : table[Math.max(0, Math.round(v * 65536))]!);
  const next = generator(scene.seed ?? 1);
  const noise = scene.noise ?? 0;
  const data = new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const level = tone(linear[y * width + x]!);
      const out = 3 * (y * width + (scene.mirrored ? width - 1 - x : x));
      for (let c = 0; c < 3; c++) {
        const n = noise > 0 ? noise * DEVIATES[(next() * DEVIATES.length) | 0]! : 0;
        data[out + c] = Math.min(255, Math.max(0, Math.round(level + n)));
      }
    }
  }
  return { width, height, channels: 3, maxLevel: 255, data };
}

/**
 * A camera in front of the board: where it stands (board mm, Z out of the board), where it looks, its focal length.
 * @returns the homography board mm to photo px, square pixels, principal point in the middle.
 */
export function cameraView(camera: {
  readonly at: { readonly X: number; readonly Y: number; readonly Z: number };
  readonly lookAt: BoardPoint;
  readonly rollDeg?: number;
  readonly focalPx: number;
  readonly width: number;
  readonly height: number;
}): Homography {
  const { at, lookAt, focalPx: f } = camera;
  const len = Math.hypot(lookAt.X - at.X, lookAt.Y - at.Y, at.Z);
  const z = [(lookAt.X - at.X) / len, (lookAt.Y - at.Y) / len, -at.Z / len] as const;
  // Right = forward x up, then roll; photo y runs down.
  const rl = Math.hypot(z[2], z[0]);
  const right = [-z[2] / rl, 0, z[0] / rl] as const;
  const down = [
    z[1] * right[2] - z[2] * right[1],
    z[2] * right[0] - z[0] * right[2],
    z[0] * right[1] - z[1] * right[0],
  ] as const;
  const c = Math.cos(((camera.rollDeg ?? 0) * Math.PI) / 180);
  const s = Math.sin(((camera.rollDeg ?? 0) * Math.PI) / 180);
  const a = right.map((v, i) => c * v + s * down[i]!);
  const b = right.map((v, i) => -s * v + c * down[i]!);
  const row = (v: readonly number[]): number[] => [
    v[0]!,
    v[1]!,
    -(v[0]! * at.X + v[1]! * at.Y + v[2]! * at.Z),
  ];
  const cx = (camera.width - 1) / 2;
  const cy = (camera.height - 1) / 2;
  const [ra, rb, rz] = [row(a), row(b), row([...z])];
  const h = [...ra.map((v, i) => f * v + cx * rz[i]!), ...rb.map((v, i) => f * v + cy * rz[i]!), ...rz];
  return h.map((v) => v / h[8]!);
}
