import { tanFromDeg } from '../units.ts';
import type { PlaceForecast } from './evaluate.ts';
import type { BayFacts } from './facts.ts';
import { ROOM } from './places.ts';

/** What a place lacks, as data: the words are the report's. Lengths mm, slopes and doubts per cent. */
export type Shortfall =
  | { readonly what: 'no-room'; readonly shortByMm: number }
  | { readonly what: 'engine-indoors' }
  /** So near that the lamp's own size hides what stands far away. */
  | {
      readonly what: 'near-field';
      readonly openPct: number;
      readonly litMm: number | null;
      readonly atMm: number;
    }
  /** Even a perfectly aimed lamp would not come out within. */
  | {
      readonly what: 'not-proven';
      readonly scheme: string;
      readonly outcome: 'too-close' | 'too-wide' | 'not-from-here';
      readonly why: string | null;
    }
  | { readonly what: 'short'; readonly distanceMm: number }
  | { readonly what: 'slope'; readonly pitchPct: number }
  | { readonly what: 'board-on-slope'; readonly footMm: number }
  | { readonly what: 'astride' }
  | { readonly what: 'floor-unknown' }
  | { readonly what: 'door-narrow'; readonly needMm: number; readonly haveMm: number }
  | { readonly what: 'door-low'; readonly needMm: number; readonly haveMm: number }
  | { readonly what: 'low-on-board'; readonly edgeMm: number }
  | { readonly what: 'high-board'; readonly topMm: number }
  | { readonly what: 'one-card'; readonly needMm: number; readonly haveMm: number }
  | { readonly what: 'no-side-room'; readonly haveMm: number }
  /** A drive there, in the dark, perhaps in a vehicle that may not be on the road. */
  | { readonly what: 'away' }
  /** What the second board would leave open of far, either way, against the farther board alone. */
  | { readonly what: 'pair'; readonly nearMm: number; readonly bothPct: number; readonly onePct: number }
  | { readonly what: 'open-air' };

/** Below this every mm of tape counts much, and the edge is all smear: nothing but a rough setting. */
const SHORT_MM = 3000;
/** A slope that has to be measured and chocked against, per cent. */
const SLOPE_PCT = 0.5;
/** Sheets and a hand's room under the edge. */
const LOWEST_EDGE_MM = 150;
/** A board higher than this needs a ladder. */
const HIGH_BOARD_MM = 2000;
/** The standards' scans end 3.5 deg from the elbow (standards' row G-4). */
const SCAN_DEG = 3.5;

/** Everything that one place lacks, the gravest first. */
export function shortfallsOf(facts: BayFacts, f: PlaceForecast): readonly Shortfall[] {
  const { place, stand, board, distanceMm } = f;
  const out: Shortfall[] = [];
  if (facts.engineNeeded && place.indoors) out.push({ what: 'engine-indoors' });
  if (distanceMm < SHORT_MM) out.push({ what: 'short', distanceMm });
  const smeared = f.lamps
    .map((lamp, i) => ({ lamp, facts: facts.lamps[i]! }))
    .filter(({ lamp }) => !lamp.farProvable)
    .sort((a, b) => b.lamp.farShift.max - a.lamp.farShift.max)[0];
  if (smeared !== undefined) {
    out.push({
      what: 'near-field',
      openPct: smeared.lamp.farShift.max - smeared.lamp.farShift.min,
      litMm: smeared.facts.litHeightMm,
      atMm: distanceMm,
    });
  }
  for (const lamp of f.lamps) {
    for (const p of lamp.proof.each) {
      if (p.outcome === 'too-close' || p.outcome === 'too-wide' || p.outcome === 'not-from-here') {
        out.push({ what: 'not-proven', scheme: p.scheme, outcome: p.outcome, why: p.why });
      }
    }
  }
  if (Math.abs(stand.pitchPct) >= SLOPE_PCT) out.push({ what: 'slope', pitchPct: stand.pitchPct });
  if (stand.astride) out.push({ what: 'astride' });
  if (Math.abs(stand.footAboveTyresMm) > (10 * distanceMm) / 5000)
    out.push({ what: 'board-on-slope', footMm: stand.footAboveTyresMm });
  // A level line does not care what the floor does in between.
  const byFloor = f.level === 'nose-to-board' || f.level === 'floor-unmeasured';
  if (byFloor && place.flatnessMmPerM === null) out.push({ what: 'floor-unknown' });
  out.push(...doorShortfalls(facts, f));
  if (board.edgeMm.lowest < LOWEST_EDGE_MM) out.push({ what: 'low-on-board', edgeMm: board.edgeMm.lowest });
  if (board.topMm > HIGH_BOARD_MM) out.push({ what: 'high-board', topMm: board.topMm });
  if (facts.lamps.length > 1 && place.widthMm !== null && board.acrossAllMm > place.widthMm)
    out.push({ what: 'one-card', needMm: board.acrossAllMm, haveMm: place.widthMm });
  const beside = sideRoom(facts, f);
  if (beside !== null && beside < ROOM.openDoor) out.push({ what: 'no-side-room', haveMm: beside });
  if (place.kind === 'yard-near' || place.kind === 'yard-far') out.push({ what: 'away' });
  if (place.openAir) out.push({ what: 'open-air' });
  return out;
}

/** Free width on the better side of a vehicle that stands in the garage against one wall, mm. */
function sideRoom(facts: BayFacts, { place, stand }: PlaceForecast): number | null {
  const { garage, vehicle } = facts;
  const inside = place.kind === 'nose-in' || place.kind === 'nose-out';
  if (!inside || garage?.widthMm == null || vehicle.widthMm === null || stand.astride) return null;
  return garage.widthMm - vehicle.widthMm - 100;
}

/** Whether the door lets the light through. */
function doorShortfalls(facts: BayFacts, { place, stand, board }: PlaceForecast): readonly Shortfall[] {
  const { garage } = facts;
  const door = garage?.lengthMm;
  const through =
    (place.kind === 'nose-out' || place.kind === 'shining-in') &&
    door !== undefined &&
    (stand.lampMm - door) * (stand.boardMm - door) < 0;
  if (!through || garage === null) return [];
  const out: Shortfall[] = [];
  const rights = facts.lamps.map((lamp) => lamp.centreRight.value);
  const toDoor = Math.abs(stand.lampMm - door);
  const needMm = Math.max(...rights) - Math.min(...rights) + 2 * toDoor * tanFromDeg(SCAN_DEG);
  if (garage.doorWidthMm !== null && needMm > garage.doorWidthMm)
    out.push({ what: 'door-narrow', needMm, haveMm: garage.doorWidthMm });
  const highest = Math.max(board.edgeMm.highest, ...facts.lamps.map((lamp) => lamp.centreUp.value));
  if (garage.doorHeightMm !== null && highest + 100 > garage.doorHeightMm)
    out.push({ what: 'door-low', needMm: highest + 100, haveMm: garage.doorHeightMm });
  return out;
}
