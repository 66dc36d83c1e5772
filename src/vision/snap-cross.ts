import type { PhotoPoint } from '../core/frames.ts';
import { fitLeastSquares } from '../core/geometry/least-squares.ts';
import type { Raster } from '../core/raster.ts';
import { type Band, cutPatch, eachInDisc, findBands, type Patch } from './cross-bands.ts';
import { photoSource } from './linear-source.ts';
import { normalCdf } from './pattern-model.ts';

/** A tap brought to the crossing beside it, or why not. */
export type SnappedCross =
  | {
      readonly found: true;
      readonly at: PhotoPoint;
      /** Standard uncertainty of x and of y, px. */
      readonly uPx: number;
      /** Widths of the two strokes, px. */
      readonly strokePx: readonly [number, number];
      /** Strokes darker or lighter than the board. */
      readonly darker: boolean;
    }
  | {
      readonly found: false;
      readonly why: 'outside-photo' | 'no-cross' | 'too-faint';
      readonly detail: string;
    };

/** Contrast over its uncertainty that each of the four arms must show. */
const LEAST_CLARITY = 5;
/** Strokes fainter than this part of the light around are not told from stains. */
const LEAST_CONTRAST = 0.02;
/** Crossings sharper than 30 degrees are not taken. */
const LEAST_ANGLE = Math.PI / 6;
/** Tape is not cut straight and a pen line wavers: px that no fit can remove. */
const U_FLOOR_PX = 0.1;

/**
 * The crossing of two strokes near a tap: tape of 10 to 25 mm or a pen line, darker or lighter than the board.
 * Two bands are searched for in discs of three sizes; then both, their crossing, the blur and the light around are fitted
 * to the pixels together.
 *
 * @param tap photo px. @param radiusPx how far the crossing may be from the tap.
 * @returns the crossing of the middle lines with its uncertainty; or that there is none, it is too faint, or the tap is off.
 */
export function snapCross(raster: Raster, tap: PhotoPoint, radiusPx = 15): SnappedCross {
  const source = photoSource(raster);
  if (!(tap.x >= 0 && tap.y >= 0 && tap.x <= raster.width - 1 && tap.y <= raster.height - 1)) {
    return { found: false, why: 'outside-photo', detail: 'The tap is outside the photo.' };
  }
  let faint = false;
  let best: { cross: Cross; patch: Patch } | null = null;
  for (const reach of [radiusPx + 14, radiusPx + 30, radiusPx + 52]) {
    const patch = cutPatch(source, tap, reach);
    if (patch === null) continue;
    const bands = findBands(patch, tap, reach);
    for (const cross of crossesOf(bands, tap, radiusPx, patch)) {
      const arms = armClarity(patch, cross);
      if (arms === null) continue;
      if (arms < LEAST_CLARITY || Math.abs(cross.a.contrast) < LEAST_CONTRAST) {
        faint = true;
        continue;
      }
      if (best === null || cross.clarity > best.cross.clarity) best = { cross, patch };
    }
  }
  if (best === null) {
    return faint
      ? { found: false, why: 'too-faint', detail: 'The cross hardly stands out from the board here.' }
      : { found: false, why: 'no-cross', detail: `No two strokes cross within ${radiusPx} px of the tap.` };
  }
  return refine(best.patch, best.cross, tap, radiusPx);
}

interface Cross {
  readonly a: Band;
  readonly b: Band;
  /** Photo px. */
  readonly at: PhotoPoint;
  readonly clarity: number;
}

function crossesOf(
  bands: readonly Band[],
  tap: PhotoPoint,
  radiusPx: number,
  patch: Patch,
): readonly Cross[] {
  const out: Cross[] = [];
  bands.slice(0, 10).forEach((a, i) => {
    for (const b of bands.slice(0, i)) {
      const sine = Math.sin(a.angle - b.angle);
      if (Math.abs(sine) < Math.sin(LEAST_ANGLE) || a.contrast * b.contrast <= 0) continue;
      if (Math.abs(Math.log(a.contrast / b.contrast)) > 1.4) continue;
      // n_a · p = offset_a, n_b · p = offset_b.
      const x = (a.offset * Math.sin(b.angle) - b.offset * Math.sin(a.angle)) / -sine;
      const y = (b.offset * Math.cos(a.angle) - a.offset * Math.cos(b.angle)) / -sine;
      const at = { x: tap.x + x, y: tap.y + y };
      if (Math.hypot(x, y) > radiusPx + 2) continue;
      if (at.x < patch.x0 || at.y < patch.y0) continue;
      out.push({ a, b, at, clarity: Math.min(a.clarity, b.clarity) });
    }
  });
  return out.sort((p, q) => q.clarity - p.clarity).slice(0, 4);
}

