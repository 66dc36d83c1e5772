import { radFromDeg, tanFromDeg } from '../core/units.ts';
import type { Emitter } from './filling.ts';
import { steepestFall } from './inflection.ts';
import { type Lamp, spotsFor } from './lamp.ts';
import type { BoardPlace } from './space.ts';

/** What the first lamp's beam truly shows. Per cent from its reference centre: drop + down, offset + right. */
export interface BeamTruth {
  /**
   * Drop of the inflection of log10 illuminance, 2.5 deg to the flat side of the elbow; on V-V for a flat beam; null for a
   * driving beam.
   */
  readonly dropPct: number | null;
  readonly elbow: { readonly offsetPct: number; readonly dropPct: number } | null;
  /** Of the flat part between 1 and 4 deg from the elbow (4 deg either side for a flat beam), + right side up. */
  readonly tiltDeg: number | null;
  /** Centroid of intensity above 80 % of the lightly smoothed peak. */
  readonly hotSpot: { readonly offsetPct: number; readonly dropPct: number };
  /** Greatest fall of log10 light per 0.1 deg where `dropPct` is taken. */
  readonly sharpnessG: number | null;
  /** The inflection, column by column, 0.25 deg apart: for drawing, and for schemes that look elsewhere. */
  readonly edge: readonly { readonly offsetPct: number; readonly dropPct: number }[];
}

/** Light in direction (u, v) as one way of looking sees it. */
type Light = (u: number, v: number) => number;

const DEG = Math.PI / 180;

/**
 * The truth by dense numerical evaluation, apart from everything that the picture is made with: no grid, no camera, no
 * ambient light, no glare.
 */
export function beamTruth(
  lamp: Lamp,
  board: BoardPlace,
): { readonly onBoard: BeamTruth; readonly far: BeamTruth } {
  return { onBoard: truthOf(lamp, boardLight(lamp, board)), far: truthOf(lamp, lamp.intensity) };
}

/**
 * Illuminance of the board at the place in direction (u, v) from the reference centre, as intensity (times r^2/cos, so
 * that it can stand beside the far field): the sum over all lit spots of intensity, cosine and inverse square.
 * Standards MET-6 for a single spot.
 * @param fine spacing of the spots in widths of the edge.
 */
export function boardLight(lamp: Lamp, board: BoardPlace, fine = 0.6): Light {
  const ahead = board.meet(lamp.place, { right: 0, forward: 1, up: 0 });
  const distance = ahead ? board.place(ahead.X, ahead.Y).forward - lamp.place.forward : 5000;
  const spots = spotsFor(lamp, distance, fine);
  return (u, v) => {
    const hit = board.meet(lamp.place, { right: u, forward: 1, up: v });
    if (!hit) return Number.NaN;
    const p = board.place(hit.X, hit.Y);
    const [pr, pf, pu] = [p.right - lamp.place.right, p.forward - lamp.place.forward, p.up - lamp.place.up];
    const { away } = board;
    const e = illuminanceAt(
      lamp,
      spots,
      pr,
      pf,
      pu,
      (x, z) => (pr - x) * away.right + pf * away.forward + (pu - z) * away.up,
    );
    const r2 = pr * pr + pf * pf + pu * pu;
    const cos = (pr * away.right + pf * away.forward + pu * away.up) / Math.sqrt(r2);
    return (e * r2) / cos;
  };
}

/** Sum over spots of intensity * cos / r^2; `drop(x, z)` is the distance from a spot to the board's plane. */
function illuminanceAt(
  lamp: Lamp,
  spots: readonly Emitter[],
  pr: number,
  pf: number,
  pu: number,
  drop: (x: number, z: number) => number,
): number {
  let sum = 0;
  for (const spot of spots) {
    const dr = pr - spot.x;
    const du = pu - spot.z;
    const r2 = dr * dr + pf * pf + du * du;
    const cos = drop(spot.x, spot.z) / Math.sqrt(r2);
    sum += (spot.share * lamp.intensity(dr / pf - spot.du, du / pf - spot.dv) * cos) / r2;
  }
  return sum;
}

function truthOf(lamp: Lamp, light: Light): BeamTruth {
  const hotSpot = hotSpotOf(lamp, light);
  const { cutOff } = lamp.beam;
  if (!cutOff) return { dropPct: null, elbow: null, tiltDeg: null, hotSpot, sharpnessG: null, edge: [] };
  const scan = scanner(lamp, light);
  const flatSide = cutOff.riseSide === 'left' ? 1 : -1;
  const u0 = lamp.aim.offsetPct / 100;
  if (cutOff.riseSide === 'none') {
    const middle = scan(0);
    const line = lineThrough(
      [-4, -3, -2, -1, 1, 2, 3, 4].map((deg) => tanFromDeg(deg)),
      (u) => scan(u).at,
    );
    return {
      dropPct: -100 * middle.at,
      elbow: null,
      tiltDeg: Math.atan(line.slope) / DEG,
      hotSpot,
      sharpnessG: middle.fall,
      edge: edgeOf(scan, 0),
    };
  }
  const at = (deg: number): number => u0 + flatSide * tanFromDeg(deg);
  const flat = lineThrough([1.5, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.25, 3.5].map(at), (u) => scan(u).at);
  const rise = Number.isFinite(cutOff.rampRun)
    ? steepestTangent(lamp, scan)
    : lineThrough([-1, -2, -3].map(at), (u) => scan(u).at);
  const u = (rise.start - flat.start) / (flat.slope - rise.slope);
  const elbow = { offsetPct: 100 * u, dropPct: -100 * (flat.start + flat.slope * u) };
  const column = scan(u + flatSide * tanFromDeg(2.5));
  const tilt = lineThrough(
    [1, 1.5, 2, 2.5, 3, 3.5, 4].map((deg) => u + flatSide * tanFromDeg(deg)),
    (x) => scan(x).at,
  );
  return {
    dropPct: -100 * column.at,
    elbow,
    tiltDeg: Math.atan(tilt.slope) / DEG,
    hotSpot,
    sharpnessG: column.fall,
    edge: edgeOf(scan, u0),
  };
}

