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
 * Cuts a lit opening into spots no larger than `pitchX` by `pitchZ` (at least five each way); each carries the light of its cell at the cell's
 * centre of light. Light within a cell is not spread out any more, which would make the opening look smaller: the
 * places are stretched until the whole has its true second moments again.
 * @returns spots whose shares add up to 1.
 * @throws InputError when the opening has no area (use filling 'point' for that).
 */
export function emittersOf(opening: Opening, pitchX: number, pitchZ: number): readonly Emitter[] {
  if (opening.filling === 'point') return [{ x: 0, z: 0, share: 1, du: 0, dv: 0 }];
  checkOpening(opening);
  const [patchesX, patchesZ] = patchesOf(opening.filling);
  const columns = patchesX * Math.ceil(Math.max(5, opening.widthMm / pitchX) / patchesX);
  const rows = patchesZ * Math.ceil(Math.max(5, opening.heightMm / pitchZ) / patchesZ);
  const bright = BRIGHTNESS[opening.filling];
  const aim = facetAims(opening);
  const fineX = Math.max(8, Math.ceil(96 / columns));
  const fineZ = Math.max(8, Math.ceil(96 / rows));
  const cells: { p: number; q: number; share: number }[] = [];
  const p = new Moments();
  const q = new Moments();
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      let share = 0;
      let sumP = 0;
      let sumQ = 0;
      for (let b = 0; b < fineZ; b++) {
        for (let a = 0; a < fineX; a++) {
          const pp = (2 * (i + (a + 0.5) / fineX)) / columns - 1;
          const qq = (2 * (j + (b + 0.5) / fineZ)) / rows - 1;
          const light = bright(pp, qq) / (fineX * fineZ);
          share += light;
          sumP += light * pp;
          sumQ += light * qq;
          p.add(pp, light);
          q.add(qq, light);
        }
      }
      if (share > 0) cells.push({ p: sumP / share, q: sumQ / share, share });
    }
  }
  const cellP = new Moments();
  const cellQ = new Moments();
  for (const cell of cells) {
    cellP.add(cell.p, cell.share);
    cellQ.add(cell.q, cell.share);
  }
  const stretchP = Math.sqrt(p.variance / cellP.variance);
  const stretchQ = Math.sqrt(q.variance / cellQ.variance);
  return cells.map((cell) => ({
    x: ((p.mean + (cell.p - p.mean) * stretchP) * opening.widthMm) / 2,
    z: ((q.mean + (cell.q - q.mean) * stretchQ) * opening.heightMm) / 2,
    share: cell.share / p.weight,
    ...aim(cell.p, cell.q),
  }));
}

/** Weighted mean and variance. */
class Moments {
  weight = 0;
  #sum = 0;
  #squares = 0;

  add(value: number, weight: number): void {
    this.weight += weight;
    this.#sum += weight * value;
    this.#squares += weight * value * value;
  }

  get mean(): number {
    return this.#sum / this.weight;
  }

  get variance(): number {
    return Math.max(0, this.#squares / this.weight - this.mean ** 2);
  }
}

/** An evenly bright piece of one row of an opening, from `left` to `right` at height `z`, mm. */
export interface Strip {
  readonly left: number;
  readonly right: number;
  readonly z: number;
  /** Share of the lamp's light. */
  readonly share: number;
  readonly du: number;
  readonly dv: number;
}

/**
 * Cuts a lit opening into rows no higher than `pitchZ`, and each row into evenly bright strips: the opening as its sum
 * over rows wants it. Brightness is sampled at 100 places per row; the rows' heights are stretched as the spots' are.
 * @returns strips whose shares add up to 1.
 */
export function stripsOf(opening: Opening, pitchZ: number): readonly Strip[] {
  if (opening.filling === 'point') return [{ left: -1e-3, right: 1e-3, z: 0, share: 1, du: 0, dv: 0 }];
  checkOpening(opening);
  const patchesZ = patchesOf(opening.filling)[1];
  const rows = patchesZ * Math.max(2, Math.ceil(opening.heightMm / pitchZ / patchesZ));
  const bright = BRIGHTNESS[opening.filling];
  const aim = facetAims(opening);
  const places = 100;
  const list: { p0: number; p1: number; q: number; light: number; du: number; dv: number }[] = [];
  for (let j = 0; j < rows; j++) {
    // Two lines per row at Gauss's places: exact for the row's own height up to the third power.
    for (const side of [-1, 1]) {
      const q = (2 * (j + 0.5 + side / (2 * Math.sqrt(3)))) / rows - 1;
      let last: { p0: number; p1: number; q: number; light: number; du: number; dv: number } | null = null;
      for (let i = 0; i < places; i++) {
        const p0 = (2 * i) / places - 1;
        const p1 = (2 * (i + 1)) / places - 1;
        const light = meanBrightness(bright, p0, p1, q);
        const { du, dv } = aim((p0 + p1) / 2, q);
        if (last && last.light === light && last.du === du && last.dv === dv) last.p1 = p1;
        else {
          last = { p0, p1, q, light, du, dv };
          if (light > 0) list.push(last);
        }
      }
    }
  }
  const strips = new Moments();
  for (const one of list) strips.add(one.q, one.light * (one.p1 - one.p0));
  const whole = new Moments();
  const fine = 160;
  for (let k = 0; k < fine * fine; k++) {
    const q = (2 * (Math.floor(k / fine) + 0.5)) / fine - 1;
    whole.add(q, bright((2 * ((k % fine) + 0.5)) / fine - 1, q));
  }
  const stretch = Math.sqrt(whole.variance / strips.variance);
  return list.map((one) => ({
    left: (one.p0 * opening.widthMm) / 2,
    right: (one.p1 * opening.widthMm) / 2,
    z: ((whole.mean + (one.q - strips.mean) * stretch) * opening.heightMm) / 2,
    share: (one.light * (one.p1 - one.p0)) / strips.weight,
    du: one.du,
    dv: one.dv,
  }));
}

function meanBrightness(bright: (p: number, q: number) => number, p0: number, p1: number, q: number): number {
  let sum = 0;
  for (let k = 0; k < 8; k++) sum += bright(p0 + ((k + 0.5) / 8) * (p1 - p0), q);
  return sum / 8;
}

/** Rows and columns of a filling's own pattern: cells must not straddle its borders. */
function patchesOf(filling: Filling): readonly [number, number] {
  if (filling === 'facets') return [4, 3];
  if (filling === 'lens-strip') return [5, 1];
  return filling === 'upper-half' || filling === 'lower-half-dim' ? [1, 2] : [1, 1];
}

function checkOpening(opening: Opening): void {
  if (!(opening.widthMm > 0 && opening.heightMm > 0)) {
    throw new InputError('lamp.opening', 'a lit width and height above 0 mm', opening);
  }
}

/** Facets: a 4 by 3 patchwork, each patch aimed off by up to 0.15 deg each way; their light-weighted mean is about nothing. */
function facetAims(opening: Opening): (p: number, q: number) => { readonly du: number; readonly dv: number } {
  if (opening.filling !== 'facets') return () => ({ du: 0, dv: 0 });
  const random = new Random(opening.seed);
  const deg = Math.PI / 180;
  const aims = Array.from({ length: 12 }, () => ({
    du: random.uniform(-0.15, 0.15) * deg,
    dv: random.uniform(-0.15, 0.15) * deg,
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
