import { degFromRad, tanFromDeg } from '../../units.ts';
import type { LightMap } from './light-map.ts';
import { lineAt, middleOf, type SeenLight } from './seen-light.ts';
import { summits } from './summits.ts';

/** Patches and streaks of light above the edge, outside the lit part: how many, and the brightest over the peak. */
export interface Patches {
  readonly patches: number;
  readonly patchShare: number;
}

/** Bright spots and dark gaps in the lit part of the beam, patches above it. */
export interface BrightPlaces extends Patches {
  /** The second bright spot: its distance from the first, deg (right and up +), its light and the light between over it. */
  readonly second: {
    readonly rightDeg: number;
    readonly upDeg: number;
    readonly ofFirst: number;
    readonly between: number;
  } | null;
  /** The deepest dark gap along the edge: its place from the elbow, deg, and its light over the dimmer side's. */
  readonly gap: { readonly rightDeg: number; readonly downDeg: number; readonly left: number } | null;
  /** Spots that stand out from their surroundings by a seventh or more. */
  readonly spots: number;
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
  const tops = summits(burntAlike(map), map.columns, map.rows, lit).map((s) => ({
    ...s,
    height: Math.min(s.height, seen.spot.peak),
  }));
  const first = tops[0];
  if (first === undefined) return { second: null, gap: null, spots: 0, patches: 0, patchShare: 0 };
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
  return { second, gap: deepestGap(seen, map), spots, ...patchesAbove(map, seen.spot) };
}

/** A patch is worth a word with this share of the peak, and when it stands out of what is around it by this much. */
const PATCH = 0.02;
const PATCH_OUT = 0.7;

/** Summits that lie higher than the brightest place, apart from it: nothing that a lamp sends there on purpose. */
export function patchesAbove(map: LightMap, spot: { readonly v: number; readonly peak: number }): Patches {
  let patches = 0;
  let patchShare = 0;
  for (const top of summits(burntAlike(map), map.columns, map.rows, () => true).slice(1)) {
    const share = top.height / spot.peak;
    const c = top.at % map.columns;
    const v = map.v0 + ((top.at - c) / map.columns) * map.step;
    if (share < PATCH || top.saddle > PATCH_OUT * top.height || v < spot.v + tanFromDeg(1)) continue;
    patches++;
    patchShare = Math.max(patchShare, share);
  }
  return { patches, patchShare };
}

/** Burnt-out places are alike bright: none of them is a summit of its own. */
function burntAlike(map: LightMap): Float64Array {
  return map.light.map((e, k) => (map.clipped[k]! > 0.5 ? 1e6 : e));
}

/** Bands below the edge's lower end in which a gap is looked for, deg. */
const BANDS = [
  [0.4, 1],
  [0.8, 1.4],
  [1.2, 1.8],
  [1.6, 2.4],
] as const;

/** A dark gap between two brighter places along the edge, within 3 deg of the elbow. */
function deepestGap(seen: SeenLight, map: LightMap): BrightPlaces['gap'] {
  const middle = middleOf(seen);
  let best: BrightPlaces['gap'] = null;
  for (const [from, to] of BANDS) {
    const run: { readonly u: number; readonly e: number }[] = [];
    for (let c = 0; c < map.columns; c++) {
      const u = map.u0 + c * map.step;
      if (Math.abs(u - middle) > ASIDE) continue;
      const e = bandMean(seen, map, c, tanFromDeg(from), tanFromDeg(to));
      if (e !== null) run.push({ u, e });
    }
    let left = 0;
    const highest = run.map(({ e }) => {
      left = Math.max(left, e);
      return left;
    });
    let right = 0;
    for (let i = run.length - 1; i >= 0; i--) {
      const { u, e } = run[i]!;
      right = Math.max(right, e);
      const ratio = e / Math.min(right, highest[i]!);
      if (Math.abs(u - middle) > tanFromDeg(3) || (best !== null && best.left <= ratio)) continue;
      best = { rightDeg: degFromRad(Math.atan(u - middle)), downDeg: (from + to) / 2, left: ratio };
    }
  }
  return best;
}

function bandMean(seen: SeenLight, map: LightMap, c: number, from: number, to: number): number | null {
  const edge = lineAt(seen, map.u0 + c * map.step) - seen.halfHeight;
  let sum = 0;
  let n = 0;
  for (let r = 0; r < map.rows; r++) {
    const below = edge - (map.v0 + r * map.step);
    if (below < from || below > to) continue;
    const k = r * map.columns + c;
    const e = map.clipped[k]! > 0.5 ? seen.spot.peak : map.light[k]!;
    if (!Number.isFinite(e)) return null;
    sum += e;
    n++;
  }
  return n === 0 ? null : sum / n;
}
