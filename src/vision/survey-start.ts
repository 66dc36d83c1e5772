import type { BoardPoint, PhotoPoint } from '../core/frames.ts';
import {
  applyHomography,
  fitHomography,
  type Homography,
  invertHomography,
} from '../core/geometry/homography.ts';

/** A sheet's rough pose in some common frame: mm and rad. */
export interface RoughPose {
  readonly X: number;
  readonly Y: number;
  readonly turn: number;
}

/** What one photo shows of one sheet: its corners in the sheet's frame and in the photo. */
export interface SheetInPhoto {
  readonly sheet: number;
  readonly local: readonly BoardPoint[];
  readonly photo: readonly PhotoPoint[];
}

/**
 * Rough poses of all sheets that photos link together, in the frame of the sheet seen best: each photo's homography is
 * taken from sheets already placed, the other sheets are read off through it, and all is done again with more sheets.
 * @returns poses by sheet number; sheets that no chain of photos links are missing.
 */
export function roughPoses(photos: readonly (readonly SheetInPhoto[])[]): ReadonlyMap<number, RoughPose> {
  const poses = new Map<number, RoughPose>();
  const views = photos.flat();
  if (views.length === 0) return poses;
  // The sheet that most photos show starts: it links best.
  const counts = new Map<number, number>();
  for (const v of views) counts.set(v.sheet, (counts.get(v.sheet) ?? 0) + v.local.length);
  const first = [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]![0];
  poses.set(first, { X: 0, Y: 0, turn: 0 });
  // One round per sheet links the longest chain; three more let far sheets settle.
  for (let round = 0; round < counts.size + 3; round++) {
    for (const photo of photos) {
      const placed = photo.filter((v) => poses.has(v.sheet));
      const h = homographyOf(placed, poses);
      if (h === null) continue;
      const back = invertHomography(h);
      for (const v of photo) {
        if (v.sheet !== first) poses.set(v.sheet, poseThrough(back, v));
      }
    }
  }
  return poses;
}

/** Moves a pose's point. */
export function posed(pose: RoughPose, p: BoardPoint): BoardPoint {
  const c = Math.cos(pose.turn);
  const s = Math.sin(pose.turn);
  return { X: pose.X + c * p.X - s * p.Y, Y: pose.Y + s * p.X + c * p.Y };
}

function homographyOf(
  placed: readonly SheetInPhoto[],
  poses: ReadonlyMap<number, RoughPose>,
): Homography | null {
  const board = placed.flatMap((v) => v.local.map((p) => posed(poses.get(v.sheet)!, p)));
  return board.length < 4
    ? null
    : fitHomography(
        board,
        placed.flatMap((v) => v.photo),
      );
}

/** The rigid pose nearest to where a homography puts a sheet's corners (Procrustes in the plane). */
function poseThrough(back: Homography, v: SheetInPhoto): RoughPose {
  const seen = v.photo.map((p) => {
    const q = applyHomography(back, { X: p.x, Y: p.y });
    return { X: q.x, Y: q.y };
  });
  return nearestPose(v.local, seen);
}

/** Turn and shift that bring points `from` nearest to `to`. */
export function nearestPose(from: readonly BoardPoint[], to: readonly BoardPoint[]): RoughPose {
  const n = from.length;
  const mean = (points: readonly BoardPoint[], key: 'X' | 'Y'): number =>
    points.reduce((s, p) => s + p[key], 0) / n;
  const [fX, fY, tX, tY] = [mean(from, 'X'), mean(from, 'Y'), mean(to, 'X'), mean(to, 'Y')];
  let cos = 0;
  let sin = 0;
  for (let i = 0; i < n; i++) {
    const a = from[i]!.X - fX;
    const b = from[i]!.Y - fY;
    const c = to[i]!.X - tX;
    const d = to[i]!.Y - tY;
    cos += a * c + b * d;
    sin += a * d - b * c;
  }
  const turn = Math.atan2(sin, cos);
  const centre = posed({ X: 0, Y: 0, turn }, { X: fX, Y: fY });
  return { X: tX - centre.X, Y: tY - centre.Y, turn };
}
