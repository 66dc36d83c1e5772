/**
 * How a lamp is held and moved. Seen from in front of the vehicle is NOT used here: `right` and `up` are the
 * vehicle's, from the pivot (or any one point of the bowl), mm.
 */

export type ScrewEffect = 'forward' | 'back' | 'unknown';

export type Support =
  | { readonly kind: 'fixed'; readonly rightMm: number; readonly upMm: number }
  | { readonly kind: 'spring'; readonly rightMm: number; readonly upMm: number }
  | {
      readonly kind: 'screw';
      readonly name: string;
      readonly rightMm: number;
      readonly upMm: number;
      /** Thread pitch: support travel per turn, mm; null when not measured. */
      readonly pitchMm: number | null;
      /** From which side the screwdriver reaches it. */
      readonly drivenFrom: 'front' | 'rear';
      /** What one turn clockwise, seen from the screwdriver, does to this support. */
      readonly clockwise: ScrewEffect;
    };

export type LampMechanics =
  /** Supports known by place. */
  | { readonly kind: 'supports'; readonly supports: readonly Support[] }
  /** Only names known: nothing measured, learn by trial turns. */
  | { readonly kind: 'screws'; readonly screws: readonly NamedScrew[] }
  /** Slacken, tilt by hand, tighten. */
  | { readonly kind: 'slacken-and-tilt' };

export interface NamedScrew {
  readonly name: string;
  readonly drivenFrom: 'front' | 'rear';
  /** What it mostly moves, if the person knows. */
  readonly moves: 'vertical' | 'horizontal' | 'both' | 'unknown';
}

/** One screw's part in the advice. */
export interface ScrewTurn {
  readonly screw: string;
  readonly drivenFrom: 'front' | 'rear';
  readonly direction: 'clockwise' | 'anticlockwise' | 'try';
  /** In eighths of a turn, a whole number, at least 1; for 'try' the size of the trial. */
  readonly eighths: number;
  /** Unrounded turns, signed, + clockwise. */
  readonly exactTurns: number;
  /** Change to the aim expected from the rounded amount, per cent. */
  readonly effect: { readonly dropPct: number; readonly offsetPct: number };
}

export type TurnsAdvice =
  | {
      readonly kind: 'turn';
      /** In the order to do them. */
      readonly steps: readonly ScrewTurn[];
      readonly expected: {
        readonly dropPct: number;
        readonly offsetPct: number;
        readonly uDropPct: number;
        readonly uOffsetPct: number;
      };
      readonly notes: readonly string[];
    }
  | { readonly kind: 'try'; readonly step: ScrewTurn; readonly notes: readonly string[] }
  | { readonly kind: 'tilt'; readonly notes: readonly string[] }
  | { readonly kind: 'leave'; readonly why: string }
  | {
      readonly kind: 'refused';
      readonly why: 'near-singular' | 'travel' | 'no-screws' | 'no-reading';
      readonly detail: string;
    };

/** Where to bring the edge, on the board. */
export interface TargetLine {
  /** Board height of the line, mm from the lamp's centre mark (+ above), and its half width in mm. */
  readonly aboveCentreMm: number;
  readonly halfWidthMm: number;
  /** Sideways place of the elbow from the lamp's centre mark, mm, + right; null when the scheme has none. */
  readonly rightOfCentreMm: number | null;
  /** From where the edge is now to the line, mm, + up. */
  readonly moveMm: number;
  /** 'tolerance': anywhere inside is proven within the limits. 'doubt': only how unsure the line itself is. */
  readonly halfWidthMeans?: 'tolerance' | 'doubt';
}
