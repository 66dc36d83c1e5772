import type { Homography } from '../core/geometry/homography.ts';
import type { LinearSource } from './linear-source.ts';
import { MARK_CELLS } from './mark-design.ts';
import { OUT, PADDED } from './pattern-model.ts';

/** The pixels that a mark is fitted to, and how its light differs from a smooth one. */

/** How far out of the mark pixels count, cells. */
const MARGIN = 0.8;

/** Pixels of a mark, with a workspace for the fit. */
export interface Pixels {
  readonly n: number;
  /** Local light over the quadratic's, 1 until it is fitted. */
  readonly gain: Float64Array;
  /** Of the last linearisation: centred mark coordinates, and the model's light less haze. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly model: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly value: Float64Array;
  readonly clipped: Uint8Array;
}

/** All pixels of a small mark; of a large one those near edges of the pattern, plus some of the plain parts. */
export function choosePixels(source: LinearSource, h: Homography, bits: Float64Array, most: number): Pixels {
  const project = (X: number, Y: number): [number, number] => {
    const w = h[6]! * X + h[7]! * Y + h[8]!;
    return [(h[0]! * X + h[1]! * Y + h[2]!) / w, (h[3]! * X + h[4]! * Y + h[5]!) / w];
  };
  const far = MARK_CELLS + MARGIN;
  const hull = [project(-MARGIN, -MARGIN), project(far, -MARGIN), project(far, far), project(-MARGIN, far)];
  const x0 = Math.max(0, Math.floor(Math.min(...hull.map((q) => q[0]))));
  const x1 = Math.min(source.width - 1, Math.ceil(Math.max(...hull.map((q) => q[0]))));
  const y0 = Math.max(0, Math.floor(Math.min(...hull.map((q) => q[1]))));
  const y1 = Math.min(source.height - 1, Math.ceil(Math.max(...hull.map((q) => q[1]))));
  const inv = inverse3(h);
  const xs: number[] = [];
  const ys: number[] = [];
  const plainX: number[] = [];
  const plainY: number[] = [];
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const w = inv[6]! * x + inv[7]! * y + inv[8]!;
      const X = (inv[0]! * x + inv[1]! * y + inv[2]!) / w;
      const Y = (inv[3]! * x + inv[4]! * y + inv[5]!) / w;
      if (!(X > -MARGIN && X < far && Y > -MARGIN && Y < far)) continue;
      if (nearEdge(bits, X, Y)) {
        xs.push(x);
        ys.push(y);
      } else {
        plainX.push(x);
        plainY.push(y);
      }
    }
  }
  thin(xs, ys, most * 0.8);
  thin(plainX, plainY, most * 0.2);
  const n = xs.length + plainX.length;
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  const value = new Float64Array(n);
  const clipped = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    const plain = i - xs.length;
    x[i] = plain < 0 ? xs[i]! : plainX[plain]!;
    y[i] = plain < 0 ? ys[i]! : plainY[plain]!;
    value[i] = source.linear(x[i]!, y[i]!);
    clipped[i] = source.clipped(x[i]!, y[i]!) ? 1 : 0;
  }
  return { n, x, y, value, clipped, ...workspace(n) };
}

function workspace(n: number): Pick<Pixels, 'gain' | 'u' | 'v' | 'model'> {
  return {
    gain: new Float64Array(n).fill(1),
    u: new Float64Array(n),
    v: new Float64Array(n),
    model: new Float64Array(n),
  };
}

/** About `most` of the pixels, evenly spread over them. */
export function someOf(pixels: Pixels, most: number): Pixels {
  if (pixels.n <= most) return pixels;
  const step = pixels.n / most;
  const take = <T extends Float64Array | Uint8Array>(from: T, into: T): T => {
    for (let i = 0; i < into.length; i++) into[i] = from[Math.floor(i * step)]!;
    return into;
  };
  return {
    n: most,
    x: take(pixels.x, new Float64Array(most)),
    y: take(pixels.y, new Float64Array(most)),
    value: take(pixels.value, new Float64Array(most)),
    clipped: take(pixels.clipped, new Uint8Array(most)),
    ...workspace(most),
  };
}

