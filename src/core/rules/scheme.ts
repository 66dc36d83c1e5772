/**
 * A scheme is a set of rows; a row carries its whole measurand (what is measured, where, counted from what, in which
 * load state) and its source, so that two schemes that say "1.2 %" of different things are never mixed up.
 */

export type LampFunction = 'passing' | 'driving' | 'front-fog';

/** What on the board the figure speaks of. */
export type Feature =
  | 'flat-part' // inflection of log10 E at 2.5 deg from the elbow, flat side
  | 'flat-part-2.0R' // US right cut-off
  | 'whole-top-edge' // the whole upper edge, peak included, must lie in the band
  | 'elbow'
  | 'hot-spot-centre'
  | 'bright-zone-top-left' // top edge and left edge of the bright zone
  | 'rise-against-zone'; // no light in a zone above the cut-off

/** Shape of the beam's upper edge, as far as a row cares. */
export type BeamShape = 'flat' | 'rise' | 'step' | 'no-cut-off';

/** What a lens may say: approval arrow (the side the beam rises to), US visual-aim marks, nothing, not looked at. */
export const LENS_MARKINGS = [
  'arrow-left',
  'arrow-right',
  'arrow-both',
  'no-arrow',
  'VOL',
  'VOR',
  'VO',
  '1-arrow',
  '2-arrow',
  'none',
  'unknown',
] as const;
export type LensMarking = (typeof LENS_MARKINGS)[number];

export type HeightReference = 'centre' | 'lower-edge';

/** How far the figure can be trusted to be what the publisher prints. */
export type Seen = 'seen' | 'seen-second-hand' | 'memory' | 'typed-in';

export interface SchemeSource {
  readonly what: string;
  readonly edition: string;
  readonly seen: Seen;
  /** Web address or page, where there is one to give. */
  readonly where: string | null;
}

/** Limits in per cent; drops positive down, offsets positive right. `null` = no limit that side. */
export interface Band {
  readonly minPct: number | null;
  readonly maxPct: number | null;
}

export interface SchemeRow {
  /** E.g. 'MOT-1'; the id used in standards' tables, code and tests. */
  readonly id: string;
  readonly lamp: LampFunction;
  readonly feature: Feature;
  /** Where it holds: what an instrument sees from far, or what stands on a board at a stated distance. */
  readonly place: { readonly kind: 'far' } | { readonly kind: 'board'; readonly distanceMm: number };
  readonly heightReference: HeightReference;
  /** Heights for which the row holds, mm: above `overMm` (or from, when `overInclusive`) up to and with `upToMm`. */
  readonly height: {
    readonly overMm: number;
    readonly overInclusive: boolean;
    readonly upToMm: number;
    readonly upToInclusive: boolean;
  };
  readonly loadState: string;
  readonly vertical: Band;
  /** What to aim at inside the band. */
  readonly aimPct: number | null;
  readonly lateral: Band | null;
  readonly lateralAimPct: number | null;
  readonly source: SchemeSource;
  readonly note: string | null;
  /** Beams the row speaks of; left out: any that show the feature. 'no-cut-off' is a beam with only a hot spot. */
  readonly forBeam?: readonly BeamShape[];
  /** Lens markings the row speaks of; left out: any. */
  readonly markings?: readonly LensMarking[];
  /**
   * Rows of one `choice` and the same height are alternatives: the maker chose one of them and the vehicle's plate
   * says which. Left out: the row holds of itself.
   */
  readonly choice?: string;
}

export interface Scheme {
  /** Stable id, kebab-case, e.g. 'gb-inspection-car'. */
  readonly id: string;
  readonly title: string;
  readonly region: 'gb' | 'eu' | 'us' | 'jp' | 'any';
  /** Words the person uses there. */
  readonly words: 'gb' | 'us';
  readonly trafficSide: 'left' | 'right' | 'either';
  readonly rows: readonly SchemeRow[];
  /** For a scheme of whose figures we hold none: what the person should type in, and from where. */
  readonly typeIn?: string;
}
