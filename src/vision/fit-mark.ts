import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { PhotoPoint } from '../core/frames.ts';
import type { Homography } from '../core/geometry/homography.ts';
import type { LinearSource } from './linear-source.ts';
import { MARK_CELLS } from './mark-design.ts';
import { choosePixels, fitGain, inverse3, type Pixels, paddedBits, someOf } from './mark-pixels.ts';
import { PatternModel } from './pattern-model.ts';

/**
 * The exact place of a mark: the whole printed pattern, blurred, is fitted to the pixels in linear light. All edges
 * count, inner ones too; black that has grown or shrunk (ink spread, a tone curve that is not sRGB) is a parameter of
 * its own, so it does not move the corners.
 */

export interface MarkFit {
  readonly toPhoto: Homography;
  /** Outer corners of the border, in the order of MARK_CORNERS, px of the source. */
  readonly corners: readonly [PhotoPoint, PhotoPoint, PhotoPoint, PhotoPoint];
  /** Standard uncertainty of a corner's coordinate, px, root mean square over the four. */
  readonly uPx: number;
  readonly blurPx: number;
  /** How far black reaches over its nominal edge, px. */
  readonly growthPx: number;
  /** White and black in the middle of the mark, linear light. */
  readonly whiteLevel: number;
  readonly blackLevel: number;
  /** Correlation of pattern and pixels, 0 to 1, weighted as fitted. */
  readonly likeness: number;
}

// Parameters: 8 of the homography, blur, growth, 6 of the light (quadratic), 1 of the haze.
const BLUR = 8;
const GROWTH = 9;
const LIGHT = 10;
const HAZE = 16;
const COUNT = 17;
/** Black over white in light: nominal; what differs goes into the haze. */
const BLACK_PART = 0.06;
/** What the model leaves out (blur that is not round, lens bend inside a mark) is worth this much. */
const MODEL_FLOOR_PX = 0.02;
/** So many pixels find the place; up to so many settle it, fewer when that would not better this uncertainty, px. */
const FIRST_PIXELS = 350;
const LEAST_PIXELS = 600;
const MOST_PIXELS = 1200;
const ENOUGH_PX = 0.028;
/**
 * Root mean square of ln(local light) beyond which edges of light pass for edges of print, and px of doubt per unit of
 * it: from drawn cut-offs of 8 to 40 mm scale through a sheet, where errors stayed within twice this.
 */
const MOST_SPREAD = 0.2;
const U_PER_SPREAD_PX = 0.6;
/** Burnt-out paper hides half of every edge: px of doubt per part of burnt pixels, from drawn marks up to 5 times over. */
const U_PER_BURNT_PX = 0.3;

/**
 * @param source the picture. @param start mark frame to source px, right to a pixel or the blur, whichever is more.
 * @param cells the 36 cells of the field as it lies in the mark frame.
 * @returns null when the fit runs away or too few pixels can be used.
 */
export function fitMark(
  source: LinearSource,
  start: Homography,
  cells: ArrayLike<number>,
  startBlurPx: number,
): MarkFit | null {
  const bits = paddedBits(cells);
  const all = choosePixels(source, start, bits, MOST_PIXELS);
  if (all.n < 150) return null;
  const p = new Float64Array(COUNT);
  for (let i = 0; i < 8; i++) p[i] = toCentred(start)[i]!;
  p[BLUR] = startBlurPx;
  p[GROWTH] = 0;
  const model = new PatternModel(bits);
  const some = someOf(all, FIRST_PIXELS);
  if (!startLight(model, some, p)) return null;
  // A few hundred pixels find the place; all of them then settle it, and what still sticks out (a speck, a shadow,
  // tape over a corner) loses weight.
  const first = iterate(model, some, p, Number.POSITIVE_INFINITY, 10, 1e-3);
  if (first === null) return null;
  const rough = finish(p, first, some, 0);
  if (rough === null) return null;
  // A clear mark is settled by the first pixels already; a faint one needs all.
  const enough = Math.round(FIRST_PIXELS * (rough.uPx / ENOUGH_PX) ** 2);
  const pixels = someOf(all, Math.min(Math.max(enough, LEAST_PIXELS), MOST_PIXELS));
  const limit = 3 * Math.sqrt(first.cost / some.n);
  // Burnt-out paper says nothing of local light, and black alone would mislead it.
  const burntPart = pixels.clipped.reduce((sum, c) => sum + c, 0) / pixels.n;
  const burnt = burntPart > 0.1;
  let system = buildSystem(model, pixels, p, limit);
  for (const most of [1, 2]) {
    if (system === null) return null;
    if (!burnt) fitGain(pixels, p[HAZE]!, system.cost / pixels.n);
    system = iterate(model, pixels, p, limit, most, 1e-3);
  }
  const spread = Math.sqrt(pixels.gain.reduce((sum, g) => sum + Math.log(g) ** 2, 0) / pixels.n);
  if (system === null || spread > MOST_SPREAD) return null;
  return finish(p, system, pixels, U_PER_SPREAD_PX * spread + (burnt ? U_PER_BURNT_PX * burntPart : 0));
}

