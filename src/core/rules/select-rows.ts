import { normalCdf } from '../uncertainty/normal.ts';
import type { BeamCase, HeightMm } from './judge-input.ts';
import type { BeamShape, Scheme, SchemeRow } from './scheme.ts';

/** A row that speaks of this lamp, and how likely its height range holds the lamp. */
export interface SelectedRow {
  readonly row: SchemeRow;
  /** 1 when height ± U (k = 2) lies inside the range; null when the height is not known. */
  readonly heightProbability: number | null;
}

export type Selection =
  | { readonly kind: 'rows'; readonly rows: readonly SelectedRow[] }
  | { readonly kind: 'none'; readonly why: string };

/**
 * The rows of a scheme that speak of a lamp and its beam. When the height's interval straddles a threshold, or the
 * height is not known, every row it may fall under is given.
 */
export function selectRows(scheme: Scheme, beam: BeamCase): Selection {
  const none = (why: string): Selection => ({ kind: 'none', why });
  if (scheme.typeIn !== undefined) return none(scheme.typeIn);
  if (scheme.trafficSide !== 'either' && scheme.trafficSide !== beam.trafficSide)
    return none(
      `These rules are for traffic that keeps ${scheme.trafficSide}; this vehicle is set up for the ${beam.trafficSide}.`,
    );
  const ofLamp = scheme.rows.filter((row) => row.lamp === beam.lamp.function);
  if (ofLamp.length === 0) return none(`These rules say nothing of ${LAMP_TEXT[beam.lamp.function]}.`);

  const shape: BeamShape = beam.cutOffKind ?? 'no-cut-off';
  const ofBeam = ofLamp.filter((row) => row.forBeam === undefined || row.forBeam.includes(shape));
  if (ofBeam.length === 0) return none(`These rules say nothing of ${SHAPE_TEXT[shape]}.`);

  const { marking } = beam.lamp;
  const ofMarking = ofBeam.filter((row) => row.markings === undefined || row.markings.includes(marking));
  if (ofMarking.length === 0) {
    const wanted = [...new Set(ofBeam.flatMap((row) => row.markings ?? []))].join(' or ');
    return none(
      marking === 'unknown'
        ? `Which figure holds depends on the lens marking. Read the lens for ${wanted} and say which.`
        : `These rules are for lamps marked ${wanted}; this lens is not.`,
    );
  }

  const rows = ofMarking
    .map((row) => ({ row, heightProbability: heightProbability(row, beam) }))
    .filter(({ heightProbability: p }) => p === null || p > 0);
  if (rows.length === 0) {
    const h = heightOf(ofMarking[0]!, beam);
    return none(`These rules have no figure for a lamp at a height of ${Math.round(h?.mm ?? 0)} mm.`);
  }
  return { kind: 'rows', rows };
}

/** The lamp height that a row counts by; null when it was not given. */
export function heightOf(row: SchemeRow, beam: BeamCase): HeightMm | null {
  return row.heightReference === 'centre' ? beam.lamp.centreHeight : beam.lamp.lowerEdge;
}

/** Whether a row holds for every height. */
export function holdsAtAnyHeight(row: SchemeRow): boolean {
  return row.height.overMm <= 0 && row.height.upToMm === Number.POSITIVE_INFINITY;
}

/** 1 when the height ± U is inside the range, 0 when it is outside, between the two the normal probability. */
function heightProbability(row: SchemeRow, beam: BeamCase): number | null {
  if (holdsAtAnyHeight(row)) return 1;
  const h = heightOf(row, beam);
  if (h === null) return null;
  const U = 2 * h.uMm;
  const { overMm, overInclusive, upToMm, upToInclusive } = row.height;
  const aboveFrom = (mm: number): boolean => (overInclusive ? mm >= overMm : mm > overMm);
  const belowTo = (mm: number): boolean => (upToInclusive ? mm <= upToMm : mm < upToMm);
  if (!aboveFrom(h.mm + U) || !belowTo(h.mm - U)) return 0;
  if (aboveFrom(h.mm - U) && belowTo(h.mm + U)) return 1;
  // Here the interval straddles a threshold, so U is above 0.
  return normalCdf((upToMm - h.mm) / h.uMm) - normalCdf((overMm - h.mm) / h.uMm);
}

const LAMP_TEXT = {
  passing: 'dipped beams (low beams)',
  driving: 'main beams (high beams)',
  'front-fog': 'front fog lamps',
} as const;

const SHAPE_TEXT: Readonly<Record<BeamShape, string>> = {
  flat: 'a beam with a flat top',
  rise: 'a beam whose edge rises to one side',
  step: 'a beam whose edge has a step',
  'no-cut-off': 'a beam without a cut-off',
};
