import { dropText } from '../uncertainty/words.ts';
import { type BeamCase, NO_SHIFT, type ShiftPct } from './judge-input.ts';
import { isAtDistance } from './judge-words.ts';
import type { Band, Feature, Scheme, SchemeRow } from './scheme.ts';
import { selectRows } from './select-rows.ts';

/** A lamp and beam to find an aim for. */
export interface AimCase extends BeamCase {
  /** Standard uncertainty of a drop read on this board, per cent. */
  readonly uDropPct: number;
}

/** Which part of the beam is brought to the aim. */
export type AimedFeature = 'cut-off' | 'cut-off-2.0R' | 'hot-spot' | 'bright-zone';

/** What one row asks for, in the common place; per cent, drop + down. */
export interface SchemeAim {
  readonly scheme: string;
  readonly row: string;
  readonly band: Band;
  readonly aimPct: number | null;
  readonly lateral: Band | null;
  readonly lateralAimPct: number | null;
  readonly figureChecked: boolean;
}

export type CommonAim =
  | {
      readonly kind: 'shared';
      readonly feature: AimedFeature;
      /** Where the aim holds: as seen from far, or on a board as far off as this one. */
      readonly place: 'far' | 'board';
      readonly dropBand: Band;
      readonly dropPct: number;
      readonly lateralBand: Band | null;
      readonly offsetPct: number | null;
      /** What near field leaves open for this part of the beam, for `boardAim`; nought on a board. */
      readonly farShiftPct: ShiftPct;
      readonly each: readonly SchemeAim[];
      /** How the aim was chosen, in plain words. */
      readonly why: string;
      /** False when any figure in it is from memory. */
      readonly figureChecked: boolean;
    }
  | {
      readonly kind: 'nothing-shared';
      /** The two that exclude each other. */
      readonly between: readonly [SchemeAim, SchemeAim];
      readonly each: readonly SchemeAim[];
      readonly why: string;
    }
  | { readonly kind: 'none'; readonly why: string };

/** Figures that agree on paper must not part by rounding. */
const ROUNDING_PCT = 1e-9;

/**
 * One aim for several schemes at once: the middle of what they share, or a single figure that one of them asks for if it
 * lies inside. Where the lamp may fall under two height bands, or under two options of the maker, all of them count.
 *
 * Limits on a board and limits from far are only joined on a board as far off as the figure says, and then so that they
 * hold at both ends of what near field leaves open. Where the shared band is too narrow for U on both sides, the aim
 * keeps U to the dazzle limit first.
 */
export function commonAim(schemes: readonly Scheme[], of: AimCase): CommonAim {
  const reasons: string[] = [];
  const rows = schemes.flatMap((scheme) => {
    const selection = selectRows(scheme, of);
    if (selection.kind === 'none') {
      reasons.push(`${scheme.title}: ${selection.why}`);
      return [];
    }
    return selection.rows.map(({ row }) => ({ scheme, row }));
  });
  const usable = rows.filter(({ row }) => asksForSomething(row) && isInReach(row, of));
  const feature = usable.map(({ row }) => AIMED[row.feature])[0];
  if (feature === undefined)
    return {
      kind: 'none',
      why: reasons[0] ?? 'None of the chosen rules gives a figure that holds on this board.',
    };
  const aimed = usable.filter(({ row }) => AIMED[row.feature] === feature);
  // Limits alone are compared in one place: from far, unless all of them speak of a board.
  const place = aimed.every(({ row }) => row.place.kind === 'board') ? 'board' : 'far';
  const each = aimed.map(({ scheme, row }) => askedBy(scheme, row, feature, place, of));
  return join(each, feature, place, of);
}

function join(
  each: readonly SchemeAim[],
  feature: AimedFeature,
  place: 'far' | 'board',
  of: AimCase,
): CommonAim {
  const vertical = shareOf(each, (a) => ({ band: a.band, aimPct: a.aimPct }));
  if (vertical.kind === 'excluded') {
    const { least, most } = vertical;
    return {
      kind: 'nothing-shared',
      between: [least.of, most.of],
      each,
      why: `${least.of.row} asks for ${dropText(least.pct)} or lower, ${most.of.row} for ${dropText(most.pct)} or higher: no aim satisfies both. Choose the one that your inspection goes by.`,
    };
  }
  const lateral = shareOf(
    each.filter((a) => a.lateral !== null),
    (a) => ({ band: a.lateral!, aimPct: a.lateralAimPct }),
  );
  if (lateral.kind === 'excluded') {
    const { least, most } = lateral;
    return {
      kind: 'nothing-shared',
      between: [least.of, most.of],
      each,
      why: `${least.of.row} and ${most.of.row} ask for different sides: no sideways aim satisfies both.`,
    };
  }
  if (vertical.band.minPct === null && vertical.band.maxPct === null)
    return { kind: 'none', why: 'None of the chosen rules gives a height to aim at.' };
  const { dropPct, why } = chooseDrop(each, vertical, of.uDropPct);
  return {
    kind: 'shared',
    feature,
    place,
    dropBand: vertical.band,
    dropPct,
    lateralBand: each.some((a) => a.lateral !== null) ? lateral.band : null,
    farShiftPct: place === 'far' ? shiftOf(feature, of) : NO_SHIFT,
    offsetPct: lateral.points[0] ?? middleOf(lateral.band) ?? lateral.aims[0] ?? null,
    each,
    why,
    figureChecked: each.every((a) => a.figureChecked),
  };
}

