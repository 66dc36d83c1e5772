import type { Registration } from '../../core/board-view.ts';
import type { BoardPoint } from '../../core/frames.ts';
import { boardPointOf } from '../../core/geometry/board-projection.ts';
import { LUMINANCE_WEIGHTS, linearTable } from '../../core/photometry/transfer-curve.ts';
import type { Raster } from '../../core/raster.ts';

/** Places looked at across the photo: enough for quantiles, and no cost. */
const ACROSS = 120;
/** Fewer places than this on either side tell nothing. */
const LEAST = 25;

/**
 * How bright the board is where a dipped beam leaves it dark, print and paper included, as a share of the beam: the 90th
 * percentile of the light well above the edge over the 98th of that just below.
 *
 * @param where says of a board point how far above the edge it lies, mm; not a number where it counts for nothing.
 * @param clear how far above the edge the dark begins, mm. @param deep how far below the beam reaches, mm.
 * @returns null when the photo shows too little of either.
 */
export function lightAboveShare(
  raster: Raster,
  registration: Pick<Registration, 'view'>,
  where: (p: BoardPoint) => number,
  clear: number,
  deep: number,
): number | null {
  const table = linearTable(raster.maxLevel);
  const { width, height, channels, data } = raster;
  const { red, green, blue } = LUMINANCE_WEIGHTS;
  const step = Math.max(1, Math.floor(width / ACROSS));
  const above: number[] = [];
  const below: number[] = [];
  for (let y = step >> 1; y < height; y += step) {
    for (let x = step >> 1; x < width; x += step) {
      const over = where(boardPointOf(registration.view, { x, y }));
      const list = over > clear ? above : over < 0 && over > -deep ? below : null;
      if (list === null) continue;
      const i = (y * width + x) * channels;
      list.push(red * table[data[i]!]! + green * table[data[i + 1]!]! + blue * table[data[i + 2]!]!);
    }
  }
  if (above.length < LEAST || below.length < LEAST) return null;
  return quantile(above, 0.9) / Math.max(1e-6, quantile(below, 0.98));
}

function quantile(values: number[], q: number): number {
  values.sort((a, b) => a - b);
  return values[Math.min(values.length - 1, Math.floor(q * values.length))]!;
}
