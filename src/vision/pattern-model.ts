import { MARK_CELLS } from './mark-design.ts';

/** Cells of white kept around the mark in a padded pattern, and the side of that pattern. */
export const OUT = 2;
export const PADDED = MARK_CELLS + 2 * OUT;

/** Values and derivatives of the blurred pattern at a place in the mark. */
export class PatternModel {
  readonly bits: Float64Array;
  value = 0;
  dX = 0;
  dY = 0;
  /** Derivative by ln(blur), and by growth in units of the blur. */
  dLogBlur = 0;
  dGrowth = 0;
  readonly #cx = new Float64Array(PADDED);
  readonly #gx = new Float64Array(PADDED + 1);
  readonly #cy = new Float64Array(PADDED);
  readonly #gy = new Float64Array(PADDED + 1);

  constructor(bits: Float64Array) {
    this.bits = bits;
  }

  /** @param X, Y mark frame. @param sx, sy blur across edges of either direction, cells. */
  evaluate(X: number, Y: number, sx: number, sy: number): void {
    const { bits } = this;
    const cx = this.#cx;
    const cy = this.#cy;
    const gx = this.#gx;
    const gy = this.#gy;
    const [a0, a1] = weights(X + OUT, sx, cx, gx);
    const [b0, b1] = weights(Y + OUT, sy, cy, gy);
    let value = 0;
    let dX = 0;
    let dY = 0;
    let spreadX = 0;
    let spreadY = 0;
    let growth = 0;
    for (let r = b0; r <= b1; r++) {
      const row = r * PADDED;
      let line = 0;
      for (let c = a0; c <= a1; c++) line += bits[row + c]! * cx[c]!;
      value += line * cy[r]!;
      // Each edge between cells c-1 and c at lattice line c.
      for (let c = a0 + 1; c <= a1; c++) {
        const jump = bits[row + c]! - bits[row + c - 1]!;
        if (jump === 0) continue;
        const g = gx[c]! * cy[r]!;
        dX += jump * g;
        spreadX += jump * g * (c - X - OUT);
        growth -= g * sx;
      }
      if (r > b0) {
        for (let c = a0; c <= a1; c++) {
          const jump = bits[row + c]! - bits[row - PADDED + c]!;
          if (jump === 0) continue;
          const g = gy[r]! * cx[c]!;
          dY += jump * g;
          spreadY += jump * g * (r - Y - OUT);
          growth -= g * sy;
        }
      }
    }
    this.value = value;
    this.dX = dX;
    this.dY = dY;
    this.dLogBlur = spreadX + spreadY;
    this.dGrowth = growth;
  }
}

/** Weights of the cells under a Gaussian at X, its density at each lattice line; first and last cell that count. */
function weights(X: number, s: number, c: Float64Array, g: Float64Array): [number, number] {
  const reach = 3.6 * s;
  const first = Math.max(0, Math.floor(X - reach));
  const last = Math.min(PADDED - 1, Math.floor(X + reach));
  let below = 0;
  for (let i = first; i <= last; i++) {
    const above = i === last ? 1 : normalCdf((i + 1 - X) / s);
    c[i] = above - below;
    below = above;
    if (i > first) g[i] = normalDensity((i - X) / s) / s;
  }
  return [first, last];
}

const TABLE_STEP = 1 / 128;
const TABLE_REACH = 4;
const CDF = new Float64Array(2 * TABLE_REACH * 128 + 2);
const DENSITY = new Float64Array(CDF.length);
{
  // Simpson's rule step by step: far more exact than the table's interpolation needs.
  const density = (t: number): number => Math.exp((-t * t) / 2) / Math.sqrt(2 * Math.PI);
  let sum = 3.167e-5;
  for (let i = 0; i < CDF.length; i++) {
    const t = -TABLE_REACH + i * TABLE_STEP;
    CDF[i] = sum;
    DENSITY[i] = density(t);
    sum += (TABLE_STEP / 6) * (density(t) + 4 * density(t + TABLE_STEP / 2) + density(t + TABLE_STEP));
  }
}

/** Normal distribution function by table, to 1e-5. */
export function normalCdf(t: number): number {
  if (t <= -TABLE_REACH) return 0;
  if (t >= TABLE_REACH) return 1;
  const f = (t + TABLE_REACH) * 128;
  const i = f | 0;
  return CDF[i]! + (f - i) * (CDF[i + 1]! - CDF[i]!);
}

function normalDensity(t: number): number {
  if (t <= -TABLE_REACH || t >= TABLE_REACH) return 0;
  const f = (t + TABLE_REACH) * 128;
  const i = f | 0;
  return DENSITY[i]! + (f - i) * (DENSITY[i + 1]! - DENSITY[i]!);
}
