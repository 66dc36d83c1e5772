import { InputError } from '../core/errors.ts';
import type { TrafficSide } from '../core/frames.ts';
import { radFromDeg } from '../core/units.ts';
import { type BeamKind, type CutOffShape, cutOffShape } from './cut-off-shape.ts';
import { centredProfile, EDGE_PROFILES, type EdgeFamily } from './edge-profile.ts';
import { steepestFall } from './inflection.ts';
import { Random } from './random.ts';
import { tabulate } from './table-beam.ts';

/** What a beam is made of. Angles in degrees, right-hand traffic; left-hand traffic mirrors the whole beam. */
export interface BeamSpec {
  readonly kind: BeamKind;
  readonly traffic: TrafficSide;
  readonly family: EdgeFamily;
  /** Greatest fall of log10 intensity over 0.1 deg, 2.5 deg to the flat side of the elbow, far field. */
  readonly sharpnessG: number;
  /** Light above the cut-off as a share of the peak. */
  readonly strayShare: number;
  /** Greatest intensity, cd. */
  readonly peakCd: number;
  /** Slope and height of the ramp; used by short-ramp, us-left and us-right. */
  readonly rampDeg: number;
  readonly shelfPct: number;
  readonly elbowRoundDeg: number;
  /** Hot spot: to the rise side of the elbow, below the flat part; its half widths. */
  readonly hotSpot: {
    readonly asideDeg: number;
    readonly belowDeg: number;
    readonly widthDeg: number;
    readonly heightDeg: number;
  };
  /** The wide spread: its share of the peak, half width, and how fast the foreground fades downwards. */
  readonly spread: { readonly share: number; readonly widthDeg: number; readonly foregroundDeg: number };
  /** Colour fringe at the edge: + yellow below and blue above; 0 for none. */
  readonly fringe: number;
  /** Chooses how facets and the table's unevenness fall. */
  readonly seed: number;
}

/** A beam: intensity in every direction, elbow at (0, 0), before aim. Far field, cd, tangents. */
export interface Beam {
  readonly intensity: (u: number, v: number) => number;
  readonly cutOff: CutOffShape | null;
  /** The finest width of its edge, tangents: what any sampling of it must resolve. */
  readonly finest: number;
  /** Strength of the colour fringe at its edge. */
  readonly fringe: number;
}

export const DEFAULT_BEAM: BeamSpec = {
  kind: 'rise',
  traffic: 'right',
  family: 'logistic',
  sharpnessG: 0.28,
  strayShare: 0.006,
  peakCd: 38000,
  rampDeg: 30,
  shelfPct: 0.7,
  elbowRoundDeg: 0.12,
  hotSpot: { asideDeg: 1.4, belowDeg: 0.85, widthDeg: 2.7, heightDeg: 1.1 },
  spread: { share: 0.25, widthDeg: 9, foregroundDeg: 3.2 },
  fringe: 0,
  seed: 1,
};

const DEG = Math.PI / 180;

/** Sub-beams of a family: how far each is aimed off, and its share of the light. */
interface SubBeam {
  readonly du: number;
  readonly dv: number;
  readonly share: number;
}

function subBeams(spec: BeamSpec): readonly SubBeam[] {
  if (spec.family !== 'facets') return [{ du: 0, dv: 0, share: 1 }];
  const random = new Random(spec.seed);
  const count = 3 + random.below(3);
  const raw = Array.from({ length: count }, (_, i) => ({
    // Spread evenly over 0.1 to 0.3 deg in all, then shaken, so that no two facets agree.
    du: DEG * random.uniform(-0.25, 0.25),
    dv: DEG * ((i / (count - 1) - 0.5) * random.uniform(0.12, 0.3) + random.uniform(-0.03, 0.03)),
    share: random.uniform(0.6, 1.4),
  }));
  // A faint shelf: half a per cent of the light or so through a facet aimed well above the others.
  const shelf = { du: 0, dv: DEG * random.uniform(0.5, 0.9), share: count * random.uniform(0.003, 0.008) };
  const all = [...raw, shelf];
  const sum = all.reduce((total, one) => total + one.share, 0);
  return all.map((one) => ({ ...one, share: one.share / sum }));
}

/** Bright level below the edge at (u, v), 1 at about the peak. `v` from the flat part, `side` = + towards the rise. */
function brightLevel(spec: BeamSpec, side: number, v: number): number {
  const { hotSpot, spread } = spec;
  const a = (side / DEG - hotSpot.asideDeg) / hotSpot.widthDeg;
  const below = v / DEG + hotSpot.belowDeg;
  // Downwards the hot spot fades over its height; upwards it would go on a little if the edge did not cut it.
  const b = below < 0 ? below / hotSpot.heightDeg : below / (1.6 * hotSpot.heightDeg);
  const c = side / DEG / spread.widthDeg;
  const d = v / DEG + 1.2;
  const e = d < 0 ? d / spread.foregroundDeg : d / 6;
  const hot = Math.exp(-0.5 * (a * a + b * b));
  return (
    hot + (spread.share * Math.exp(-0.5 * c * c)) / (1 + e * e) + 0.012 / (1 + 0.01 * (c * c * 81 + d * d))
  );
}

/** Stray light above the edge: brightest above the elbow, fading upwards and outwards, never quite gone. */
function strayLevel(spec: BeamSpec, side: number, v: number): number {
  const a = side / DEG / 12;
  // Smooth at the edge: a kink there would be mistaken for the inflection.
  const up = 0.5 + 1 / (1 + Math.exp(v / DEG / 2.5));
  return spec.strayShare * (0.35 + 0.65 * Math.exp(-0.5 * a * a)) * up;
}