/** Damped Gauss-Newton steps on `p`, in place. */
function iterate(
  model: PatternModel,
  pixels: Pixels,
  p: Float64Array,
  limit: number,
  most: number,
  leastGain: number,
): System | null {
  let damping = 1e-3;
  let system = buildSystem(model, pixels, p, limit);
  for (let iteration = 0; iteration < most && system !== null; iteration++) {
    const step = solve(system, damping);
    if (step === null) return null;
    const q = p.map((v, i) => v + step[i]!);
    q[BLUR] = Math.min(Math.max(q[BLUR]!, 0.35), 8);
    q[GROWTH] = Math.min(Math.max(q[GROWTH]!, -1.2), 1.2);
    const next = buildSystem(model, pixels, q, limit);
    if (next !== null && next.cost <= system.cost) {
      const gain = system.cost - next.cost;
      p.set(q);
      const before = system.cost;
      system = next;
      damping = Math.max(damping / 10, 1e-7);
      if (gain < leastGain * before) break;
    } else {
      damping *= 10;
      if (damping > 1e3) break;
    }
  }
  return system;
}

/** Homography of centred mark coordinates (-1 to 1), which keeps the equations well conditioned. */
function toCentred(h: Homography): number[] {
  const m = MARK_CELLS / 2;
  const g = [
    h[0]! * m,
    h[1]! * m,
    h[0]! * m + h[1]! * m + h[2]!,
    h[3]! * m,
    h[4]! * m,
    h[3]! * m + h[4]! * m + h[5]!,
    h[6]! * m,
    h[7]! * m,
    h[6]! * m + h[7]! * m + h[8]!,
  ];
  return g.map((v) => v / g[8]!);
}

/** Normal equations of one linearisation. */
interface System {
  readonly normal: Float64Array;
  readonly gradient: Float64Array;
  readonly cost: number;
  readonly used: number;
}

let buffer = new Float64Array(0);

