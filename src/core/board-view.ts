import type { BoardPoint } from './frames.ts';

/**
 * How one photo sees the board: plain data, so that it can cross a worker's boundary.
 * An ideal pinhole point is `homography` applied to (X, Y, 1); the photo's point is then
 * centre + (ideal - centre)·(1 + k1·r²/scalePx²), r the ideal point's distance from `centre` in px.
 */
export interface BoardView {
  /** 3 x 3, row after row: board mm to ideal photo px. */
  readonly homography: readonly number[];
  readonly radial: {
    readonly k1: number;
    readonly cx: number;
    readonly cy: number;
    readonly scalePx: number;
  };
}

/** One board point that was both known on the board and found in the photo. */
export interface MatchedPoint {
  /** E.g. 'mark 12 corner 3' or 'cross A'. */
  readonly name: string;
  readonly board: BoardPoint;
  readonly photo: { readonly x: number; readonly y: number };
  /** Distance on the board between where it is and where the view puts it, mm. */
  readonly residualMm: number;
  readonly used: boolean;
}

/** The board found in a photo. */
export interface Registration {
  readonly found: true;
  readonly view: BoardView;
  readonly points: readonly MatchedPoint[];
  /** Root mean square residual of the used points, mm on the board. */
  readonly rmsMm: number;
  /** 'unchecked' when nothing could contradict the points (four crosses and no EXIF). */
  readonly check: 'checked' | 'unchecked';
  /**
   * Covariance (px²-free: mm² on the board) of the place that the view gives to a board point, from points found
   * in the photo: var(Y) ≈ yVarMm2[0] + yVarMm2[1]·(X-X̄)² + yVarMm2[2]·(Y-Ȳ)², likewise X. `centre` is (X̄, Ȳ).
   */
  readonly foundVar: PlaceVariance;
  /** The same from marks not standing where the board says (tape, printing). */
  readonly placedVar: PlaceVariance;
  /** Sheets, ruler or anything printed on the board: areas not to be measured through; each a polygon in mm. */
  readonly printedAreas: readonly (readonly BoardPoint[])[];
  readonly warnings: readonly string[];
}

export interface PlaceVariance {
  readonly centre: BoardPoint;
  readonly xVarMm2: readonly [number, number, number];
  readonly yVarMm2: readonly [number, number, number];
}

/** Why the board could not be found in a photo; `advice` is for the person. */
export interface RegistrationRefusal {
  readonly found: false;
  readonly why:
    | 'no-marks'
    | 'too-few-marks'
    | 'marks-in-one-line'
    | 'mirrored'
    | 'marks-disagree'
    | 'other-jobs-marks'
    | 'not-a-plane'
    | 'too-oblique'
    /** The photo that shows the marks was taken from another place. */
    | 'camera-moved';
  readonly detail: string;
  readonly advice: string;
  readonly points: readonly MatchedPoint[];
}
