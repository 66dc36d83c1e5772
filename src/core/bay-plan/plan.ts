import { InputError } from '../errors.ts';
import { boardMoved } from './board-moved.ts';
import { type PlaceForecast, placeForecast } from './evaluate.ts';
import type { BayFacts, PlanU } from './facts.ts';
import { type Place, type PlaceKind, placesOf, plannedDistance } from './places.ts';
import { type Shortfall, shortfallsOf } from './shortfalls.ts';

/** What a place is called in the plan: 'board-moved' is a place of another kind, with the board at two distances. */
export type PlannedKind = PlaceKind | 'board-moved';

/** How many of the questions "would a perfect lamp come out within?" a place answers with yes. */
export interface ProofCount {
  readonly within: number;
  /** Pairs of lamp and scheme for which figures are held. */
  readonly of: number;
}

export type PlannedPlace =
  | {
      readonly state: 'open';
      readonly kind: PlannedKind;
      readonly forecast: PlaceForecast;
      readonly shortfalls: readonly Shortfall[];
      readonly proof: ProofCount;
      /** Worst lamp, U (k = 2) and half intervals, per cent. */
      readonly dropU: number;
      readonly offsetU: number;
      readonly farDropU: number;
      readonly farOffsetU: number;
    }
  | {
      /** Not to be used: the vehicle does not fit, or it would hurt somebody. */
      readonly state: 'closed';
      readonly kind: PlannedKind;
      readonly shortfalls: readonly Shortfall[];
    };

export type OpenPlace = Extract<PlannedPlace, { state: 'open' }>;

export interface BayPlan {
  readonly facts: BayFacts;
  readonly u: PlanU;
  readonly places: readonly PlannedPlace[];
  /** The one to take; null when none can be used. */
  readonly recommended: OpenPlace | null;
}

/**
 * The bay plan: every place, what could be measured and proven there, and one to take.
 *
 * @throws InputError when there is no lamp, or a length makes no sense.
 * @see design: place, axis and level (bay plan first).
 */
export function bayPlan(facts: BayFacts, u: PlanU): BayPlan {
  if (facts.lamps.length === 0) throw new InputError('lamps', 'at least one', facts.lamps);
  const { vehicle } = facts;
  if (!(vehicle.lengthMm >= 1000 && vehicle.lengthMm <= 20_000))
    throw new InputError('vehicle.length', 'a length from 1 to 20 m', vehicle.lengthMm);
  if (!(vehicle.wheelbase.value >= 300 && vehicle.wheelbase.value < vehicle.lengthMm))
    throw new InputError('vehicle.wheelbase', 'less than the vehicle is long', vehicle.wheelbase.value);
  const singles = placesOf(facts).map((place) => planned(facts, place, u));
  const moved = boardMoved(
    facts,
    singles.filter((p) => p.state === 'open').map((p) => p.forecast),
  );
  const home = singles.filter(({ kind }) => !kind.startsWith('yard'));
  const yards = singles.filter(({ kind }) => kind.startsWith('yard'));
  const places = [
    ...home,
    ...(moved === null
      ? []
      : [opened('board-moved', moved, [...pairOf(moved), ...shortfallsOf(facts, moved)])]),
    ...yards,
  ];
  return { facts, u, places, recommended: recommend(places) };
}

/** What the second board adds, for the lamp that it serves least. */
function pairOf(moved: PlaceForecast): readonly Shortfall[] {
  const pairs = moved.pairs.filter((pair) => pair !== null);
  const worst = pairs.toSorted((a, b) => b.halfBothPct - a.halfBothPct)[0];
  if (worst === undefined) return [];
  return [{ what: 'pair', nearMm: worst.nearMm, bothPct: worst.halfBothPct, onePct: worst.halfOnePct }];
}

function planned(facts: BayFacts, place: Place, u: PlanU): PlannedPlace {
  if (place.reach === null) {
    return {
      state: 'closed',
      kind: place.kind,
      shortfalls: [{ what: 'no-room', shortByMm: place.shortByMm ?? 0 }],
    };
  }
  const asked = facts.lamps.flatMap((lamp) =>
    lamp.schemes.flatMap((s) =>
      s.rows.flatMap((row) =>
        row.lamp === lamp.function && row.place.kind === 'board' ? [row.place.distanceMm] : [],
      ),
    ),
  );
  const forecast = placeForecast(facts, place, plannedDistance(place.reach, asked), u);
  const shortfalls = shortfallsOf(facts, forecast);
  const closed = shortfalls.filter((s) => s.what === 'engine-indoors');
  if (closed.length > 0) return { state: 'closed', kind: place.kind, shortfalls: closed };
  return opened(place.kind, forecast, shortfalls);
}

function opened(kind: PlannedKind, forecast: PlaceForecast, shortfalls: readonly Shortfall[]): OpenPlace {
  const { lamps } = forecast;
  const asked = lamps.flatMap((lamp) => lamp.proof.each).filter((p) => p.outcome !== 'no-figure');
  return {
    state: 'open',
    kind,
    forecast,
    shortfalls,
    proof: {
      within: asked.filter((p) => p.outcome === 'within' || p.outcome === 'within-unchecked').length,
      of: asked.length,
    },
    dropU: Math.max(...lamps.map((l) => l.dropU)),
    offsetU: Math.max(...lamps.map((l) => l.offsetU)),
    farDropU: Math.max(...lamps.map((l) => l.farDropU)),
    farOffsetU: Math.max(...lamps.map((l) => l.farOffsetU)),
  };
}

/**
 * What a place costs in trouble, on the scale of doubt: a yard is a drive at night, perhaps in a vehicle that may not be
 * on the road yet. A weighing of our own.
 */
const TROUBLE_PCT: Readonly<Record<PlannedKind, number>> = {
  'nose-in': 0,
  'house-wall': 0.05,
  'nose-out': 0.05,
  'shining-in': 0.1,
  'board-moved': 0.2,
  'yard-near': 0.3,
  'yard-far': 0.35,
};
/** Standing on a slope is work and danger: per per cent of it. */
const TROUBLE_PER_SLOPE = 0.01;
/** How much of the far doubt counts between places that prove the same. */
const DOUBT_WEIGHT = 0.3;

/** The place that proves most; of those, the one with the least doubt for its trouble. */
function recommend(places: readonly PlannedPlace[]): OpenPlace | null {
  const open = places.filter((p) => p.state === 'open');
  const cost = (p: OpenPlace): number =>
    DOUBT_WEIGHT * p.farDropU + TROUBLE_PCT[p.kind] + TROUBLE_PER_SLOPE * Math.abs(p.forecast.stand.pitchPct);
  const proves = (p: OpenPlace): number => (p.proof.of === 0 ? 0 : p.proof.within / p.proof.of);
  return open.reduce<OpenPlace | null>(
    (best, p) =>
      best === null || proves(p) > proves(best) || (proves(p) === proves(best) && cost(p) < cost(best))
        ? p
        : best,
    null,
  );
}