interface Shared {
  readonly kind: 'shared';
  readonly band: Band;
  /** Single figures without limits: they leave no choice. */
  readonly points: readonly number[];
  readonly aims: readonly number[];
}

interface Excluded {
  readonly kind: 'excluded';
  /** The row whose lower limit is above the other's upper limit. */
  readonly least: { readonly of: SchemeAim; readonly pct: number };
  readonly most: { readonly of: SchemeAim; readonly pct: number };
}

/** What the limits of all rows leave over; an aim without limits allows just that figure. */
function shareOf(
  each: readonly SchemeAim[],
  pick: (a: SchemeAim) => { readonly band: Band; readonly aimPct: number | null },
): Shared | Excluded {
  let least: Excluded['least'] | null = null;
  let most: Excluded['most'] | null = null;
  const points: number[] = [];
  const aims: number[] = [];
  for (const a of each) {
    const { band, aimPct } = pick(a);
    const point = band.minPct === null && band.maxPct === null ? aimPct : null;
    const min = band.minPct ?? point;
    const max = band.maxPct ?? point;
    if (min !== null && (least === null || min > least.pct)) least = { of: a, pct: min };
    if (max !== null && (most === null || max < most.pct)) most = { of: a, pct: max };
    if (point !== null) points.push(point);
    if (aimPct !== null) aims.push(aimPct);
  }
  if (least !== null && most !== null && least.pct > most.pct + ROUNDING_PCT)
    return { kind: 'excluded', least, most };
  return {
    kind: 'shared',
    band: { minPct: least?.pct ?? null, maxPct: most?.pct ?? null },
    points,
    aims,
  };
}

function middleOf({ minPct, maxPct }: Band): number | null {
  return minPct === null || maxPct === null ? null : (minPct + maxPct) / 2;
}

function chooseDrop(
  each: readonly SchemeAim[],
  { band, points, aims }: Shared,
  uDropPct: number,
): { readonly dropPct: number; readonly why: string } {
  const [point] = points;
  if (point !== undefined)
    return { dropPct: point, why: `The one figure that is asked for, ${dropText(point)}.` };
  const { minPct, maxPct } = band;
  const U = 2 * uDropPct;
  const middle = middleOf(band);
  if (middle !== null) {
    const clear = Math.min(maxPct!, Math.max(middle, minPct! + U));
    const shared = `${each.length > 1 ? 'what they share' : 'the limits'}, ${dropText(minPct!)} to ${dropText(maxPct!)}`;
    return clear > middle
      ? {
          dropPct: clear,
          why: `Lower than the middle of ${shared}: the reading is not sure enough for both limits, and too high dazzles.`,
        }
      : { dropPct: middle, why: `The middle of ${shared}.` };
  }
  // One limit only: the lowest aim that a row gives and the limit allows, else clear of the limit by U.
  const allowed = aims.filter((a) => (minPct === null || a >= minPct) && (maxPct === null || a <= maxPct));
  const edge = minPct !== null ? minPct + U : maxPct! - U;
  const dropPct = allowed.length > 0 ? Math.max(...allowed) : edge;
  return { dropPct, why: `There is a limit on one side only; the aim is ${dropText(dropPct)}.` };
}

const AIMED: Readonly<Record<Feature, AimedFeature>> = {
  'flat-part': 'cut-off',
  'whole-top-edge': 'cut-off',
  elbow: 'cut-off',
  'rise-against-zone': 'cut-off',
  'flat-part-2.0R': 'cut-off-2.0R',
  'hot-spot-centre': 'hot-spot',
  'bright-zone-top-left': 'bright-zone',
};

function asksForSomething(row: SchemeRow): boolean {
  const limits = [row.vertical.minPct, row.vertical.maxPct, row.lateral?.minPct, row.lateral?.maxPct];
  return row.aimPct !== null || limits.some((x) => x !== null && x !== undefined);
}

function isInReach(row: SchemeRow, of: AimCase): boolean {
  return row.place.kind === 'far' || isAtDistance(of.boardDistanceMm, row.place.distanceMm);
}

/** A main beam fills its lamp evenly, so its hot spot stays in place from near; the rest is smeared. */
function shiftOf(feature: AimedFeature, of: AimCase): ShiftPct {
  return feature === 'hot-spot' && of.lamp.function === 'driving' ? NO_SHIFT : of.farShiftPct;
}

function askedBy(
  scheme: Scheme,
  row: SchemeRow,
  feature: AimedFeature,
  place: 'far' | 'board',
  of: AimCase,
): SchemeAim {
  // A limit on the board, seen from far: far = board + shift, so it must hold whatever the shift.
  const shift = place === 'far' && row.place.kind === 'board' ? shiftOf(feature, of) : NO_SHIFT;
  const plus = (pct: number | null, by: number): number | null => (pct === null ? null : pct + by);
  return {
    scheme: scheme.id,
    row: row.id,
    band: { minPct: plus(row.vertical.minPct, shift.max), maxPct: plus(row.vertical.maxPct, shift.min) },
    aimPct: plus(row.aimPct, shift.max),
    lateral: row.lateral,
    lateralAimPct: row.lateralAimPct,
    figureChecked: row.source.seen !== 'memory',
  };
}
