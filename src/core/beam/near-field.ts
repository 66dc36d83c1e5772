/**
 * What near field can still hide. On a board near by, every part of a large lamp draws the same edge from its own
 * height, and the steepest point of the smeared edge lies higher than an instrument with a lens would see it.
 */
export interface NearFieldShift {
  /** The far drop lies between the board's drop + minPct and + maxPct. */
  readonly minPct: number;
  readonly maxPct: number;
  /** False when one distance alone proves nothing about far. */
  readonly farProvable: boolean;
  readonly why: string | null;
}

/**
 * Lit height over distance, per cent, against the greatest shift, per cent: a bowl lit in its upper half only, with a
 * sharp edge. The design page's independent simulations give 1.11, 0.66 and 0.47 for 170 mm at 5, 7.6 and 10 m; the
 * rest was computed the same way (dense sums over the lit area, G = 0.35 per 0.1 deg).
 */
const FULL_SHIFT: readonly (readonly [number, number])[] = [
  [0, 0],
  [0.6, 0.16],
  [0.79, 0.22],
  [1.2, 0.37],
  [1.7, 0.57],
  [2.0, 0.7],
  [2.24, 0.8],
  [3.4, 1.31],
  [5.67, 2.35],
];

/**
 * The interval in which the far drop lies, from one distance, with the lamp's filling unknown: from no correction to
 * the full one. Zero correction is the edge as the board shows it, the side of doubt that errs away from dazzle.
 *
 * @param litHeightMm lit height of the lamp, mm; null when not measured: taken as a 170 mm bowl.
 * @param distanceMm lamp to board, mm, above 0.
 */
export function nearFieldShift(litHeightMm: number | null, distanceMm: number): NearFieldShift {
  const height = litHeightMm ?? 170;
  const ratio = (100 * height) / distanceMm;
  const maxPct = interpolate(ratio);
  const farProvable = distanceMm >= 7500 || height <= 100;
  return {
    minPct: 0,
    maxPct,
    farProvable,
    why: farProvable
      ? null
      : `a lamp lit over ${Math.round(height)} mm smears its own edge on a board nearer than 7.5 m; from one distance only a range can be given`,
  };
}

function interpolate(ratio: number): number {
  for (let i = 1; i < FULL_SHIFT.length; i++) {
    const [x1, y1] = FULL_SHIFT[i]!;
    const [x0, y0] = FULL_SHIFT[i - 1]!;
    if (ratio <= x1) return y0 + ((y1 - y0) * (ratio - x0)) / (x1 - x0);
  }
  const [x1, y1] = FULL_SHIFT[FULL_SHIFT.length - 1]!;
  // Beyond the table the shift goes on in proportion to the smear.
  return (y1 * ratio) / x1;
}
