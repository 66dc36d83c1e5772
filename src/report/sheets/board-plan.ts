import { InputError } from '../../core/errors.ts';
import type { BoardPoint, Side, TrafficSide } from '../../core/frames.ts';
import { tanFromDeg } from '../../core/units.ts';
import type { Paper } from '../../vision/mark-design.ts';
import type { Units } from '../format.ts';
import type { Dialect } from '../words.ts';
import { type PlacedSheet, placeSheets, type SheetRow } from './place-sheets.ts';

/** One lamp, as the board sees it. Lengths in mm, board frame (X right, Y up, seen from the vehicle). */
export interface PlanLamp {
  readonly id: string;
  readonly title: string;
  readonly side: Side;
  /** Where the lamp's centre mark belongs: H-H crosses V-V there (LampView.axisFoot; see lampPlaceOnBoard). */
  readonly at: BoardPoint;
  readonly distanceMm: number;
  /**
   * Where to bring the light *on this board* (boardAim), per cent: drop + down, offset + right. `tolerancePct` is half
   * the width that still counts as met. null: no scheme chosen yet, so only the mark is drawn.
   */
  readonly target: {
    readonly feature: 'edge' | 'hot-spot';
    readonly dropPct: number;
    readonly offsetPct: number | null;
    readonly tolerancePct: number | null;
  } | null;
}

export interface BoardPlanInput {
  readonly title: string;
  readonly rendered?: boolean;
  readonly paper: Paper;
  readonly units: Units;
  readonly words: Dialect;
  readonly trafficSide: TrafficSide;
  readonly lamps: readonly PlanLamp[];
  /** Numbers of the sheets at hand; left out: 1, 2, 3 and so on, as many as the plan wants. */
  readonly sheets?: readonly number[];
  readonly board: {
    /** Board Y of the floor at the board's foot; null when heights are not counted from the floor. */
    readonly floorY: number | null;
    /** What X = 0 is. */
    readonly zero: 'centre-line' | 'own-line';
    /** The board there is, mm; null: the plan says what is needed. */
    readonly area: Area | null;
  };
}

