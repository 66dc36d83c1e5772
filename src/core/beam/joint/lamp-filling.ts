/**
 * How a lamp's opening may be lit. `strip` fills its rectangle evenly, `lens` is a bright disc within a dim one,
 * `lens-strip` a row of small lenses, `facets` a disc of patches that are aimed a little apart.
 */
export const LAMP_FILLINGS = [
  'disc',
  'centre-weighted',
  'upper-half',
  'lower-half-dim',
  'ring',
  'lens',
  'strip',
  'lens-strip',
  'facets',
] as const;
export type LampFilling = (typeof LAMP_FILLINGS)[number];

/** Fillings tried when nobody says how the lamp is lit. A facetted bowl smears as a disc, a strip as a rectangle. */
export const LIKELY_FILLINGS: readonly LampFilling[] = [
  'disc',
  'centre-weighted',
  'upper-half',
  'lower-half-dim',
  'ring',
  'lens',
];

/** A lit spot of the opening: x right, z up, in half widths and half heights from its centre; shares add up to 1. */
export interface LitSpot {
  readonly x: number;
  readonly z: number;
  readonly share: number;
}

/** Brightness at (p, q), each -1 to 1 across width and height, by what the words say (common practice, no source). */
const BRIGHTNESS: Readonly<Record<LampFilling, (p: number, q: number) => number>> = {
  disc: (p, q) => within(p, q, 1),
  'centre-weighted': (p, q) => Math.max(0, 1 - p * p - q * q),
  'upper-half': (p, q) => (q >= 0 ? within(p, q, 1) : 0),
  'lower-half-dim': (p, q) => within(p, q, 1) * (q >= 0 ? 1 : 0.35),
  ring: (p, q) => within(p, q, 1) - within(p, q, 0.6),
  lens: (p, q) => within(p, q, 0.6) + 0.08 * (within(p, q, 1) - within(p, q, 0.6)),
  strip: () => 1,
  'lens-strip': (p, q) => {
    const at = (p + 1) * 2.5;
    return within((at - Math.floor(at) - 0.5) / 0.42, q, 1);
  },
  facets: (p, q) => within(p, q, 1),
};

function within(p: number, q: number, radius: number): number {
  return p * p + q * q <= radius * radius ? 1 : 0;
}

const FINE = 480;
const heights = new Map<string, readonly LitSpot[]>();
const spots = new Map<string, readonly LitSpot[]>();

/**
 * The light of an opening by height alone: what smears a level edge.
 * @param count rows; each carries its own light at its own centre of light, so mean and (nearly) spread are kept.
 */
export function litHeights(filling: LampFilling, count = 24): readonly LitSpot[] {
  return cached(heights, `${filling} ${count}`, () => cells(filling, 1, count));
}

/** The light of an opening by place: what smears an elbow. */
export function litSpots(filling: LampFilling, across = 9, up = 11): readonly LitSpot[] {
  return cached(spots, `${filling} ${across} ${up}`, () => cells(filling, across, up));
}

function cached(
  kept: Map<string, readonly LitSpot[]>,
  key: string,
  make: () => readonly LitSpot[],
): readonly LitSpot[] {
  const known = kept.get(key);
  if (known) return known;
  const made = make();
  kept.set(key, made);
  return made;
}

function cells(filling: LampFilling, across: number, up: number): readonly LitSpot[] {
  const bright = BRIGHTNESS[filling];
  const sums = Array.from({ length: across * up }, () => ({ x: 0, z: 0, share: 0 }));
  let all = 0;
  // Whole numbers of fine places to a cell: otherwise left and right would be cut unlike.
  const [nx, nz] = [across * Math.ceil(FINE / across), up * Math.ceil(FINE / up)];
  for (let j = 0; j < nz; j++) {
    const z = (2 * (j + 0.5)) / nz - 1;
    const row = Math.floor((j * up) / nz);
    for (let i = 0; i < nx; i++) {
      const x = (2 * (i + 0.5)) / nx - 1;
      const light = bright(x, z);
      if (light === 0) continue;
      const cell = sums[row * across + Math.floor((i * across) / nx)]!;
      cell.x += light * x;
      cell.z += light * z;
      cell.share += light;
      all += light;
    }
  }
  return sums
    .filter((s) => s.share > 0)
    .map((s) => ({ x: s.x / s.share, z: s.z / s.share, share: s.share / all }));
}