/** Inflection on the vertical line at u, searched 2 deg either side of where the cut-off was built. */
function scanner(lamp: Lamp, light: Light): (u: number) => { readonly at: number; readonly fall: number } {
  const { cutOff } = lamp.beam;
  const [c, s] = [Math.cos(radFromDeg(lamp.aim.tiltDeg)), Math.sin(radFromDeg(lamp.aim.tiltDeg))];
  return (u) => {
    const x = u - lamp.aim.offsetPct / 100;
    const middle = (cutOff ? cutOff.height(x) : 0) * c + x * s - lamp.aim.dropPct / 100;
    return steepestFall(
      (v) => light(u, v),
      middle - 1.7 * DEG,
      middle + 2.3 * DEG,
      0.1 * DEG,
      0.01 * DEG,
      0.1 * DEG,
    );
  };
}

interface Line {
  readonly start: number;
  readonly slope: number;
}

/** Least squares line v = start + slope u. */
function lineThrough(us: readonly number[], height: (u: number) => number): Line {
  const vs = us.map(height);
  const n = us.length;
  const mu = us.reduce((a, b) => a + b, 0) / n;
  const mv = vs.reduce((a, b) => a + b, 0) / n;
  let suv = 0;
  let suu = 0;
  us.forEach((u, i) => {
    suv += (u - mu) * ((vs[i] as number) - mv);
    suu += (u - mu) ** 2;
  });
  const slope = suv / suu;
  return { start: mv - slope * mu, slope };
}

/** The tangent of the edge where it climbs fastest along the ramp: from points 0.05 deg apart, over 0.15 deg. */
function steepestTangent(lamp: Lamp, scan: (u: number) => { readonly at: number }): Line {
  const cutOff = lamp.beam.cutOff;
  const sign = cutOff?.riseSide === 'left' ? -1 : 1;
  const u0 = lamp.aim.offsetPct / 100;
  const step = 0.05 * DEG;
  const run = cutOff?.rampRun ?? 0;
  const n = Math.ceil((run + 1.2 * DEG) / step);
  const us = Array.from({ length: n + 1 }, (_, i) => u0 + sign * (i * step - 0.6 * DEG));
  const vs = us.map((u) => scan(u).at);
  let best: Line = { start: 0, slope: 0 };
  for (let i = 0; i + 3 <= n; i++) {
    const us4 = us.slice(i, i + 4);
    const line = lineThrough(us4, (u) => vs[us.indexOf(u)] as number);
    if (sign * line.slope > sign * best.slope) best = line;
  }
  return best;
}

function edgeOf(scan: (u: number) => { readonly at: number }, u0: number): BeamTruth['edge'] {
  return Array.from({ length: 33 }, (_, i) => {
    const u = u0 + tanFromDeg(i * 0.25 - 4);
    return { offsetPct: 100 * u, dropPct: -100 * scan(u).at };
  });
}

/** Centroid above 80 % of the peak: on a grid of 0.05 deg, smoothed over 0.15 deg (three by three boxes). */
function hotSpotOf(lamp: Lamp, light: Light): BeamTruth['hotSpot'] {
  const u0 = lamp.aim.offsetPct / 100;
  const v0 = -lamp.aim.dropPct / 100;
  const coarse = peakNear(light, u0, v0, 6 * DEG, 0.4 * DEG);
  const step = 0.1 * DEG;
  const half = 36;
  const n = 2 * half + 1;
  const raw = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      raw[j * n + i] = light(coarse.u + (i - half) * step, coarse.v + (j - half) * step);
    }
  }
  const smooth = new Float64Array(n * n);
  let peak = 0;
  for (let j = 1; j < n - 1; j++) {
    for (let i = 1; i < n - 1; i++) {
      let sum = 0;
      for (let b = -1; b <= 1; b++) for (let a = -1; a <= 1; a++) sum += raw[(j + b) * n + i + a] as number;
      smooth[j * n + i] = sum / 9;
      peak = Math.max(peak, sum / 9);
    }
  }
  let weight = 0;
  let sumU = 0;
  let sumV = 0;
  for (let j = 1; j < n - 1; j++) {
    for (let i = 1; i < n - 1; i++) {
      const value = smooth[j * n + i] as number;
      if (value < 0.8 * peak) continue;
      weight += value;
      sumU += value * (i - half);
      sumV += value * (j - half);
    }
  }
  return {
    offsetPct: 100 * (coarse.u + (step * sumU) / weight),
    dropPct: -100 * (coarse.v + (step * sumV) / weight),
  };
}

function peakNear(
  light: Light,
  u0: number,
  v0: number,
  reach: number,
  step: number,
): { u: number; v: number } {
  let best = { u: u0, v: v0 };
  let most = 0;
  for (let u = u0 - reach; u <= u0 + reach; u += step) {
    for (let v = v0 - reach / 1.5; v <= v0 + reach / 3; v += step) {
      const value = light(u, v);
      if (value > most) {
        most = value;
        best = { u, v };
      }
    }
  }
  return best;
}
