import type { Feature, LampFunction, Scheme, SchemeRow, SchemeSource } from '../scheme.ts';
import { ANY_HEIGHT, band, FAR, NO_LIMITS } from './row-parts.ts';

/** Schemes made of figures that the person typed in. */

/** A lamp with the aim that its vehicle's handbook gives. Per cent: drop + down, offset + right. */
export interface HandbookLamp {
  readonly id: string;
  readonly title: string;
  readonly function: LampFunction;
  readonly handbook: {
    readonly dropPct: number;
    /** Either way; null when the book gives none. */
    readonly tolerancePct: number | null;
    readonly offsetPct: number | null;
    /** null: holds far away, as an instrument sees it. */
    readonly onBoardAtMm: number | null;
    /** Book, page and edition; null when the person did not say. */
    readonly source: string | null;
  };
}

/** One row of the person's own table. */
export interface OwnRow {
  readonly id: string;
  readonly lamp: LampFunction;
  readonly feature: Feature;
  readonly minDropPct: number | null;
  readonly maxDropPct: number | null;
  readonly aimDropPct: number | null;
  readonly minOffsetPct: number | null;
  readonly maxOffsetPct: number | null;
  readonly onBoardAtMm: number | null;
  readonly source: string;
}

const SCHEME = { region: 'any', words: 'gb', trafficSide: 'either' } as const;

/**
 * The handbook's figure for one lamp as a scheme of one row.
 * Without a tolerance it is an aim, not a limit: no verdict can say "within", but turns and target line work.
 *
 * @param feature what the book counts; left out: the flat part of a cut-off, the hot spot of a main beam.
 */
export function handbookScheme(lamp: HandbookLamp, feature?: Feature): Scheme {
  const { dropPct, tolerancePct, offsetPct, onBoardAtMm, source } = lamp.handbook;
  return {
    ...SCHEME,
    id: `handbook-${lamp.id}`,
    title: `Handbook figure, ${lamp.title}`,
    rows: [
      {
        id: `handbook-${lamp.id}`,
        lamp: lamp.function,
        feature: feature ?? (lamp.function === 'driving' ? 'hot-spot-centre' : 'flat-part'),
        place: placeOf(onBoardAtMm),
        heightReference: 'centre',
        height: ANY_HEIGHT,
        loadState: 'as the handbook says',
        vertical: tolerancePct === null ? NO_LIMITS : band(dropPct - tolerancePct, dropPct + tolerancePct),
        aimPct: dropPct,
        lateral: offsetPct === null ? null : NO_LIMITS,
        lateralAimPct: offsetPct,
        source: typedIn(source),
        note: null,
      },
    ],
  };
}

/** The person's own table as one scheme. */
export function ownTableScheme(rows: readonly OwnRow[]): Scheme {
  return {
    ...SCHEME,
    id: 'own-table',
    title: 'Your own table',
    rows: rows.map(
      (row): SchemeRow => ({
        id: row.id,
        lamp: row.lamp,
        feature: row.feature,
        place: placeOf(row.onBoardAtMm),
        heightReference: 'centre',
        height: ANY_HEIGHT,
        loadState: 'as your source says',
        vertical: band(row.minDropPct, row.maxDropPct),
        aimPct: row.aimDropPct,
        lateral:
          row.minOffsetPct === null && row.maxOffsetPct === null
            ? null
            : band(row.minOffsetPct, row.maxOffsetPct),
        lateralAimPct: null,
        source: typedIn(row.source),
        note: null,
      }),
    ),
  };
}

function placeOf(onBoardAtMm: number | null): SchemeRow['place'] {
  return onBoardAtMm === null ? FAR : { kind: 'board', distanceMm: onBoardAtMm };
}

/** A figure typed in without saying from where is no better than one from memory. */
function typedIn(source: string | null): SchemeSource {
  return source === null || source.trim() === ''
    ? { what: 'Typed in without a source', edition: 'not given', seen: 'memory', where: null }
    : { what: source, edition: source, seen: 'typed-in', where: null };
}
