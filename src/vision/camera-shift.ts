import { Matrix, solve } from 'ml-matrix';
import type { BoardView } from '../core/board-view.ts';
import type { PhotoPoint } from '../core/frames.ts';
import { composeHomography, type Homography } from '../core/geometry/homography.ts';
import type { FoundMark } from './find-marks.ts';
import { type PhotoSize, priorFocalPx } from './solve-view.ts';

/** How the camera moved between two photos of one board, as far as marks seen in both tell. */
export type CameraShift =
  | {
      readonly found: true;
      /** First photo's px to second photo's px. */
      readonly homography: Homography;
      /** Largest movement of a picture corner, px. */
      readonly largestPx: number;
      /** Standard uncertainty of the movement at a picture corner, px. */
      readonly uPx: number;
      /** Root mean square of what the movement leaves over at the marks, px. */
      readonly rmsPx: number;
      readonly marks: number;
    }
  | {
      readonly found: false;
      readonly why: 'no-common-marks' | 'moved-too-far' | 'marks-moved';
      readonly detail: string;
      readonly advice: string;
    };

/** A nudged tripod turns and zooms little: prior spread of turn (rad) and of relative size. */
const TURN_SPREAD = 0.005;
const SIZE_SPREAD = 0.003;
/** A turned camera also skews the picture; a shoved one does not. Spread round the turned camera's skew, px at the corner. */
const SKEW_SPREAD_PX = 1;
/** More than this part of the diagonal is not a nudge: the view must be registered anew. */
const MOST_PART = 0.01;
/** Marks that disagree by more than this many uncertainties have themselves moved. */
const MOST_OFF = 6;

/**
 * The movement between two photos from one tripod: shift, turn, size and skew, from marks found in both. One mark alone
 * gives the shift; the others then stay near a turned camera's by their priors, and the uncertainty says so.
 * @param photo size in px and EXIF focal length, the same for both photos.
 */