export interface Area {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

export interface PlannedLamp {
  /** A, B, C from left to right: what the drawing calls it. */
  readonly letter: string;
  readonly id: string;
  readonly title: string;
  readonly side: Side;
  readonly mark: BoardPoint;
  readonly distanceMm: number;
  readonly target: {
    readonly feature: 'edge' | 'hot-spot';
    readonly dropPct: number;
    /** Board height of the line, and how far it lies above the centre mark (negative: below). */
    readonly Y: number;
    readonly aboveMarkMm: number;
    readonly halfWidthMm: number | null;
    /** Board place of the elbow or of the hot spot's middle; null when the scheme has no sideways rule. */
    readonly X: number | null;
    readonly rightOfMarkMm: number | null;
  } | null;
}

/** The layout of one board as data: everything that the drawing shows and the list says. */
export interface BoardPlan {
  readonly title: string;
  readonly rendered: boolean;
  readonly paper: Paper;
  readonly units: Units;
  readonly words: Dialect;
  readonly trafficSide: TrafficSide;
  readonly zero: 'centre-line' | 'own-line';
  readonly lamps: readonly PlannedLamp[];
  readonly sheets: readonly PlacedSheet[];
  /** Sheets at hand for which there is no planned place. */
  readonly spareSheets: readonly number[];
  /** Board height of the line that the sheets' long lines lie on. */
  readonly levelLineY: number;
  readonly floorY: number | null;
  readonly checkDistance: { readonly from: number; readonly to: number; readonly mm: number } | null;
  /** The part of the board that the plan uses. */
  readonly needed: Area;
  readonly area: Area | null;
  readonly warnings: readonly string[];
}

/** The beam's edge is looked for this far to either side of V-V, degrees: the standards' scans go to 2.5 and beyond. */
const EDGE_SIDE_DEG = 4;
/** Above the edge, board for the light that should not be there, and to see the inflection whole, degrees. */
const ABOVE_DEG = 1.2;
/** Bare board round the sheets, and over a centre mark for the arms of its tape, mm. */
const RIM_MM = 40;
const OVER_MARK_MM = 110;
/** Where the edge is looked for while no target is set: 2 % down is below every usual aim but the lowest, per cent. */
const UNKNOWN_DROP_PCT = 2;

/**
 * Where a lamp's centre mark belongs on a board that stands square to the vehicle on the plane of its tyres.
 * @param lamp reference centre: height over the ground and distance to the right of the median plane, mm.
 * @param origin vehicle-frame place of board point (0, 0): to the right, and up over the plane of the tyres, mm.
 */
export function lampPlaceOnBoard(
  lamp: { readonly centreHeightMm: number; readonly rightMm: number },
  origin: { readonly rightMm: number; readonly upMm: number },
): BoardPoint {
  return { X: lamp.rightMm - origin.rightMm, Y: lamp.centreHeightMm - origin.upMm };
}

/**
 * Lays out the board for a vehicle and bay: centre marks, target lines, level line, sheets, and the board they need.
 *
 * The board is taken as square to the vehicle; a reading corrects for lean and turn, and tape does not show them.
 * Target: `distance` times drop per cent below the centre mark (standards.md W1: 1.3 % at 5 m is 65 mm).
 *
 * @throws InputError when there is no lamp, or a distance is not above 0.
 */
export function boardPlan(input: BoardPlanInput): BoardPlan {
  if (input.lamps.length === 0) throw new InputError('lamps', 'at least one', input.lamps);
  for (const l of input.lamps) {
    if (!(l.distanceMm > 0))
      throw new InputError(`lamps.${l.id}.distanceMm`, 'a length above 0 mm', l.distanceMm);
    if (!Number.isFinite(l.at.X) || !Number.isFinite(l.at.Y)) {
      throw new InputError(`lamps.${l.id}.at`, 'a place on the board', l.at);
    }
  }
  const lamps = [...input.lamps]
    .sort((a, b) => a.at.X - b.at.X || b.at.Y - a.at.Y)
    .map((l, i) => planned(l, i));
  const row = placeSheets({
    paper: input.paper,
    units: input.units,
    trafficSide: input.trafficSide,
    floorY: input.board.floorY,
    area: input.board.area,
    lamps: lamps.map((l) => ({
      X: l.mark.X,
      edgeY: l.target?.Y ?? l.mark.Y - (l.distanceMm * UNKNOWN_DROP_PCT) / 100,
      distanceMm: l.distanceMm,
    })),
    ...(input.sheets ? { numbers: input.sheets } : {}),
  });
  const needed = areaNeeded(lamps, row, input.board.floorY);
  const first = row.sheets[0];
  const last = row.sheets.at(-1);
  return {
    title: input.title,
    rendered: input.rendered ?? false,
    paper: input.paper,
    units: input.units,
    words: input.words,
    trafficSide: input.trafficSide,
    zero: input.board.zero,
    lamps,
    sheets: row.sheets,
    spareSheets: row.spare,
    levelLineY: row.levelLineY,
    floorY: input.board.floorY,
    checkDistance:
      first && last && first !== last ? { from: first.number, to: last.number, mm: last.X - first.X } : null,
    needed,
    area: input.board.area,
    warnings: [...row.warnings, ...boardWarnings(needed, input.board.area, input.board.floorY)],
  };
}

function planned(lamp: PlanLamp, index: number): PlannedLamp {
  const { at, distanceMm, target } = lamp;
  const aboveMarkMm = target ? (-distanceMm * target.dropPct) / 100 : 0;
  const rightOfMarkMm = target?.offsetPct != null ? (distanceMm * target.offsetPct) / 100 : null;
  return {
    letter: String.fromCharCode(65 + index),
    id: lamp.id,
    title: lamp.title,
    side: lamp.side,
    mark: at,
    distanceMm,
    target: target && {
      feature: target.feature,
      dropPct: target.dropPct,
      Y: at.Y + aboveMarkMm,
      aboveMarkMm,
      halfWidthMm: target.tolerancePct === null ? null : (distanceMm * target.tolerancePct) / 100,
      X: rightOfMarkMm === null ? null : at.X + rightOfMarkMm,
      rightOfMarkMm,
    },
  };
}

function areaNeeded(lamps: readonly PlannedLamp[], row: SheetRow, floorY: number | null): Area {
  const side = tanFromDeg(EDGE_SIDE_DEG);
  const above = tanFromDeg(ABOVE_DEG);
  const half = { w: row.sheetWidthMm / 2, h: row.sheetHeightMm / 2 };
  const lefts = [
    ...lamps.map((l) => l.mark.X - l.distanceMm * side),
    ...row.sheets.map((s) => s.X - half.w - RIM_MM),
  ];
  const rights = [
    ...lamps.map((l) => l.mark.X + l.distanceMm * side),
    ...row.sheets.map((s) => s.X + half.w + RIM_MM),
  ];
  const tops = lamps.map((l) =>
    Math.max(l.mark.Y + OVER_MARK_MM, (l.target?.Y ?? l.mark.Y) + l.distanceMm * above),
  );
  const bottom = row.levelLineY - half.h - RIM_MM;
  return {
    left: Math.min(...lefts),
    right: Math.max(...rights),
    bottom: floorY === null ? bottom : Math.max(bottom, floorY),
    top: Math.max(...tops),
  };
}

function and(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

function boardWarnings(needed: Area, area: Area | null, floorY: number | null): string[] {
  const said: string[] = [];
  if (floorY !== null && floorY > needed.top)
    said.push('The floor lies above the lamps: check the board heights.');
  if (!area) return said;
  const short = [
    area.left > needed.left + 1 ? 'to the left' : '',
    area.right < needed.right - 1 ? 'to the right' : '',
    area.bottom > needed.bottom + 1 ? 'at the bottom' : '',
    area.top < needed.top - 1 ? 'at the top' : '',
  ].filter(Boolean);
  if (short.length > 0) {
    said.push(`Your board is too small ${and(short)} for this plan: add card there, or measure nearer.`);
  }
  return said;
}
