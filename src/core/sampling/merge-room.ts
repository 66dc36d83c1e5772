import { tanFromDeg } from '../units.ts';
import type { LightGrid } from './light-grid.ts';
import { median } from './merge-overlap.ts';

/** Room light taken from a grid, or why it could not be. */
export type RoomTaken =
  | {
      readonly taken: true;
      readonly grid: LightGrid;
      /** Standard uncertainty of what is left of the room's light, in the grid's units: the ratio of the exposures, and noise. */
      readonly uLeft: number;
      /** The room's light before, median over the board, in the grid's units. */
      readonly room: number;
    }
  | { readonly taken: false; readonly why: 'burnt-out' | 'brighter-than-lit' | 'unknown-ratio' };

/** Room light has no sharp edges but those of shadows: it is averaged this far, so that its noise does not come along. */
const SMOOTH = tanFromDeg(0.4);
/** Places where the photo with the lamps off is burnt out: more than this share and nothing is subtracted. */
const MOST_BURNT = 0.02;
/** A ratio of exposures less sure than this tells nothing. */
const MOST_RATIO_U = 0.15;
/** Beyond this many of its own doubts a room that seems brighter than the lit board has changed. */
const MOST_OVER = 3;
/**
 * Room light that flickers or drifts between two photos, and a white balance that the camera sets anew for a room without
 * the lamps: relative. Balanced for halogen light instead of for white, white light comes out some 4 % brighter.
 */
const STEADY_U = 0.04;

/**
 * Takes the room's light away in linear light: what a photo with the lamps off shows, brought to the grid's exposure.
 *
 * @param lit the board with the lamps lit. @param off the same cells with the lamps off, share of its own full scale.
 * @param ratio exposure of `lit`'s scale over that of `off`; `uLn` its standard uncertainty as a logarithm.
 */
export function withoutRoom(
  lit: LightGrid,
  off: LightGrid,
  ratio: { readonly value: number; readonly uLn: number },
): RoomTaken {
  if (!(ratio.uLn <= MOST_RATIO_U)) return { taken: false, why: 'unknown-ratio' };
  let known = 0;
  let burnt = 0;
  for (let k = 0; k < off.light.length; k++) {
    if (!Number.isFinite(off.light[k]!)) continue;
    known++;
    if (off.clipped[k]! > 0) burnt++;
  }
  if (known === 0 || burnt > MOST_BURNT * known) return { taken: false, why: 'burnt-out' };
  const room = smoothed(off);
  const uLn = Math.hypot(ratio.uLn, STEADY_U);
  // No lamp sends less than nothing: where the lit board is hardly brighter than the room alone, the ratio shows itself.
  const most = darkestOver(lit, room);
  const over = Math.log(ratio.value / most) / uLn;
  if (over > MOST_OVER) return { taken: false, why: 'brighter-than-lit' };
  const used = Math.min(ratio.value, most);
  const light = new Float32Array(lit.light.length);
  for (let k = 0; k < light.length; k++) light[k] = lit.light[k]! - used * room[k]!;
  const middle = used * median([...room].filter((e) => Number.isFinite(e)));
  return { taken: true, grid: { ...lit, light }, uLeft: uLn * middle, room: middle };
}

/** The lowest ratio of lit to unlit: the 2 % quantile over half-degree squares, so that no fluke decides. */
function darkestOver(lit: LightGrid, room: Float32Array): number {
  const wide = Math.max(1, Math.round(tanFromDeg(0.5) / lit.du));
  const high = Math.max(1, Math.round(tanFromDeg(0.5) / lit.dv));
  const ratios: number[] = [];
  for (let r0 = 0; r0 + high <= lit.rows; r0 += high) {
    for (let c0 = 0; c0 + wide <= lit.columns; c0 += wide) {
      let a = 0;
      let b = 0;
      let n = 0;
      for (let r = r0; r < r0 + high; r++) {
        for (let c = c0; c < c0 + wide; c++) {
          const k = r * lit.columns + c;
          if (!Number.isFinite(lit.light[k]!) || !Number.isFinite(room[k]!)) continue;
          a += lit.light[k]!;
          b += room[k]!;
          n++;
        }
      }
      if (2 * n > wide * high && b > 0) ratios.push(a / b);
    }
  }
  if (ratios.length < 8) return Number.POSITIVE_INFINITY;
  ratios.sort((a, b) => a - b);
  return ratios[Math.floor(0.02 * ratios.length)]!;
}

/** Mean over SMOOTH each way of the known cells; unknown only where nothing near is known. */
export function smoothed(grid: LightGrid, reach = SMOOTH): Float32Array {
  const { columns, rows } = grid;
  const wide = Math.max(1, Math.round(reach / grid.du));
  const high = Math.max(1, Math.round(reach / grid.dv));
  const across = boxSums(grid.light, columns, rows, wide, 'rows');
  const both = boxSums(across.sums, columns, rows, high, 'columns');
  const counts = boxSums(across.counts, columns, rows, high, 'columns');
  return both.sums.map((s, k) => (counts.sums[k]! > 0 ? s / counts.sums[k]! : Number.NaN));
}

/** Running sums along rows or columns over ± reach cells, and how many were known. */
function boxSums(
  values: Float32Array,
  columns: number,
  rows: number,
  reach: number,
  along: 'rows' | 'columns',
): { sums: Float32Array; counts: Float32Array } {
  const sums = new Float32Array(values.length);
  const counts = new Float32Array(values.length);
  const [lines, length, line, step] =
    along === 'rows' ? [rows, columns, columns, 1] : [columns, rows, 1, columns];
  for (let l = 0; l < lines; l++) {
    const at = (i: number): number => values[l * line + i * step]!;
    let sum = 0;
    let n = 0;
    for (let i = -reach; i < length; i++) {
      const enters = i + reach;
      if (enters < length && Number.isFinite(at(enters))) {
        sum += at(enters);
        n++;
      }
      const leaves = i - reach - 1;
      if (leaves >= 0 && Number.isFinite(at(leaves))) {
        sum -= at(leaves);
        n--;
      }
      if (i < 0) continue;
      sums[l * line + i * step] = sum;
      counts[l * line + i * step] = n;
    }
  }
  return { sums, counts };
}
