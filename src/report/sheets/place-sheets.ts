import type { TrafficSide } from '../../core/frames.ts';
import { MM_PER_INCH, tanFromDeg } from '../../core/units.ts';
import type { Paper } from '../../vision/mark-design.ts';
import type { Units } from '../format.ts';
import { LANDSCAPE_MM } from './pdf-page.ts';

/** A sheet's planned place: board place of its centre cross, upright on the level line. */
export interface PlacedSheet {
  readonly number: number;
  readonly X: number;
  readonly Y: number;
}

export interface SheetRow {
  readonly levelLineY: number;
  /** From left to right. */
  readonly sheets: readonly PlacedSheet[];
  readonly spare: readonly number[];
  readonly sheetWidthMm: number;
  readonly sheetHeightMm: number;
  readonly warnings: readonly string[];
}

interface RowInput {
  readonly paper: Paper;
  readonly units: Units;
  readonly trafficSide: TrafficSide;
  readonly floorY: number | null;
  /** The board there is, or null. */
  readonly area: { readonly left: number; readonly right: number; readonly bottom: number } | null;
  /** V-V, height of the target line, and distance of each lamp, mm. */
  readonly lamps: readonly { readonly X: number; readonly edgeY: number; readonly distanceMm: number }[];
  readonly numbers?: readonly number[];
}

/** Room for reading the edge below its expected place, so that a badly set lamp's edge is still on bare board. */
const BELOW_EDGE_DEG = 1.5;
/** Half the width of board kept bare for the hot spot: within about 2 deg of V-V (common practice, no source). */
const HOT_SPOT_SIDE_DEG = 2.5;
/** Half the width kept bare for the edge, where sheets must stand beside it for want of height. */
const EDGE_SIDE_DEG = 4;
/** Between sheets, and between a sheet and what must stay bare, mm. */
const GAP_MM = 20;
/** From the floor to a sheet's lower edge, and from the rim of the board to a sheet, mm. */
const FLOOR_GAP_MM = 20;
const BOARD_RIM_MM = 10;

/**
 * Places sheets in one row: their long lines lie on one level line, which is all that has to be levelled. The row
 * lies below the edge, where the lamp itself lights the marks; sheets stand left and right of each hot spot, never
 * on it. From three sheets on, one that is taped wrongly can be told from the others.
 */
export function placeSheets(input: RowInput): SheetRow {
  const { widthMm, heightMm } = LANDSCAPE_MM[input.paper];
  const down = input.units === 'in' ? MM_PER_INCH / 4 : 5;
  const lowestEdge = Math.min(...input.lamps.map((l) => l.edgeY - l.distanceMm * tanFromDeg(BELOW_EDGE_DEG)));
  const wanted = lowestEdge - heightMm / 2 - GAP_MM;
  const lowest =
    heightMm / 2 +
    Math.max(
      input.floorY === null ? -Infinity : input.floorY + FLOOR_GAP_MM,
      input.area === null ? -Infinity : input.area.bottom + BOARD_RIM_MM,
    );
  const warnings: string[] = [];
  const raised = wanted < lowest;
  // Rounded from the floor or zero up: a person sets it by tape.
  const base = input.floorY ?? 0;
  const levelLineY = raised
    ? base + Math.ceil((lowest - base) / down) * down
    : base + Math.floor((wanted - base) / down) * down;
  const top = levelLineY + heightMm / 2;
  const besideEdge = raised && top > lowestEdge;
  if (besideEdge) {
    warnings.push(
      'There is too little height under the edge of the beam, so the sheets stand further out, beside the part of the edge that is read.',
    );
  }
  if (input.lamps.some((l) => top > l.edgeY)) {
    warnings.push(
      'The tops of the sheets reach above the edge of the beam, where it is dark: take one more photo with the room lights on from the same tripod.',
    );
  }
  const bareDeg = besideEdge ? EDGE_SIDE_DEG : HOT_SPOT_SIDE_DEG;
  const places = rowPlaces(input, widthMm, tanFromDeg(bareDeg));
  const numbers = input.numbers ?? places.map((_, i) => i + 1);
  const kept = places.slice(0, numbers.length).sort((a, b) => a - b);
  if (numbers.length < 2) {
    warnings.push('One sheet alone cannot be checked: print at least two, better three.');
  }
  return {
    levelLineY,
    sheets: kept.map((X, i) => ({ number: numbers[i]!, X, Y: levelLineY })),
    spare: numbers.slice(kept.length),
    sheetWidthMm: widthMm,
    sheetHeightMm: heightMm,
    warnings,
  };
}

/** X of the sheets' crosses, the most needed first: the outer two, then those between, then one more to the kerb. */
function rowPlaces(input: RowInput, sheetWidthMm: number, bareTan: number): number[] {
  const step = input.units === 'in' ? MM_PER_INCH / 2 : 10;
  const half = sheetWidthMm / 2 + GAP_MM;
  const bare = input.lamps
    .map((l) => ({ from: l.X - l.distanceMm * bareTan, to: l.X + l.distanceMm * bareTan }))
    .sort((a, b) => a.from - b.from);
  const outer = { from: Math.min(...bare.map((z) => z.from)), to: Math.max(...bare.map((z) => z.to)) };
  // On a board that is there, the gap to the bare zone may shrink to nothing before the sheet leaves the board.
  const most = sheetWidthMm / 2 + BOARD_RIM_MM;
  const keep = (wanted: number, low: number, high: number) => Math.max(low, Math.min(high, wanted));
  let left = Math.floor((outer.from - half) / step) * step;
  let right = Math.ceil((outer.to + half) / step) * step;
  if (input.area) {
    left = Math.round(keep(input.area.left + most, left, outer.from - sheetWidthMm / 2));
    right = Math.round(keep(input.area.right - most, outer.to + sheetWidthMm / 2, right));
  }
  const places = [left, right];
  let reach = bare[0]!.to;
  for (const zone of bare.slice(1)) {
    const from = reach + half;
    const to = zone.from - half;
    if (to - from >= sheetWidthMm + GAP_MM) {
      places.push(Math.ceil(from / step) * step, Math.floor(to / step) * step);
    } else if (to >= from) {
      const middle = Math.round((from + to) / 2 / step) * step;
      if (middle >= from - 1e-9 && middle <= to + 1e-9) places.push(middle);
      else places.push(Math.round((from + to) / 2));
    }
    reach = Math.max(reach, zone.to);
  }
  if (places.length < 3) {
    const further = Math.ceil((sheetWidthMm + GAP_MM) / step) * step;
    places.push(input.trafficSide === 'left' ? left - further : right + further);
  }
  return places;
}