/** A driving beam: one broad peak straight ahead and a wide spread, nothing cut off. */
function drivingBeam(spec: BeamSpec): Beam {
  const { hotSpot, spread } = spec;
  const intensity = (u: number, v: number): number => {
    const a = u / DEG / (0.9 * hotSpot.widthDeg);
    const b = v / DEG / (1.2 * hotSpot.heightDeg);
    const c = u / DEG / spread.widthDeg;
    const d = v / DEG / spread.foregroundDeg;
    const core = Math.exp(-0.5 * (a * a + b * b));
    const share = 0.85 * core + (0.15 * Math.exp(-0.5 * c * c)) / (1 + d * d);
    return (spec.peakCd * (share + spec.strayShare)) / (1 + spec.strayShare);
  };
  return { intensity, cutOff: null, finest: 0.6 * DEG, fringe: 0 };
}

/** The passing beam before its edge is centred: intensity for a given width of the edge. */
function passingBeam(given: BeamSpec, cutOff: CutOffShape, scale: number): (u: number, v: number) => number {
  const profile = centredProfile(EDGE_PROFILES[given.family]);
  const parts = subBeams(given);
  const sign = cutOff.riseSide === 'left' ? -1 : 1;
  // A flat beam has no side to lean to.
  const spec = cutOff.riseSide === 'none' ? { ...given, hotSpot: { ...given.hotSpot, asideDeg: 0 } } : given;
  return (u, v) => {
    const bright = spec.peakCd * brightLevel(spec, sign * u, v);
    const stray = spec.peakCd * strayLevel(spec, sign * u, v);
    // Where the beam is no brighter than its own stray light there is no edge to draw.
    const below = Math.max(bright, 1.05 * stray);
    let sum = 0;
    for (const part of parts) {
      const pu = u - part.du;
      const slope = cutOff.slope(pu);
      const w = (v - part.dv - cutOff.height(pu)) / Math.sqrt(1 + slope * slope);
      // Twenty widths from the edge nothing of it is left, in every family.
      const light = w < -20 * scale ? below : w > 20 * scale ? stray : profile(w, scale, below, stray);
      sum += part.share * light;
    }
    return sum;
  };
}

/**
 * Builds a beam. Its edge is made as sharp as `sharpnessG` asks (as near as the family can), and moved so that the
 * inflection of log10 intensity 2.5 deg to the flat side of the elbow lies at v = 0 exactly.
 * @throws InputError when sharpness, stray light or peak are out of range.
 */
export function buildBeam(spec: BeamSpec): Beam {
  if (!(spec.sharpnessG >= 0.03 && spec.sharpnessG <= 1)) {
    throw new InputError(
      'beam.sharpnessG',
      'a fall of log10 light from 0.03 to 1 per 0.1 deg',
      spec.sharpnessG,
    );
  }
  if (!(spec.strayShare > 0 && spec.strayShare < 0.2)) {
    throw new InputError('beam.strayShare', 'a share of the peak above 0 and below 0.2', spec.strayShare);
  }
  if (!(spec.peakCd > 0)) throw new InputError('beam.peakCd', 'an intensity above 0 cd', spec.peakCd);
  const cutOff = cutOffShape(spec);
  if (!cutOff) return drivingBeam(spec);
  const column = flatColumn(cutOff);
  const scanned = (scale: number) => {
    const intensity = passingBeam(spec, cutOff, scale);
    return steepestFall(
      (v) => intensity(column, v),
      -1.6 * DEG,
      1.6 * DEG,
      0.04 * DEG,
      0.004 * DEG,
      0.1 * DEG,
    );
  };
  let low = Math.log(0.02 * DEG);
  let high = Math.log(6 * DEG);
  for (let i = 0; i < 22; i++) {
    const middle = (low + high) / 2;
    if (scanned(Math.exp(middle)).fall > spec.sharpnessG) low = middle;
    else high = middle;
  }
  const scale = Math.exp((low + high) / 2);
  const raw = passingBeam(spec, cutOff, scale);
  const intensity = spec.family === 'tabulated' ? tabulate(raw, spec.seed) : raw;
  const shift = steepestFall(
    (v) => intensity(column, v),
    -1.6 * DEG,
    1.6 * DEG,
    0.04 * DEG,
    0.001 * DEG,
    0.1 * DEG,
  ).at;
  const gain = spec.peakCd / greatest(intensity);
  return {
    intensity: (u, v) => gain * intensity(u, v + shift),
    cutOff,
    finest: Math.max((spec.family === 'tabulated' ? 0.12 : 0.06) * DEG, scale),
    fringe: spec.fringe,
  };
}

/** The peak, searched at 0.15 deg where a peak may lie. */
function greatest(intensity: (u: number, v: number) => number): number {
  let peak = 0;
  for (let u = -6; u <= 6; u += 0.15) {
    for (let v = -4; v <= 0.6; v += 0.15) peak = Math.max(peak, intensity(u * DEG, v * DEG));
  }
  return peak;
}

/** The column that the standards scan: 2.5 deg from the elbow on the flat side; V-V for a flat beam. */
export function flatColumn(cutOff: CutOffShape): number {
  if (cutOff.riseSide === 'none') return 0;
  return (cutOff.riseSide === 'right' ? -1 : 1) * Math.tan(radFromDeg(2.5));
}
