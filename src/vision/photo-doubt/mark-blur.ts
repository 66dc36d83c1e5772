import type { Registration } from '../../core/board-view.ts';
import { photoPointOf } from '../../core/geometry/board-projection.ts';
import type { FoundMark } from '../find-marks.ts';
import { sheetMarks } from '../mark-design.ts';

/**
 * How much the photo blurs the board, standard deviation on the board, mm: the median over the marks, whose own outlines
 * are as sharp as print. Focus and movement show in them as in the edge.
 * @returns null when no mark of this photo can tell.
 */
export function blurOnBoard(marks: readonly FoundMark[]): number | null {
  const each = marks
    .filter((m) => !m.mirrored)
    .map((m) => {
      const [a, b, c] = m.corners;
      const printed = sheetMarks(m.sheet)[m.place]!.corners;
      const sideMm = Math.hypot(printed[0].X - printed[1].X, printed[0].Y - printed[1].Y);
      const sidePx = (Math.hypot(a.x - b.x, a.y - b.y) + Math.hypot(c.x - b.x, c.y - b.y)) / 2;
      return (m.blurPx * sideMm) / sidePx;
    })
    .sort((x, y) => x - y);
  return each.length === 0 ? null : each[each.length >> 1]!;
}

/** How many mm of the board one photo pixel covers at the marks' middle, upwards. */
export function mmPerPixel(registration: Registration): number {
  const { X, Y } = registration.foundVar.centre;
  const a = photoPointOf(registration.view, { X, Y: Y - 10 });
  const b = photoPointOf(registration.view, { X, Y: Y + 10 });
  return 20 / Math.hypot(a.x - b.x, a.y - b.y);
}