/** Model, residuals and derivatives at all pixels, summed up. */
function buildSystem(model: PatternModel, pixels: Pixels, p: Float64Array, limit: number): System | null {
  const h = [...p.subarray(0, 8), 1];
  const inv = inverse3(h);
  const det = h[0]! * inv[0]! + h[1]! * inv[3]! + h[2]! * inv[6]!;
  if (!(Math.abs(det) > 1e-12)) return null;
  const half = MARK_CELLS / 2;
  const { n } = pixels;
  // One buffer for all: filled anew each time, zero where a pixel is left out.
  if (buffer.length < (COUNT + 1) * n) buffer = new Float64Array((COUNT + 1) * n);
  const columns = buffer.subarray(0, (COUNT + 1) * n).fill(0);
  const light = p.slice(LIGHT, HAZE);
  const blur = p[BLUR]!;
  let cost = 0;
  for (let i = 0; i < pixels.n; i++) {
    const gain = pixels.gain[i]!;
    const x = pixels.x[i]!;
    const y = pixels.y[i]!;
    const wi = inv[6]! * x + inv[7]! * y + inv[8]!;
    const U = (inv[0]! * x + inv[1]! * y + inv[2]!) / wi;
    const V = (inv[3]! * x + inv[4]! * y + inv[5]!) / wi;
    if (!(Math.abs(U) < 1.6 && Math.abs(V) < 1.6)) return null;
    // Photo derivatives by (U, V), then their inverse: how U and V move with the pixel.
    const w = h[6]! * U + h[7]! * V + 1;
    const xu = (h[0]! - h[6]! * x) / w;
    const xv = (h[1]! - h[7]! * x) / w;
    const yu = (h[3]! - h[6]! * y) / w;
    const yv = (h[4]! - h[7]! * y) / w;
    const d = 1 / (xu * yv - xv * yu);
    const ux = yv * d;
    const uy = -xv * d;
    const vx = -yu * d;
    const vy = xu * d;
    model.evaluate(
      (U + 1) * half,
      (V + 1) * half,
      blur * half * Math.sqrt(ux * ux + uy * uy),
      blur * half * Math.sqrt(vx * vx + vy * vy),
    );
    const growth = p[GROWTH]!;
    const t = gain * (BLACK_PART + (1 - BLACK_PART) * (model.value + growth * model.dGrowth));
    // Where the light drops as a step the quadratic may dip below zero: it is held above.
    const e = Math.max(
      light[0]! + light[1]! * U + light[2]! * V + light[3]! * U * U + light[4]! * U * V + light[5]! * V * V,
      0.01 * light[0]!,
    );
    const smooth = e * t;
    const r = smooth + p[HAZE]! - pixels.value[i]!;
    pixels.u[i] = U;
    pixels.v[i] = V;
    pixels.model[i] = smooth;
    // A burnt-out pixel only says 'at least so bright'.
    if (pixels.clipped[i] === 1 && r >= 0) continue;
    const weight = Math.abs(r) > limit ? limit / Math.abs(r) : 1;
    const slope = gain * e * (1 - BLACK_PART);
    const mU = slope * model.dX * half;
    const mV = slope * model.dY * half;
    // A shift of the mark by (dx, dy) at this pixel moves the pattern under it the other way.
    const mx = -(mU * ux + mV * vx) / w;
    const my = -(mU * uy + mV * vy) / w;
    const along = -(mx * x + my * y);
    const k = Math.sqrt(weight);
    const kt = k * t;
    const gx = k * mx;
    const gy = k * my;
    const ga = k * along;
    columns[i] = gx * U;
    columns[n + i] = gx * V;
    columns[2 * n + i] = gx;
    columns[3 * n + i] = gy * U;
    columns[4 * n + i] = gy * V;
    columns[5 * n + i] = gy;
    columns[6 * n + i] = ga * U;
    columns[7 * n + i] = ga * V;
    columns[BLUR * n + i] = (k * slope * model.dLogBlur) / blur;
    columns[GROWTH * n + i] = k * slope * model.dGrowth;
    columns[LIGHT * n + i] = kt;
    columns[(LIGHT + 1) * n + i] = kt * U;
    columns[(LIGHT + 2) * n + i] = kt * V;
    columns[(LIGHT + 3) * n + i] = kt * U * U;
    columns[(LIGHT + 4) * n + i] = kt * U * V;
    columns[(LIGHT + 5) * n + i] = kt * V * V;
    columns[HAZE * n + i] = k;
    columns[COUNT * n + i] = k * r;
    cost += weight * r * r;
  }
  return Number.isFinite(cost) ? { ...products(columns, n), cost, used: n } : null;
}

/** JᵀJ (lower triangle) and Jᵀr from columns of n rows; r is the last column. Four products at a time: it is most of the time. */
function products(columns: Float64Array, n: number): Pick<System, 'normal' | 'gradient'> {
  const normal = new Float64Array(COUNT * COUNT);
  const gradient = new Float64Array(COUNT);
  for (let a = 0; a <= COUNT; a++) {
    const last = Math.min(a, COUNT - 1);
    for (let b = 0; b <= last; b += 4) {
      const ca = a * n;
      const c0 = b * n;
      const c1 = Math.min(b + 1, last) * n;
      const c2 = Math.min(b + 2, last) * n;
      const c3 = Math.min(b + 3, last) * n;
      let s0 = 0;
      let s1 = 0;
      let s2 = 0;
      let s3 = 0;
      for (let i = 0; i < n; i++) {
        const v = columns[ca + i]!;
        s0 += v * columns[c0 + i]!;
        s1 += v * columns[c1 + i]!;
        s2 += v * columns[c2 + i]!;
        s3 += v * columns[c3 + i]!;
      }
      const into = a === COUNT ? gradient : normal;
      const at = (a === COUNT ? 0 : a * COUNT) + b;
      into[at] = s0;
      if (b + 1 <= last) into[at + 1] = s1;
      if (b + 2 <= last) into[at + 2] = s2;
      if (b + 3 <= last) into[at + 3] = s3;
    }
  }
  return { normal, gradient };
}

