import { type EdgeShape, shapeLog } from './edge-shape.ts';
import type { LitSpot } from './lamp-filling.ts';

/** The far edge's line: level, then a ramp, then level again; deg. */
export interface FarLine {
  /** +1 rises to the right, -1 to the left, 0 level. */
  readonly side: 1 | -1 | 0;
  readonly bend: number;
  readonly atBend: number;
  readonly tilt: number;
  /** Slope of the ramp beyond the tilt, above 0. */
  readonly slope: number;
  /** Sideways length of the ramp; Infinity for a rise without end. */
  readonly length: number;
}

/** Height of the far line at u, deg. */
export function farLineAt(line: FarLine, u: number): number {
  const t = line.side * (u - line.bend);
  const ramp = t <= 0 ? 0 : Math.min(t, line.length);
  return line.atBend + line.tilt * (u - line.bend) + line.slope * ramp;
}

const STEP = 0.02;
const REACH = 6;
/** Heights at which a column's light is looked at, deg. */
const LOOK = 0.04;

/**
 * Where the board shows the inflection of log10 E, column by column, when every lit spot of the lamp draws the same far
 * edge from its own place.
 */
export class EdgeCurve {
  readonly #light: Float64Array;
  readonly #spots: readonly LitSpot[];
  readonly #halfWidth: number;
  readonly #halfHeight: number;
  /** Where the far profile falls fastest, deg above the line. */
  readonly #farAt: number;
  /** Height and steepness of every spot's edge in the column looked at: kept, for a fit asks thousands of times. */
  readonly #middle: Float64Array;
  readonly #squeeze: Float64Array;
  readonly #share: Float64Array;

  /**
   * @param shape the far edge's profile; its place does not matter, it is put on the line by its inflection.
   * @param halfWidth and halfHeight of the lit opening over the distance, deg; 0 for what is seen far away.
   */
  constructor(shape: EdgeShape, spots: readonly LitSpot[], halfWidth: number, halfHeight: number) {
    this.#spots = halfWidth === 0 && halfHeight === 0 ? [{ x: 0, z: 0, share: 1 }] : spots;
    this.#halfWidth = halfWidth;
    this.#halfHeight = halfHeight;
    const log = new Float64Array(Math.round((2 * REACH) / STEP) + 1);
    shapeLog({ ...shape, at: 0 }, -REACH, STEP, log);
    let best = 2;
    for (let i = 2; i < log.length - 2; i++)
      if (log[i - 1]! - log[i + 1]! > log[best - 1]! - log[best + 1]!) best = i;
    this.#farAt = -REACH + best * STEP;
    this.#light = log.map((l) => 10 ** l);
    this.#middle = new Float64Array(this.#spots.length);
    this.#squeeze = new Float64Array(this.#spots.length);
    this.#share = Float64Array.from(this.#spots, (s) => s.share);
  }

  /** Height of the inflection at u, deg. */
  at(line: FarLine, u: number): number {
    const spots = this.#spots;
    const n = spots.length;
    const middle = this.#middle;
    const squeeze = this.#squeeze;
    const share = this.#share;
    const table = this.#light;
    const last = table.length - 2;
    const zero = this.#farAt + REACH;
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (let k = 0; k < n; k++) {
      const s = spots[k]!;
      const from = u - s.x * this.#halfWidth;
      const t = line.side * (from - line.bend);
      // On the ramp the edge is as wide as on the level, across itself: up and down it is wider.
      const slope = line.tilt + line.side * line.slope * onRamp(t, line.length);
      middle[k] = farLineAt(line, from) + s.z * this.#halfHeight;
      squeeze[k] = 1 / Math.sqrt(1 + slope * slope);
      low = Math.min(low, middle[k]!);
      high = Math.max(high, middle[k]!);
    }
    const light = (v: number): number => {
      let sum = 0;
      for (let k = 0; k < n; k++) {
        const at = ((v - middle[k]!) * squeeze[k]! + zero) / STEP;
        const i = at <= 0 ? 0 : at >= last ? last : at | 0;
        sum += share[k]! * (table[i]! + (at - i) * (table[i + 1]! - table[i]!));
      }
      return Math.log10(sum);
    };
    // First in coarse steps over all edges that take part, then finely about the steepest.
    const coarse = steepest(light, low - 0.3, high + 0.3, 3 * LOOK);
    return steepest(light, coarse - 3.5 * LOOK, coarse + 3.5 * LOOK, LOOK);
  }
}

/** Corners of lamps are rounded over some hundredths of a degree; without it a spot right at one would choose by rounding. */
const CORNER = 0.06;

/** How much of the ramp's slope holds at t from the bend: 0 on the level, 1 on the ramp. */
function onRamp(t: number, length: number): number {
  const rise = Math.min(1, Math.max(0, 0.5 + t / CORNER));
  return rise * Math.min(1, Math.max(0, 0.5 + (length - t) / CORNER));
}

function steepest(log: (v: number) => number, from: number, to: number, step: number): number {
  const n = Math.max(5, Math.round((to - from) / step) + 1);
  let a = log(from);
  let b = log(from + step);
  let best = -1;
  let bestFall = Number.NEGATIVE_INFINITY;
  const falls: number[] = [];
  for (let i = 2; i <= n; i++) {
    const c = log(from + i * step);
    const fall = a - c;
    falls.push(fall);
    if (fall > bestFall) {
      bestFall = fall;
      best = i - 1;
    }
    a = b;
    b = c;
  }
  const k = best - 1;
  if (k <= 0 || k >= falls.length - 1) return from + best * step;
  const bend = falls[k - 1]! - 2 * falls[k]! + falls[k + 1]!;
  return from + (best + (bend < 0 ? (0.5 * (falls[k - 1]! - falls[k + 1]!)) / bend : 0)) * step;
}
