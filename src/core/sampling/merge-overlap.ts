import { clearLight } from '../photometry/merge-noise.ts';
import type { LightGrid } from './light-grid.ts';

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

/** One frame to be compared: its cells, and which of them it shows. */
export interface ComparedFrame {
  readonly grid: LightGrid;
  readonly used: Uint8Array;
  /** ISO speed; null when the file does not say. */
  readonly iso: number | null;
}

/**
 * Light of two frames side by side, in blocks of one column by six rows: where the darker frame, as the brighter one
 * foretells it, is clear of noise and black. Chosen by its own light, its dark flukes would be left out and its bright
 * ones kept.
 *
 * @param range least and most light, share of full scale.
 */
export function sharedBlocks(
  a: ComparedFrame,
  b: ComparedFrame,
  range: readonly [number, number] = COMPARE,
): SharedBlock[] {
  const low = Math.max(range[0], clearLight(a.iso ?? 100), clearLight(b.iso ?? 100));
  const all = blocksOf(a, b, range[1]);
  // Where both are far above the limit no choice is made by noise: there the ratio is first seen.
  const sure = all.filter((x) => Math.min(x.lnA, x.lnB) > Math.log(2 * low));
  if (sure.length === 0) return [];
  const ratio = median(sure.map((x) => x.lnB - x.lnA));
  return all
    .filter((x) => (ratio > 0 ? x.lnB - ratio : x.lnA + ratio) > Math.log(low))
    .map((x) => ({ lnLight: (x.lnA + x.lnB) / 2, lnRatio: x.lnB - x.lnA }));
}

function blocksOf(a: ComparedFrame, b: ComparedFrame, high: number): { lnA: number; lnB: number }[] {
  const out: { lnA: number; lnB: number }[] = [];
  const { columns, rows } = a.grid;
  for (let r0 = 0; r0 + BLOCK_ROWS <= rows; r0 += BLOCK_ROWS) {
    for (let c = 0; c < columns; c++) {
      let sumA = 0;
      let sumB = 0;
      let whole = true;
      for (let r = r0; r < r0 + BLOCK_ROWS && whole; r++) {
        const k = r * columns + c;
        whole = a.used[k] === 1 && b.used[k] === 1;
        sumA += a.grid.light[k]!;
        sumB += b.grid.light[k]!;
      }
      if (!whole || !(sumA > 0 && sumB > 0) || Math.max(sumA, sumB) > high * BLOCK_ROWS) continue;
      out.push({ lnA: Math.log(sumA / BLOCK_ROWS), lnB: Math.log(sumB / BLOCK_ROWS) });
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