/** Whether a black-white edge lies within a third of a cell. */
function nearEdge(bits: Float64Array, X: number, Y: number): boolean {
  const reach = 0.34;
  const a = Math.floor(X - reach) + OUT;
  const b = Math.floor(X + reach) + OUT;
  const c = Math.floor(Y - reach) + OUT;
  const d = Math.floor(Y + reach) + OUT;
  const first = bits[c * PADDED + a]!;
  return bits[c * PADDED + b] !== first || bits[d * PADDED + a] !== first || bits[d * PADDED + b] !== first;
}

/** Keeps about `most` of the places, spread by the golden ratio so that no pattern of pixels is favoured. */
function thin(xs: number[], ys: number[], most: number): void {
  const n = xs.length;
  if (n <= most) return;
  const keep = most / n;
  let out = 0;
  for (let i = 0; i < n; i++) {
    if ((i * 0.6180339887498949) % 1 < keep) {
      xs[out] = xs[i]!;
      ys[out] = ys[i]!;
      out++;
    }
  }
  xs.length = out;
  ys.length = out;
}

/** Adjugate of a homography: the way back but for a factor. */
export function inverse3(h: Homography): number[] {
  const [a, b, c, d, e, f, g, k, i] = h as readonly [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  return [
    e * i - f * k,
    c * k - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * k - e * g,
    b * g - a * k,
    a * e - b * d,
  ];
}

/** The field with its black border and two cells of white around, row after row. */
export function paddedBits(cells: ArrayLike<number>): Float64Array {
  const bits = new Float64Array(PADDED * PADDED).fill(1);
  for (let r = 0; r < MARK_CELLS; r++) {
    for (let c = 0; c < MARK_CELLS; c++) {
      const inner = r > 0 && c > 0 && r < MARK_CELLS - 1 && c < MARK_CELLS - 1;
      bits[(r + OUT) * PADDED + c + OUT] = inner ? cells[(r - 1) * (MARK_CELLS - 2) + c - 1]! : 0;
    }
  }
  return bits;
}

/** Nodes of the local light along a side, over -REACH to REACH of the centred coordinates. */
const NODES = 10;
const REACH = 1.25;
/** How much the light may locally differ from a quadratic, as a prior. */
const GAIN_SPREAD = 0.3;
/**
 * Local light: what is left of value over model, averaged over about a cell. It lets the cut-off run through a mark.
 * In noise the prior keeps it at 1, so that it does not eat the edges.
 */
export function fitGain(pixels: Pixels, haze: number, noiseVariance: number): void {
  const prior = noiseVariance / (GAIN_SPREAD * GAIN_SPREAD);
  const top = new Float64Array(NODES * NODES).fill(prior);
  const bottom = new Float64Array(NODES * NODES).fill(prior);
  const each = (visit: (i: number, node: number, weight: number) => void): void => {
    for (let i = 0; i < pixels.n; i++) {
      const a = ((pixels.u[i]! + REACH) / (2 * REACH)) * (NODES - 1);
      const b = ((pixels.v[i]! + REACH) / (2 * REACH)) * (NODES - 1);
      const c = Math.min(Math.max(Math.floor(a), 0), NODES - 2);
      const r = Math.min(Math.max(Math.floor(b), 0), NODES - 2);
      const x = Math.min(Math.max(a - c, 0), 1);
      const y = Math.min(Math.max(b - r, 0), 1);
      visit(i, r * NODES + c, (1 - x) * (1 - y));
      visit(i, r * NODES + c + 1, x * (1 - y));
      visit(i, (r + 1) * NODES + c, (1 - x) * y);
      visit(i, (r + 1) * NODES + c + 1, x * y);
    }
  };
  each((i, node, weight) => {
    if (pixels.clipped[i] === 1) return;
    const m = pixels.model[i]!;
    top[node]! += weight * m * (pixels.value[i]! - haze);
    bottom[node]! += weight * m * m;
  });
  const factor = new Float64Array(pixels.n);
  each((i, node, weight) => {
    factor[i]! += weight * Math.min(Math.max(top[node]! / bottom[node]!, 0.05), 5);
  });
  for (let i = 0; i < pixels.n; i++) pixels.gain[i]! *= factor[i]!;
}
