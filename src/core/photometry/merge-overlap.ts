import type { LightGrid } from '../sampling/light-grid.ts';

/** A few cells that two frames both show well. */
export interface SharedBlock {
  /** Mean of both ln of light, shares of their full scales, and ln(light in the second / light in the first). */
  readonly lnLight: number;
  readonly lnRatio: number;
}

/** Rows of one column that are compared together, so that noise does not lead. */
const BLOCK_ROWS = 6;
/** Light that both frames must show, share of full scale: clear of the curve's two ends. */
const COMPARE: readonly [number, number] = [0.01, 0.75];

/** Cells that a frame shows: known, neither burnt out nor next to a burnt-out one (sampling and blur reach over). */
export function usableCells(grid: LightGrid): Uint8Array {
  const { columns, rows, light, clipped } = grid;
  const out = new Uint8Array(light.length);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const k = r * columns + c;
      if (!Number.isFinite(light[k]!) || clipped[k]! > 0) continue;
      const beside =
        (c > 0 && clipped[k - 1]! > 0) ||
        (c + 1 < columns && clipped[k + 1]! > 0) ||
        (r > 0 && clipped[k - columns]! > 0) ||
        (r + 1 < rows && clipped[k + columns]! > 0);
      if (!beside) out[k] = 1;
    }
  }
  return out;
}

/**
 * Light of two frames side by side, in blocks of one column by six rows.
 * @param usedA, usedB usableCells of each.
 */
export function sharedBlocks(
  a: LightGrid,
  b: LightGrid,
  usedA: Uint8Array,
  usedB: Uint8Array,
  range: readonly [number, number] = COMPARE,
): SharedBlock[] {
  const out: SharedBlock[] = [];
  const [low, high] = range;
  for (let r0 = 0; r0 + BLOCK_ROWS <= a.rows; r0 += BLOCK_ROWS) {
    for (let c = 0; c < a.columns; c++) {
      let sumA = 0;
      let sumB = 0;
      let whole = true;
      for (let r = r0; r < r0 + BLOCK_ROWS && whole; r++) {
        const k = r * a.columns + c;
        whole = usedA[k] === 1 && usedB[k] === 1;
        sumA += a.light[k]!;
        sumB += b.light[k]!;
      }
      if (!whole) continue;
      if (Math.min(sumA, sumB) < low * BLOCK_ROWS || Math.max(sumA, sumB) > high * BLOCK_ROWS) continue;
      out.push({ lnLight: Math.log((sumA * sumB) / BLOCK_ROWS ** 2) / 2, lnRatio: Math.log(sumB / sumA) });
    }
  }
  return out;
}

/** The middle value; NaN of none. */
export function median(values: readonly number[]): number {
  if (values.length === 0) return Number.NaN;
  const sorted = Float64Array.from(values).sort();
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
