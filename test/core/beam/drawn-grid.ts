import type { LightGrid } from '../../../src/core/sampling/light-grid.ts';
import { tanFromDeg } from '../../../src/core/units.ts';

/** A beam drawn straight onto the grid, for tests of the reading alone: no lamp size, board or camera. */
export interface DrawnBeam {
  readonly dropPct: number;
  readonly offsetPct: number;
  readonly tiltDeg: number;
  /** +1 rises to the right, -1 to the left. */
  readonly side: 1 | -1;
  readonly slope: number;
  readonly lengthDeg: number;
  readonly profile: EdgeProfile;
  /** Softness, deg, and light above the edge as a share. */
  readonly softDeg: number;
  readonly stray: number;
  readonly peak: number;
  readonly noise: number;
  readonly ambient: number;
}

/** 1 deep in the light, 0 above it; x in softness units above the edge. */
export type EdgeProfile = (x: number) => number;

export const PROFILES = {
  logistic: (x) => 1 / (1 + Math.exp(x)),
  // Abramowitz and Stegun 7.1.26, good to 1.5e-7.
  erf: (x) => {
    const z = x / 1.7;
    const t = 1 / (1 + 0.3275911 * Math.abs(z));
    const e =
      1 -
      t *
        (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429)))) *
        Math.exp(-z * z);
    return 0.5 * (1 - (z >= 0 ? e : -e));
  },
  skewed: (x) => 1 - (1 - 1 / (1 + Math.exp(x))) ** 0.35,
  facets: (x) => 0.6 / (1 + Math.exp(x)) + 0.3 / (1 + Math.exp(x - 1.6)) + 0.1 / (1 + Math.exp(x + 1.2)),
} as const satisfies Record<string, EdgeProfile>;

export const BEAM: DrawnBeam = {
  dropPct: 1.3,
  offsetPct: -0.7,
  tiltDeg: 0.2,
  side: -1,
  slope: tanFromDeg(15),
  lengthDeg: Number.POSITIVE_INFINITY,
  profile: PROFILES.logistic,
  softDeg: 0.12,
  stray: 0.012,
  peak: 0.8,
  noise: 0.008,
  ambient: 0,
};

export function edgeHeight(b: DrawnBeam, u: number): number {
  const from = u - b.offsetPct / 100;
  const ramp = Math.min(Math.max(0, b.side * from), tanFromDeg(Math.min(80, b.lengthDeg)));
  return -b.dropPct / 100 + Math.tan((b.tiltDeg * Math.PI) / 180) * from + b.slope * ramp;
}

export function lightAt(b: DrawnBeam, u: number, v: number): number {
  const x = ((v - edgeHeight(b, u)) * 180) / Math.PI / b.softDeg;
  const across = (u - b.offsetPct / 100 - b.side * 0.018) / 0.08;
  const down = (v + b.dropPct / 100 + 0.02) / 0.02;
  const spread = Math.exp((-across * across) / 2) * (0.25 + Math.exp((-down * down) / 2));
  return b.peak * spread * (b.stray + (1 - b.stray) * b.profile(x)) + b.ambient;
}

/** The drop where log10 light falls fastest on the vertical at u, by dense search. */
export function trueDropAt(b: DrawnBeam, u: number): number {
  let best = 0;
  let at = 0;
  const h = 1e-5;
  for (let v = -0.09; v < 0.06; v += 1e-5) {
    const fall = Math.log10(lightAt(b, u, v - h)) - Math.log10(lightAt(b, u, v + h));
    if (fall > best) {
      best = fall;
      at = v;
    }
  }
  return -100 * at;
}

/** Park-Miller generator: enough for noise, and the same on every machine. */
export function generator(seed: number): () => number {
  let state = seed % 2147483647 || 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

export function drawGrid(b: DrawnBeam, seed = 1): LightGrid {
  const next = generator(seed);
  const normal = () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
  const du = tanFromDeg(0.1);
  const dv = tanFromDeg(0.02);
  const u0 = -0.121;
  const v0 = -0.098;
  const columns = 138;
  const rows = 470;
  const light = new Float32Array(columns * rows);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++)
      light[r * columns + c] =
        lightAt(b, u0 + c * du, v0 + r * dv) * (1 + b.noise * normal()) + 0.0004 * normal();
  return {
    columns,
    rows,
    u0,
    du,
    v0,
    dv,
    light,
    clipped: new Float32Array(columns * rows),
    pixelsPerCell: 20,
  };
}

/** The same light seen in a mirror: u turns its sign. */
export function mirrored(grid: LightGrid): LightGrid {
  const light = new Float32Array(grid.light.length);
  for (let r = 0; r < grid.rows; r++)
    for (let c = 0; c < grid.columns; c++)
      light[r * grid.columns + c] = grid.light[r * grid.columns + grid.columns - 1 - c]!;
  return { ...grid, u0: -(grid.u0 + (grid.columns - 1) * grid.du), light };
}
