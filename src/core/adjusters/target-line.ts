import type { Tangent } from '../frames.ts';
import { boardPointAt } from '../geometry/lamp-tangents.ts';
import type { LampView } from '../lamp-view.ts';
import type { ShiftPct } from '../rules/judge-input.ts';
import type { Band } from '../rules/scheme.ts';
import type { TargetLine } from './lamp-mechanics.ts';

/** An aim as it should stand on this board, per cent. */
export interface BoardAim {
  readonly dropPct: number;
  /** null: no sideways aim is asked for. */
  readonly offsetPct: number | null;
  /** How far off it the drop may end up, either way, and still be proven inside the limits; null: no such room. */
  readonly tolerancePct: number | null;
  /** How unsure the line itself is: U of the reading and half of what near field leaves open. */
  readonly doubtPct: number;
}

/**
 * Where an aim should stand on this board.
 *
 * Seen from far, a drop is the drop on the board plus a shift that near field leaves open between `min` and `max`. A
 * far aim T therefore stands on the board somewhere between T - max and T - min. When limits are given and some
 * board drop keeps the far drop ± U inside them at both ends, one of those is taken: T - min as far as that leaves room
 * on both sides, else towards their middle. Otherwise it is T - min, the lowest of the candidates, and clear of the
 * dazzle limit: doubt errs away from dazzle.
 *
 * @param of.target the aim, far or on the board as `place` says.
 * @param of.band limits in the same place, or null.
 * @param of.uDropPct standard uncertainty of a drop read on this board, per cent.
 */
export function boardAim(of: {
  readonly target: { readonly dropPct: number; readonly offsetPct: number | null };
  readonly place: 'far' | 'board';
  readonly band: Band | null;
  readonly farShiftPct: ShiftPct;
  readonly uDropPct: number;
}): BoardAim {
  const shift = of.place === 'far' ? of.farShiftPct : { min: 0, max: 0 };
  const U = 2 * of.uDropPct;
  const doubtPct = U + (shift.max - shift.min) / 2;
  const { offsetPct } = of.target;
  const safe = of.target.dropPct - shift.min;
  const minPct = of.band?.minPct ?? null;
  const maxPct = of.band?.maxPct ?? null;
  if (minPct === null || maxPct === null) return { dropPct: safe, offsetPct, tolerancePct: null, doubtPct };

  const highest = minPct - shift.min + U;
  const lowest = maxPct - shift.max - U;
  if (highest > lowest)
    // Nothing can be proven: at least keep clear of the dazzle limit by U.
    return { dropPct: Math.max(safe, highest), offsetPct, tolerancePct: null, doubtPct };
  // Not lower than the aim asks; with a wide interval, towards the middle of what can be proven.
  const middle = (highest + lowest) / 2;
  const wished = Math.min(safe, Math.max(middle, of.target.dropPct - (shift.min + shift.max) / 2));
  const dropPct = Math.min(Math.max(wished, highest), lowest);
  return { dropPct, offsetPct, tolerancePct: Math.min(dropPct - highest, lowest - dropPct), doubtPct };
}

/**
 * The line of tape to bring the edge to, counted on the board from the lamp's centre mark (where V-V crosses H-H).
 *
 * @param of.now the edge now, as seen on the board, per cent.
 * @param of.atOffsetPct the column of the flat part where the drop holds, per cent, + right; the line is
 *   given for this column.
 * @returns mm along the board; + up, + right. The half width is the aim's tolerance, or its doubt where there is none.
 */
export function targetLine(of: {
  readonly view: LampView;
  readonly now: { readonly dropPct: number };
  readonly atOffsetPct: number;
  readonly aim: BoardAim;
}): TargetLine {
  const { view, aim } = of;
  const heightOf = (dropPct: number): number =>
    boardPointAt(view, tangent(dropPct, of.atOffsetPct)).Y - view.axisFoot.Y;
  const aboveCentreMm = heightOf(aim.dropPct);
  const half = aim.tolerancePct ?? aim.doubtPct;
  const elbow = aim.offsetPct === null ? null : boardPointAt(view, tangent(aim.dropPct, aim.offsetPct));
  return {
    aboveCentreMm,
    halfWidthMm: Math.abs(heightOf(aim.dropPct - half) - heightOf(aim.dropPct + half)) / 2,
    rightOfCentreMm: elbow === null ? null : elbow.X - view.axisFoot.X,
    moveMm: aboveCentreMm - heightOf(of.now.dropPct),
    halfWidthMeans: aim.tolerancePct === null ? 'doubt' : 'tolerance',
  };
}

function tangent(dropPct: number, offsetPct: number): Tangent {
  return { u: offsetPct / 100, v: -dropPct / 100 };
}