/** The least clear of the four arms, each looked at on its own; null when an arm is missing. */
function armClarity(patch: Patch, cross: Cross): number | null {
  let least = Number.POSITIVE_INFINITY;
  for (const [band, other] of [
    [cross.a, cross.b],
    [cross.b, cross.a],
  ] as const) {
    const nx = Math.cos(band.angle);
    const ny = Math.sin(band.angle);
    const clear = other.width / 2 / Math.abs(Math.sin(band.angle - other.angle)) + 3;
    for (const way of [1, -1]) {
      const arm = [0, 0, 0];
      const count = [0, 0, 0];
      eachInDisc(
        patch,
        cross.at.x - patch.x0,
        cross.at.y - patch.y0,
        clear + 12 + band.width / 2,
        (x, y, v) => {
          const dx = x + patch.x0 - cross.at.x;
          const dy = y + patch.y0 - cross.at.y;
          const along = way * (-ny * dx + nx * dy);
          const across = nx * dx + ny * dy;
          if (along < clear || along > clear + 12) return;
          const half = band.width / 2;
          const k =
            Math.abs(across) < half
              ? 1
              : across > half + 1 && across < half + 5
                ? 2
                : across < -half - 1 && across > -half - 5
                  ? 0
                  : -1;
          if (k < 0) return;
          arm[k]! += v;
          count[k]!++;
        },
      );
      if (count.some((n) => n < 4)) return null;
      const [left, middle, right] = arm.map((s, i) => s / count[i]!) as [number, number, number];
      const sign = Math.sign(band.contrast);
      const contrast = sign * middle - Math.max(sign * left, sign * right);
      if (contrast < 0.3 * Math.abs(band.contrast)) return null;
      least = Math.min(
        least,
        contrast / (patch.noise * Math.sqrt(1 / count[1]! + 1 / Math.min(count[0]!, count[2]!))),
      );
    }
  }
  return least;
}

/** Most pixels in the fit: enough for its floor. */
const MOST_PIXELS = 900;

/** Both strokes, the crossing, blur and light around fitted to the pixels together. */
function refine(patch: Patch, cross: Cross, tap: PhotoPoint, radiusPx: number): SnappedCross {
  const widest = Math.max(cross.a.width, cross.b.width);
  const radius = 0.75 * widest + 14;
  const xs: number[] = [];
  const ys: number[] = [];
  const values: number[] = [];
  eachInDisc(patch, cross.at.x - patch.x0, cross.at.y - patch.y0, radius, (x, y, v) => {
    xs.push(x + patch.x0 - cross.at.x);
    ys.push(y + patch.y0 - cross.at.y);
    values.push(v);
  });
  const keep = Math.min(1, MOST_PIXELS / values.length);
  const use = values.map((_, i) => i).filter((i) => (i * 0.6180339887498949) % 1 < keep);
  const k = 1 / Math.max(patch.noise, 0.002);
  const around = (cross.a.contrast + cross.b.contrast) / 2;
  const residuals = (q: readonly number[]): number[] => {
    const [cx, cy, ta, tb, wa, wb, blur, ca, cb, both, ...light] = q as [
      number,
      number,
      number,
      number,
      number,
      number,
      number,
      number,
      number,
      number,
      ...number[],
    ];
    const s = Math.abs(blur) + 0.2;
    const [ax, ay, bx, by] = [Math.cos(ta), Math.sin(ta), Math.cos(tb), Math.sin(tb)];
    const r = use.map((i) => {
      const dx = xs[i]! - cx;
      const dy = ys[i]! - cy;
      const a = dx * ax + dy * ay;
      const b = dx * bx + dy * by;
      const inA = normalCdf((a + wa / 2) / s) - normalCdf((a - wa / 2) / s);
      const inB = normalCdf((b + wb / 2) / s) - normalCdf((b - wb / 2) / s);
      const U = dx / radius;
      const V = dy / radius;
      const e =
        light[0]! + light[1]! * U + light[2]! * V + light[3]! * U * U + light[4]! * U * V + light[5]! * V * V;
      return k * (e * (1 + ca * inA + cb * inB + both * inA * inB) - values[i]!);
    });
    // Width and blur of a thin line can't be told apart: a weak prior on the blur.
    r.push((blur - 0.9) / 0.5);
    return r;
  };
  const start = [
    0,
    0,
    cross.a.angle,
    cross.b.angle,
    cross.a.width,
    cross.b.width,
    0.9,
    cross.a.contrast,
    cross.b.contrast,
    -around,
    1,
    0,
    0,
    0,
    0,
    0,
  ];
  const scales = [1, 1, 0.1, 0.1, 1, 1, 1, 0.1, 0.1, 0.1, 1, 1, 1, 1, 1, 1];
  const fit = fitLeastSquares({ start, scales, residuals, maxIterations: 15 });
  const p = fit.params;
  const at = { x: cross.at.x + p[0]!, y: cross.at.y + p[1]! };
  if (Math.hypot(at.x - tap.x, at.y - tap.y) > radiusPx + 1 || fit.covariance === null) {
    return {
      found: false,
      why: 'no-cross',
      detail: `No two strokes cross within ${radiusPx} px of the tap.`,
    };
  }
  const spread = Math.max(1, fit.cost / Math.max(1, use.length - p.length));
  const variance = (spread * (fit.covariance[0]![0]! + fit.covariance[1]![1]!)) / 2;
  return {
    found: true,
    at,
    uPx: Math.hypot(Math.sqrt(variance), U_FLOOR_PX),
    strokePx: [Math.abs(p[4]!), Math.abs(p[5]!)],
    darker: p[7]! < 0,
  };
}
