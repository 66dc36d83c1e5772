import { InputError } from '../core/errors.ts';
import { type Lamp, spotsFor } from './lamp.ts';
import { type BoardPlace, dot, minus } from './space.ts';

/** Light in direction (u, v) as one way of looking sees it. */
export type Light = (u: number, v: number) => number;

/** From the lamp's reference centre straight ahead to the board, mm. */
export function distanceTo(lamp: Lamp, board: BoardPlace): number {
  const ahead = board.meet(lamp.place, { right: 0, forward: 1, up: 0 });
  if (!ahead) throw new InputError('board.stand', 'a board in front of the lamp', 'one behind or beside it');
  return board.place(ahead.X, ahead.Y).forward - lamp.place.forward;
}

/**
 * Illuminance of the board, lx, at a board point: the sum over all lit spots of intensity, cosine and inverse square
 * (standards MET-6 for a single spot). No ambient light.
 * @param fine spacing of the spots in widths of the edge.
 */
export function boardIlluminance(
  lamp: Lamp,
  board: BoardPlace,
  fine = 0.35,
): (X: number, Y: number) => number {
  const distance = distanceTo(lamp, board);
  const spots = spotsFor(lamp, distance, fine);
  const { away } = board;
  return (X, Y) => {
    const p = minus(board.place(X, Y), lamp.place);
    let sum = 0;
    for (const spot of spots) {
      const dr = p.right - spot.x;
      const du = p.up - spot.z;
      const r2 = dr * dr + p.forward * p.forward + du * du;
      const cos = (dr * away.right + p.forward * away.forward + du * away.up) / Math.sqrt(r2);
      const intensity = lamp.intensity(dr / p.forward - spot.du, du / p.forward - spot.dv);
      sum += (spot.share * intensity * cos) / r2;
    }
    // mm to m.
    return 1e6 * sum;
  };
}

/**
 * The board's illuminance in direction (u, v) from the reference centre, as intensity (times r^2/cos), so that it can
 * stand beside the far field.
 */
export function boardLight(lamp: Lamp, board: BoardPlace, fine: number): Light {
  const illuminance = boardIlluminance(lamp, board, fine);
  return (u, v) => {
    const hit = board.meet(lamp.place, { right: u, forward: 1, up: v });
    if (!hit) return Number.NaN;
    const p = minus(board.place(hit.X, hit.Y), lamp.place);
    const r2 = dot(p, p);
    return (1e-6 * illuminance(hit.X, hit.Y) * r2 * Math.sqrt(r2)) / dot(p, board.away);
  };
}