export function findCameraShift(
  first: readonly FoundMark[],
  second: readonly FoundMark[],
  photo: PhotoSize,
): CameraShift {
  const pairs = first.flatMap((a) => {
    const others = second.filter((b) => b.identity === a.identity && b.mirrored === a.mirrored);
    const twice = first.filter((b) => b.identity === a.identity).length > 1;
    return others.length === 1 && !twice ? [{ a, b: others[0]! }] : [];
  });
  if (pairs.length === 0) {
    return {
      found: false,
      why: 'no-common-marks',
      detail: 'No mark is seen in both photos.',
      advice: 'Keep at least one sheet where the beam lights it, so that a moved camera can be noticed.',
    };
  }
  const cx = (photo.width - 1) / 2;
  const cy = (photo.height - 1) / 2;
  const radius = Math.hypot(cx, cy);
  // Unknowns: dx, dy at the middle; turn, size and two skews as px at the corner, so that all are of one kind.
  const normal = Matrix.zeros(6, 6);
  const right = [0, 0, 0, 0, 0, 0];
  const add = (row: readonly number[], value: number, u: number): void => {
    for (let i = 0; i < 6; i++) {
      right[i]! += (row[i]! * value) / (u * u);
      for (let j = 0; j < 6; j++) normal.set(i, j, normal.get(i, j) + (row[i]! * row[j]!) / (u * u));
    }
  };
  const each = (visit: (p: PhotoPoint, q: PhotoPoint, u: number) => void): void => {
    for (const { a, b } of pairs) {
      a.corners.forEach((p, i) => {
        visit(p, b.corners[i]!, Math.hypot(a.uPx, b.uPx));
      });
    }
  };
  const rows = (p: PhotoPoint): readonly [number[], number[]] => {
    const X = (p.x - cx) / radius;
    const Y = (p.y - cy) / radius;
    return [
      [1, 0, -Y, X, X * X, X * Y],
      [0, 1, X, Y, X * Y, Y * Y],
    ];
  };
  each((p, q, u) => {
    const [rx, ry] = rows(p);
    add(rx, q.x - p.x, u);
    add(ry, q.y - p.y, u);
  });
  add([0, 0, 1, 0, 0, 0], 0, TURN_SPREAD * radius);
  add([0, 0, 0, 1, 0, 0], 0, SIZE_SPREAD * radius);
  // A camera turned by dx/f sees points at X, Y move by dx (1 + X²) and dx XY, X and Y in focal lengths.
  const skew = (radius / priorFocalPx(photo)) ** 2;
  add([-skew, 0, 0, 0, 1, 0], 0, SKEW_SPREAD_PX);
  add([0, -skew, 0, 0, 0, 1], 0, SKEW_SPREAD_PX);
  const s = solve(normal, Matrix.columnVector(right)).to1DArray() as Six;
  const moved = (p: PhotoPoint): PhotoPoint => {
    const [rx, ry] = rows(p);
    return { x: rx.reduce((t, v, i) => t + v * s[i]!, 0), y: ry.reduce((t, v, i) => t + v * s[i]!, 0) };
  };
  let square = 0;
  let off = 0;
  let n = 0;
  each((p, q, u) => {
    const m = moved(p);
    const rx = p.x + m.x - q.x;
    const ry = p.y + m.y - q.y;
    square += rx * rx + ry * ry;
    off += (rx * rx + ry * ry) / (u * u + 0.1 * 0.1);
    n += 2;
  });
  const largestPx = Math.max(
    ...[0, 2 * cx].flatMap((x) =>
      [0, 2 * cy].map((y) => {
        const m = moved({ x, y });
        return Math.hypot(m.x, m.y);
      }),
    ),
  );
  if (largestPx > MOST_PART * 2 * radius) {
    return {
      found: false,
      why: 'moved-too-far',
      detail: `The camera moved between the photos: the picture shifted by ${Math.round(largestPx)} px.`,
      advice: 'Use a tripod and the timer, and take all photos of a lamp without touching the camera.',
    };
  }
  if (Math.sqrt(off / n) > MOST_OFF) {
    return {
      found: false,
      why: 'marks-moved',
      detail: 'Between the two photos marks moved against each other: a sheet or the camera was moved.',
      advice: 'Take the photo of the marks again from where the camera stands now.',
    };
  }
  const cov = solve(normal, Matrix.eye(6));
  const [rx, ry] = rows({ x: 0, y: 0 });
  const variance = [rx, ry].reduce(
    (t, r) => t + r.reduce((w, v, i) => w + v * r.reduce((z, k, j) => z + cov.get(i, j) * k, 0), 0),
    0,
  );
  return {
    found: true,
    homography: homographyOf(s, cx, cy, radius),
    largestPx,
    uPx: Math.sqrt(variance / 2),
    rmsPx: Math.sqrt(square / n),
    marks: pairs.length,
  };
}

type Six = [number, number, number, number, number, number];

/** The six movements as a homography: to first order x + dx - tY + sX + X (pX + qY) is (..)/(1 - (pX + qY)/R). */
function homographyOf(s: Six, cx: number, cy: number, radius: number): Homography {
  const [dx, dy, turn, size, p, q] = s.map((v) => v / radius) as Six;
  const centred = [1 + size, -turn, dx, turn, 1 + size, dy, -p, -q, 1];
  const into = [1 / radius, 0, -cx / radius, 0, 1 / radius, -cy / radius, 0, 0, 1];
  const back = [radius, 0, cx, 0, radius, cy, 0, 0, 1];
  return composeHomography(back, composeHomography(centred, into));
}

/** The board as seen in the second photo, when `view` is of the first. Its radial term stays with the lens. */
export function shiftedView(view: BoardView, shift: Extract<CameraShift, { found: true }>): BoardView {
  return { ...view, homography: composeHomography(shift.homography, view.homography) };
}
