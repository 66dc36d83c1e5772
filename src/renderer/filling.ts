import { InputError } from '../core/errors.ts';
import { Random } from './random.ts';

/**
 * How a lamp's opening is lit. `strip` fills its rectangle evenly, `lens` is a small bright disc within a dim one,
 * `lens-strip` a row of small lenses, `facets` a disc of patches that are aimed a little apart.
 */
export type Filling =
  | 'disc'
  | 'centre-weighted'
  | 'upper-half'
  | 'lower-half-dim'
  | 'ring'
  | 'lens'
  | 'strip'
  | 'lens-strip'
  | 'facets'
  | 'point';

export const FILLINGS: readonly Filling[] = [
  'disc',
  'centre-weighted',
  'upper-half',
  'lower-half-dim',
  'ring',
  'lens',
  'strip',
  'lens-strip',
  'facets',
  'point',
];

/** The lit opening of a lamp, seen from the board's side as from behind the lamp: x right, z up from its centre. */
export interface Opening {
  readonly filling: Filling;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Chooses the facets' aims. */
  readonly seed: number;
}

/** A lit spot of the opening: its place, its share of the lamp's light, and how far it is aimed off (tangents). */
export interface Emitter {
  readonly x: number;
  readonly z: number;
  readonly share: number;
  readonly du: number;
  readonly dv: number;
}

/** Brightness of the opening at (p, q), each from -1 to 1 across width and height. */
const BRIGHTNESS: Readonly<Record<Exclude<Filling, 'point'>, (p: number, q: number) => number>> = {
  disc: (p, q) => (p * p + q * q <= 1 ? 1 : 0),
  'centre-weighted': (p, q) => Math.max(0, 1 - (p * p + q * q)),
  'upper-half': (p, q) => (q >= 0 && p * p + q * q <= 1 ? 1 : 0),
  'lower-half-dim': (p, q) => (p * p + q * q > 1 ? 0 : q >= 0 ? 1 : 0.35),
  ring: (p, q) => (p * p + q * q <= 1 && p * p + q * q >= 0.36 ? 1 : 0),
  lens: (p, q) => (p * p + q * q <= 0.36 ? 1 : p * p + q * q <= 1 ? 0.08 : 0),
  strip: () => 1,
  'lens-strip': (p, q) => {
    const s = (p + 1) * 2.5;
    const c = (s - Math.floor(s) - 0.5) / 0.42;
    return c * c + q * q <= 1 ? 1 : 0;
  },
  facets: (p, q) => (p * p + q * q <= 1 ? 1 : 0),
};

/**
 * Cuts a lit opening into spots no larger than `pitchX` by `pitchZ`; each carries the light of its cell, its edge
 * cells by the share that is lit.
 * @returns spots whose shares add up to 1, centred as the opening is (an uneven filling's centre of light is not).
 * @throws InputError when the opening has no area (use filling 'point' for that).
 */
export function emittersOf(opening: Opening, pitchX: number, pitchZ: number): readonly Emitter[] {
  if (opening.filling === 'point') return [{ x: 0, z: 0, share: 1, du: 0, dv: 0 }];
  if (!(opening.widthMm > 0 && opening.heightMm > 0)) {
    throw new InputError('lamp.opening', 'a lit width and height above 0 mm', opening);
  }
  const columns = Math.max(1, Math.ceil(opening.widthMm / pitchX));
  const rows = Math.max(1, Math.ceil(opening.heightMm / pitchZ));
  const bright = BRIGHTNESS[opening.filling];
  const aim = facetAims(opening);
  const fineX = Math.max(2, Math.ceil(48 / columns));
  const fineZ = Math.max(2, Math.ceil(48 / rows));
  const list: Emitter[] = [];
  let total = 0;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      let sum = 0;
      let sumP = 0;
      let sumQ = 0;
      for (let b = 0; b < fineZ; b++) {
        for (let a = 0; a < fineX; a++) {
          const p = (2 * (i + (a + 0.5) / fineX)) / columns - 1;
          const q = (2 * (j + (b + 0.5) / fineZ)) / rows - 1;
          const light = bright(p, q);
          sum += light;
          sumP += light * p;
          sumQ += light * q;
        }
      }
      if (sum === 0) continue;
      const p = sumP / sum;
      const q = sumQ / sum;
      const { du, dv } = aim(p, q);
      const share = sum / (fineX * fineZ);
      total += share;
      list.push({ x: (p * opening.widthMm) / 2, z: (q * opening.heightMm) / 2, share, du, dv });
    }
  }
  return list.map((one) => ({ ...one, share: one.share / total }));
}

/** Facets: a 4 by 3 patchwork, each patch aimed off by about 0.15 deg; their light-weighted mean is about nothing. */
function facetAims(opening: Opening): (p: number, q: number) => { readonly du: number; readonly dv: number } {
  if (opening.filling !== 'facets') return () => ({ du: 0, dv: 0 });
  const random = new Random(opening.seed);
  const deg = Math.PI / 180;
  const aims = Array.from({ length: 12 }, () => ({
    du: random.uniform(-0.2, 0.2) * deg,
    dv: random.uniform(-0.2, 0.2) * deg,
  }));
  const meanU = aims.reduce((sum, one) => sum + one.du, 0) / 12;
  const meanV = aims.reduce((sum, one) => sum + one.dv, 0) / 12;
  return (p, q) => {
    const i = Math.min(3, Math.max(0, Math.floor((p + 1) * 2)));
    const j = Math.min(2, Math.max(0, Math.floor(((q + 1) * 3) / 2)));
    const one = aims[j * 4 + i] as { du: number; dv: number };
    return { du: one.du - meanU, dv: one.dv - meanV };
  };
}
