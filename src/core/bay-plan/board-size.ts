import { pctFromDeg, tanFromDeg } from '../units.ts';
import type { PlanLampFacts } from './facts.ts';
import type { Stand } from './places.ts';

/** Board that a plan needs, mm. Heights are counted from the board's foot. */
export interface BoardSize {
  /** One board for all lamps side by side. */
  readonly acrossAllMm: number;
  /** A card moved from lamp to lamp. */
  readonly acrossOneMm: number;
  readonly bottomMm: number;
  readonly topMm: number;
  /** Where the edges should stand, over the board's foot, lowest and highest, mm. */
  readonly edgeMm: { readonly lowest: number; readonly highest: number };
  /** Lamp centre straight ahead on the board, over its foot, mm: the highest lamp's. */
  readonly centreMm: number;
}

/** The standards' scans go to 3.5 deg from the elbow; a lamp half a degree out sideways must still show them. */
const EDGE_SIDE_DEG = 4;
/** Over the edge: the light that should not be there, and a lamp that starts 1 % too high. */
const ABOVE_DEG = 1.2;
/** Below the lowest limit: a lamp that starts this much too low, per cent. */
const BELOW_PCT = 1;
/** Sheets hang below the light: 4 % of the distance and a hand, then half a sheet and a rim, mm. */
const SHEETS_BELOW = { share: 0.04, handMm: 110, halfSheetMm: 149, rimMm: 40 } as const;
/** Over a centre mark, for the arms of its tape, mm. */
const OVER_MARK_MM = 110;
/** Two sheets side by side, with rims. */
const LEAST_CARD_MM = 500;
/** Where limits are unknown: the usual band, per cent. */
const USUAL_BAND = { minPct: 0.5, maxPct: 2.75 } as const;

/**
 * How large the board has to be, and where on it the light falls.
 *
 * @param limits of all schemes for these lamps, per cent, + down; null where none limits.
 * @param stand gives the board's foot against the plane of the tyres: beam heights count from that plane.
 */
export function boardSize(
  lamps: readonly PlanLampFacts[],
  distanceMm: number,
  stand: Pick<Stand, 'footAboveTyresMm'>,
  limits: { readonly minPct: number | null; readonly maxPct: number | null },
): BoardSize {
  const min = limits.minPct ?? USUAL_BAND.minPct;
  const max = limits.maxPct ?? USUAL_BAND.maxPct;
  const side = distanceMm * tanFromDeg(EDGE_SIDE_DEG);
  const rights = lamps.map((lamp) => lamp.centreRight.value);
  const centres = lamps.map((lamp) => lamp.centreUp.value - stand.footAboveTyresMm);
  const at = (centre: number, dropPct: number): number => centre - (distanceMm * dropPct) / 100;
  const halfLit = Math.max(...lamps.map((lamp) => (lamp.litHeightMm ?? 170) / 2));
  const tops = centres.map((c) => Math.max(c + OVER_MARK_MM, at(c, min - pctFromDeg(ABOVE_DEG)) + halfLit));
  const bottoms = centres.map((c) =>
    Math.min(
      at(c, max + BELOW_PCT) - halfLit,
      c -
        SHEETS_BELOW.share * distanceMm -
        SHEETS_BELOW.handMm -
        SHEETS_BELOW.halfSheetMm -
        SHEETS_BELOW.rimMm,
    ),
  );
  return {
    acrossAllMm: Math.max(...rights) - Math.min(...rights) + 2 * side,
    acrossOneMm: Math.max(2 * side, LEAST_CARD_MM),
    bottomMm: Math.max(0, Math.min(...bottoms)),
    topMm: Math.max(...tops),
    edgeMm: {
      lowest: Math.min(...centres.map((c) => at(c, max))),
      highest: Math.max(...centres.map((c) => at(c, min))),
    },
    centreMm: Math.max(...centres),
  };
}
