import type { LampFilling } from '../../../../src/core/beam/joint/lamp-filling.ts';
import type { SmearedProfile } from '../../../../src/core/beam/joint/profile-fit.ts';
import { tanFromDeg } from '../../../../src/core/units.ts';

// An edge smeared by a lamp, summed directly over the rows of the opening: shares no code with the fit. Heights in
// units of tan 1 deg, called deg here as there.
export const DEG = tanFromDeg(1);

/** Light at height x above the edge's own zero, far away; linear. */
export type FarLight = (x: number) => number;

/** The far edges: three families, none with the fit's own parameters but the first; each brighter below as beams are. */
export const EDGES: Readonly<Record<'tanh' | 'erf' | 'logistic', FarLight>> = {
  // log10 falls by a tanh: the design page's simulations use it; G = 2 b tanh(0.05/s) = 0.29.
  tanh: (x) => 10 ** (-1.0 * Math.tanh(x / 0.34)),
  // Linear light falls as an error function onto 0.9 % of stray light.
  erf: (x) => (0.009 + 0.991 * 0.5 * erfc(x / 0.28)) * (1 + 0.5 * Math.exp(-((x + 1.3) ** 2))),
  // Linear light falls as a logistic onto 1.2 % of stray light.
  logistic: (x) => (0.012 + 0.988 / (1 + Math.exp(x / 0.11))) * (1 + 0.4 * Math.exp(-((x + 1.1) ** 2))),
};

/** erfc by its series near zero and its continued fraction beyond (Abramowitz and Stegun 7.1.5, 7.1.14; from memory). */
export function erfc(x: number): number {
  if (x < 0) return 2 - erfc(-x);
  if (x < 2.5) {
    let term = x;
    let sum = x;
    for (let n = 1; n < 60 && Math.abs(term) > 1e-17; n++) {
      term *= (-x * x) / n;
      sum += term / (2 * n + 1);
    }
    return 1 - (2 / Math.sqrt(Math.PI)) * sum;
  }
  let tail = 0;
  for (let n = 60; n > 0; n--) tail = n / 2 / (x + tail);
  return Math.exp(-x * x) / Math.sqrt(Math.PI) / (x + tail);
}

const root = (x: number) => Math.sqrt(Math.max(0, x));
/** Light of a row at height z of the opening (-1 to 1): the opening's brightness integrated across it, by hand. */
const ROWS: Readonly<Record<LampFilling, (z: number) => number>> = {
  disc: (z) => root(1 - z * z),
  facets: (z) => root(1 - z * z),
  'centre-weighted': (z) => root(1 - z * z) ** 3,
  'upper-half': (z) => (z >= 0 ? root(1 - z * z) : 0),
  'lower-half-dim': (z) => (z >= 0 ? 1 : 0.35) * root(1 - z * z),
  ring: (z) => root(1 - z * z) - root(0.36 - z * z),
  lens: (z) => root(0.36 - z * z) + 0.08 * (root(1 - z * z) - root(0.36 - z * z)),
  strip: () => 1,
  'lens-strip': (z) => root(1 - z * z),
};

/** 400 rows of the opening. */
export function denseRows(filling: LampFilling): readonly { readonly z: number; readonly share: number }[] {
  const rows = Array.from({ length: 400 }, (_, i) => (2 * (i + 0.5)) / 400 - 1);
  const light = rows.map(ROWS[filling]);
  const all = light.reduce((a, b) => a + b, 0);
  return rows.map((z, i) => ({ z, share: light[i]! / all }));
}

/** log10 of the light on the board at height v: every row draws the edge from its own height. */
export function boardLog(far: FarLight, filling: LampFilling, half: number): (v: number) => number {
  const rows = denseRows(filling).filter((r) => r.share > 0);
  return (v) => Math.log10(rows.reduce((s, r) => s + r.share * far(v - r.z * half), 0));
}

/** Where a run falls fastest: steps of 0.02, then of 0.0005, central differences over 0.01. */
export function steepestAt(log: (v: number) => number, from: number, to: number): number {
  const h = 0.005;
  const fall = (v: number) => log(v - h) - log(v + h);
  let best = from;
  for (let v = from; v <= to; v += 0.02) if (fall(v) > fall(best)) best = v;
  const middle = best;
  for (let v = middle - 0.02; v <= middle + 0.02; v += 0.0005) if (fall(v) > fall(best)) best = v;
  return best;
}

export interface DenseCase {
  readonly given: SmearedProfile;
  /** Inflection on the board and far away, deg. */
  readonly board: number;
  readonly far: number;
}

/** A profile as the reader cuts it out (heights from -2.2 to 2.2 deg, 0.02 apart), with its true inflections. */
export function denseCase(
  edge: keyof typeof EDGES,
  filling: LampFilling,
  halfHeightDeg: number,
  options: {
    readonly at?: number;
    readonly noise?: (i: number) => number;
    readonly uLog?: number;
    readonly times?: number;
  } = {},
): DenseCase {
  const { at = 0, noise = () => 0, uLog = 0.004, times = 1 } = options;
  const far = EDGES[edge];
  const log = boardLog(far, filling, halfHeightDeg);
  const n = 221;
  const values = Float64Array.from(
    { length: n },
    (_, i) => log((i - 110) * 0.02 - at) + Math.log10(times) + noise(i),
  );
  return {
    given: {
      profile: { v0: -2.2 * DEG, dv: 0.02 * DEG, log: values },
      uLog: new Float64Array(n).fill(uLog),
      halfHeightDeg,
    },
    board: at + steepestAt(log, -0.8 - halfHeightDeg, 0.8 + halfHeightDeg),
    far: at + steepestAt((v) => Math.log10(far(v)), -0.8, 0.8),
  };
}
