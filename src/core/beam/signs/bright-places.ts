import { degFromRad, tanFromDeg } from '../../units.ts';
import type { LightMap } from './light-map.ts';
import { lineAt, middleOf, type SeenLight } from './seen-light.ts';
import { summits } from './summits.ts';

/** Bright spots and dark holes in the lit part of the beam. */
export interface BrightPlaces {
  /** The second bright spot: its distance from the first, deg (right and up +), its light and the light between over it. */
  readonly second: {
    readonly rightDeg: number;
    readonly upDeg: number;
    readonly ofFirst: number;
    readonly between: number;
  } | null;
  /** The deepest hole: its place from the elbow, deg, and its light over that of the ring around it. */
  readonly hole: { readonly rightDeg: number; readonly downDeg: number; readonly left: number } | null;
  /** Spots that stand out from their surroundings by a seventh or more. */
  readonly spots: number;
  /** Patches and streaks of light above the edge, outside the lit part: how many, and the brightest over the peak. */
  readonly patches: number;
  readonly patchShare: number;
}

/** The lit part: this far below the edge and about its middle. */
const BELOW = tanFromDeg(4.5);
const ASIDE = tanFromDeg(8);
/** A second spot is worth a look when it has this share of the first one's light. */
const WORTH = 0.35;
const STANDS_OUT = 0.87;

export function brightPlaces(seen: SeenLight, map: LightMap): BrightPlaces {
  const middle = middleOf(seen);
  const lit = (at: number): boolean => {
    const c = at % map.columns;
    const u = map.u0 + c * map.step;
    const v = map.v0 + ((at - c) / map.columns) * map.step;
    const below = lineAt(seen, u) - v;
    return Math.abs(u - middle) < ASIDE && below > -seen.halfHeight && below < BELOW + seen.halfHeight;
  };
  const placeOf = (at: number) => {
    const c = at % map.columns;
    return { u: map.u0 + c * map.step, v: map.v0 + ((at - c) / map.columns) * map.step };
  };
  // Burnt-out places are alike bright: none of them is a summit of its own.
  const capped = map.light.map((e, k) => (map.clipped[k]! > 0.5 ? 1e6 : e));
  const tops = summits(capped, map.columns, map.rows, lit).map((s) => ({
    ...s,
    height: Math.min(s.height, seen.spot.peak),
  }));
  const first = tops[0];
  if (first === undefined) return { second: null, hole: null, spots: 0, patches: 0, patchShare: 0 };
  let second: BrightPlaces['second'] = null;
  let spots = 1;
  for (const top of tops.slice(1)) {
    const ofFirst = top.height / first.height;
    const between = top.saddle / top.height;
    if (ofFirst < WORTH || between > STANDS_OUT) continue;
    spots++;
    if (second !== null && second.between < between) continue;
    const [a, b] = [placeOf(first.at), placeOf(top.at)];
    second = {
      rightDeg: degFromRad(Math.atan(b.u - a.u)),
      upDeg: degFromRad(Math.atan(b.v - a.v)),
      ofFirst,
      between,
    };
  }
  const hole = deepestHole(seen, map, capped, lit, placeOf);
  return { second, hole, spots, ...patchesAbove(seen, map, capped) };
}

/** A patch is worth a word with this share of the peak, and when it stands out of what is around it by this much. */
const PATCH = 0.02;
const PATCH_OUT = 0.7;

/** Summits that lie higher than the middle of the lit part, apart from it: nothing that a lamp sends there on purpose. */
function patchesAbove(
  seen: SeenLight,
  map: LightMap,
  capped: Float64Array,
): { readonly patches: number; readonly patchShare: number } {
  let patches = 0;
  let patchShare = 0;
  for (const top of summits(capped, map.columns, map.rows, () => true).slice(1)) {
    const share = top.height / seen.spot.peak;
    const c = top.at % map.columns;
    const v = map.v0 + ((top.at - c) / map.columns) * map.step;
    if (share < PATCH || top.saddle > PATCH_OUT * top.height || v < seen.spot.v + tanFromDeg(1)) continue;
    patches++;
    patchShare = Math.max(patchShare, share);
  }
  return { patches, patchShare };
}

/** A dark place that light surrounds on all sides, within 3 deg of the elbow: the summits of the map upside down. */
function deepestHole(
  seen: SeenLight,
  map: LightMap,
  capped: Float64Array,
  lit: (at: number) => boolean,
  placeOf: (at: number) => { readonly u: number; readonly v: number },
): BrightPlaces['hole'] {
  const middle = middleOf(seen);
  let best: BrightPlaces['hole'] = null;
  const log = capped.map((e, k) => (lit(k) ? -Math.log(Math.max(1e-6, e)) : Number.NaN));
  // The dark outside is higher than every hole: a rim of cells joined to it.
  const open = log.map((l, k) => (Number.isFinite(l) && atRim(log, map.columns, map.rows, k) ? 99 : l));
  for (const pit of summits(open, map.columns, map.rows, (k) => Number.isFinite(log[k]!))) {
    if (pit.height > 50 || !Number.isFinite(pit.saddle)) continue;
    const left = Math.exp(pit.saddle - pit.height);
    const place = placeOf(pit.at);
    if (Math.abs(place.u - middle) > tanFromDeg(3) || (best !== null && best.left < left)) continue;
    best = {
      rightDeg: degFromRad(Math.atan(place.u - middle)),
      downDeg: degFromRad(Math.atan(lineAt(seen, place.u) - place.v)),
      left,
    };
  }
  return best;
}

function atRim(log: Float64Array, columns: number, rows: number, k: number): boolean {
  const c = k % columns;
  const r = (k - c) / columns;
  if (c === 0 || r === 0 || c === columns - 1 || r === rows - 1) return true;
  return ![k - 1, k + 1, k - columns, k + columns].every((n) => Number.isFinite(log[n]!));
}