/** First light and haze, linear least squares with the pattern where the outline put it. */
function startLight(model: PatternModel, pixels: Pixels, p: Float64Array): boolean {
  const system = buildSystem(model, pixels, p, Number.POSITIVE_INFINITY);
  if (system === null) return false;
  const linear = [LIGHT, LIGHT + 1, LIGHT + 2, HAZE];
  const m = new Matrix(linear.length, linear.length);
  linear.forEach((a, i) => {
    linear.forEach((b, j) => {
      m.set(i, j, system.normal[Math.max(a, b) * COUNT + Math.min(a, b)]!);
    });
  });
  const cholesky = new CholeskyDecomposition(m);
  if (!cholesky.isPositiveDefinite()) return false;
  const step = cholesky.solve(Matrix.columnVector(linear.map((a) => system.gradient[a]!)));
  linear.forEach((a, i) => {
    p[a] = p[a]! - step.get(i, 0);
  });
  return p[LIGHT]! > 0;
}

/** The damped step: diagonal scaled to one first, since px, blur and light have nothing in common. */
function solve(system: System, damping: number): Float64Array | null {
  const { matrix, scale } = scaledNormal(system.normal, damping);
  const cholesky = new CholeskyDecomposition(matrix);
  if (!cholesky.isPositiveDefinite()) return null;
  const rhs = Matrix.columnVector(Array.from(system.gradient, (g, i) => g / scale[i]!));
  const step = cholesky.solve(rhs);
  return system.gradient.map((_, i) => -step.get(i, 0) / scale[i]!);
}

function scaledNormal(normal: Float64Array, damping: number): { matrix: Matrix; scale: number[] } {
  const scale = Array.from({ length: COUNT }, (_, i) => Math.sqrt(normal[i * COUNT + i]!) || 1);
  const matrix = new Matrix(COUNT, COUNT);
  for (let a = 0; a < COUNT; a++) {
    for (let b = 0; b <= a; b++) {
      const v = normal[a * COUNT + b]! / (scale[a]! * scale[b]!);
      matrix.set(a, b, v);
      matrix.set(b, a, v);
    }
    matrix.set(a, a, matrix.get(a, a) + damping);
  }
  return { matrix, scale };
}

function finish(p: Float64Array, system: System, pixels: Pixels, uLightPx: number): MarkFit | null {
  const { matrix, scale } = scaledNormal(system.normal, 1e-10);
  const cholesky = new CholeskyDecomposition(matrix);
  if (!cholesky.isPositiveDefinite()) return null;
  const variance = system.cost / Math.max(1, system.used - COUNT);
  const inv = cholesky.solve(Matrix.eye(COUNT));
  const cov = (a: number, b: number): number => (variance * inv.get(a, b)) / (scale[a]! * scale[b]!);
  let sum = 0;
  const corners = CENTRED_CORNERS.map(([U, V]): PhotoPoint => {
    const w = p[6]! * U + p[7]! * V + 1;
    const x = (p[0]! * U + p[1]! * V + p[2]!) / w;
    const y = (p[3]! * U + p[4]! * V + p[5]!) / w;
    const jx = [U / w, V / w, 1 / w, 0, 0, 0, (-x * U) / w, (-x * V) / w];
    const jy = [0, 0, 0, U / w, V / w, 1 / w, (-y * U) / w, (-y * V) / w];
    for (const j of [jx, jy]) {
      for (let a = 0; a < 8; a++) for (let b = 0; b < 8; b++) sum += j[a]! * j[b]! * cov(a, b);
    }
    return { x, y };
  });
  const mean = pixels.value.reduce((s, v) => s + v, 0) / pixels.n;
  const total = pixels.value.reduce((s, v) => s + (v - mean) ** 2, 0);
  const uPx = Math.hypot(Math.sqrt(sum / 8), MODEL_FLOOR_PX, uLightPx);
  if (!Number.isFinite(uPx)) return null;
  return {
    toPhoto: fromCentred(p),
    corners: corners as unknown as MarkFit['corners'],
    uPx,
    blurPx: p[BLUR]!,
    growthPx: p[GROWTH]! * p[BLUR]!,
    whiteLevel: p[LIGHT]! + p[HAZE]!,
    blackLevel: p[LIGHT]! * BLACK_PART + p[HAZE]!,
    likeness: 1 - system.cost / total,
  };
}

const CENTRED_CORNERS = [
  [-1, -1],
  [1, -1],
  [1, 1],
  [-1, 1],
] as const;

/** Back from centred coordinates to cells. */
function fromCentred(p: Float64Array): Homography {
  const k = 2 / MARK_CELLS;
  return [
    p[0]! * k,
    p[1]! * k,
    p[2]! - p[0]! - p[1]!,
    p[3]! * k,
    p[4]! * k,
    p[5]! - p[3]! - p[4]!,
    p[6]! * k,
    p[7]! * k,
    1 - p[6]! - p[7]!,
  ];
}
