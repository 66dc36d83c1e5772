import type { PlaceForecast } from './evaluate.ts';
import type { BayFacts } from './facts.ts';
import type { LampForecast } from './lamp-forecast.ts';
import { provable } from './provable.ts';

/** The farther board of a pair: nearer than this both boards show mostly smear (design: pairs from 5 m on). */
const LEAST_FAR_MM = 5000;

/**
 * The vehicle stays where it stands best at home, the board is carried to a second, nearer place: what both sets of
 * photos, read together, would leave open of the far drop. A reading from several boards is judged by rules that speak
 * of far away from any distance, by the joint value and its doubt. null when no place at home has room for it.
 *
 * @param open forecasts of every place that can be used.
 */
export function boardMoved(facts: BayFacts, open: readonly PlaceForecast[]): PlaceForecast | null {
  const bases = open.filter(
    (f) =>
      f.place.kind !== 'yard-near' &&
      f.place.kind !== 'yard-far' &&
      f.distanceMm >= LEAST_FAR_MM &&
      f.pairs.some((pair) => pair !== null),
  );
  const base = bases.reduce<PlaceForecast | null>(
    (a, b) => (a === null || farHalf(b) < farHalf(a) ? b : a),
    null,
  );
  if (base === null) return null;
  return { ...base, lamps: base.lamps.map((lamp, i) => withPair(facts, base, lamp, i)) };
}

function farHalf(f: PlaceForecast): number {
  return Math.max(...f.lamps.map((lamp, i) => lamp.dropU + (f.pairs[i]?.halfBothPct ?? 0)));
}

function withPair(facts: BayFacts, base: PlaceForecast, lamp: LampForecast, index: number): LampForecast {
  const pair = base.pairs[index] ?? null;
  // A main beam needs no second board: its middle stands still.
  if (pair === null) return lamp;
  return {
    ...lamp,
    farShift: pair.shift,
    farProvable: true,
    farDropU: lamp.dropU + pair.halfBothPct,
    proof: provable(facts.lamps[index]!, facts.trafficSide, {
      distanceMm: base.distanceMm,
      dropPct: lamp.dropPct,
      offsetPct: lamp.offsetPct,
      farShift: pair.shift,
      offsetFarShift: lamp.offsetFarShift,
      farProvable: true,
      farWhy: null,
    }),
  };
}
