/** A called-out figure in words: what it means, and how far the edge has to move on this board. */
import type { CalledOutChange } from '../core/adjusters/called-out.ts';
import { acrossRoom, fixed, onTape, type Units } from './format.ts';

/** The sentence, and the move on the board in mm (+ up for a drop, + right for an offset); null without a distance. */
export function calledWords(
  change: CalledOutChange,
  distanceMm: number | null,
  units: Units,
): { readonly text: string; readonly onBoardMm: number | null } {
  const { axis, changePct } = change;
  const size = fixed(Math.abs(changePct), 2);
  const way =
    axis === 'drop' ? (changePct > 0 ? 'down' : 'up') : changePct > 0 ? 'to the right' : 'to the left';
  // A larger drop is a lower edge: on the board, down counts negative.
  const onBoardMm = distanceMm === null ? null : ((axis === 'drop' ? -1 : 1) * changePct * distanceMm) / 100;
  if (Number(size) === 0) return { text: 'Nothing to change.', onBoardMm };
  const what = axis === 'drop' ? 'edge' : 'elbow';
  const board =
    onBoardMm === null || distanceMm === null
      ? `That is ${size} % ${way}: ${fixed(Math.abs(changePct) * 10, 1)} mm for every metre of distance.`
      : `That is ${size} % ${way}: on a board ${acrossRoom(distanceMm, units)} away, bring the ${what} ${onTape(onBoardMm, units)} ${way}.`;
  return { text: board, onBoardMm };
}
