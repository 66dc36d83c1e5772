import type { BoardView } from '../core/board-view.ts';
import { composeHomography } from '../core/geometry/homography.ts';
import type { FoundMark } from './find-marks.ts';
import { fitMovement, type Movement, type SeenMove } from './movement-fit.ts';
import type { PhotoSize } from './solve-view.ts';

/** How the camera moved between two photos of one board. */
export type CameraShift =
  | (Movement & {
      readonly found: true;
      /** How many marks, and how many places of texture, tell it. */
      readonly marks: number;
      readonly places: number;
    })
  | {
      readonly found: false;
      readonly why: 'no-common-marks' | 'moved-too-far' | 'marks-moved';
      /** How far the picture shifted, px; null where that can't be told. */
      readonly px: number | null;
      readonly detail: string;
      readonly advice: string;
    };

/** More than this part of the diagonal is not a nudge: the view must be registered anew. */
export const MOST_PART = 0.01;
/** Marks that disagree by more than this many uncertainties have themselves moved. */
const MOST_OFF = 6;
/** Beside a corner's own uncertainty, what the form of the movement may leave over, px. */
const FORM_PX = 0.1;

/** Marks of two photos, corner by corner; a mark that either photo shows twice is left out. */
export function markMoves(
  first: readonly FoundMark[],
  second: readonly FoundMark[],
): { readonly moves: readonly SeenMove[]; readonly marks: number } {
  const pairs = first.flatMap((a) => {
    const others = second.filter((b) => b.identity === a.identity && b.mirrored === a.mirrored);
    const twice = first.filter((b) => b.identity === a.identity).length > 1;
    return others.length === 1 && !twice ? [{ a, b: others[0]! }] : [];
  });
  const moves = pairs.flatMap(({ a, b }) =>
    a.corners.map((at, i): SeenMove => {
      const w = 1 / (a.uPx * a.uPx + b.uPx * b.uPx);
      return {
        at,
        dx: b.corners[i]!.x - at.x,
        dy: b.corners[i]!.y - at.y,
        weight: [w, 0, w],
        doubtful: false,
      };
    }),
  );
  return { moves, marks: pairs.length };
}

/**
 * The movement between two photos from one tripod, from marks found in both and, where given, from texture.
 * @param photo size in px and EXIF focal length, the same for both photos. @param texture places found by findTextureMoves.
 */
export function findCameraShift(
  first: readonly FoundMark[],
  second: readonly FoundMark[],
  photo: PhotoSize,
  texture: readonly SeenMove[] = [],
): CameraShift {
  const { moves, marks } = markMoves(first, second);
  if (moves.length + texture.length === 0) {
    return {
      found: false,
      why: 'no-common-marks',
      px: null,
      detail: 'No mark is seen in both photos.',
      advice: 'Keep at least one sheet where the beam lights it, so that a moved camera can be noticed.',
    };
  }
  const fit = fitMovement([...moves, ...texture], photo);
  if (fit.largestPx > MOST_PART * 2 * fit.radiusPx) return movedTooFar(fit.largestPx);
  const off = moves.map((m, k) => fit.misfits[k]! ** 2 / (1 + FORM_PX ** 2 * m.weight[0]));
  if (off.length > 0 && Math.sqrt(off.reduce((s, x) => s + x, 0) / (2 * off.length)) > MOST_OFF) {
    return {
      found: false,
      why: 'marks-moved',
      px: fit.largestPx,
      detail: 'Between the two photos marks moved against each other: a sheet or the camera was moved.',
      advice: 'Take the photo of the marks again from where the camera stands now.',
    };
  }
  return { found: true, ...fit, marks, places: texture.length };
}

/** The answer for a camera that moved by more than a nudge. */
export function movedTooFar(px: number | null): Extract<CameraShift, { found: false }> {
  const by = px === null ? '' : `: the picture shifted by ${Math.round(px)} px`;
  return {
    found: false,
    why: 'moved-too-far',
    px,
    detail: `The camera moved between the photos${by}.`,
    advice: 'Use a tripod and the timer, and take all photos of a lamp without touching the camera.',
  };
}

/** The board as seen in the second photo, when `view` is of the first. Its radial term stays with the lens. */
export function shiftedView(
  view: BoardView,
  shift: Pick<Extract<CameraShift, { found: true }>, 'homography'>,
): BoardView {
  return { ...view, homography: composeHomography(shift.homography, view.homography) };
}
