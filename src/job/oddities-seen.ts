import type { Registration } from '../core/board-view.ts';
import { poseOfHomography } from '../core/geometry/camera-pose.ts';
import type { Homography } from '../core/geometry/homography.ts';
import type { PhotoFacts } from '../core/raster.ts';
import type { Job } from './job.ts';
import type { ReadShot, ShotResult } from './result.ts';

/** Diagonal of the 35 mm frame, which equivalent focal lengths go by, mm. */
const FRAME_MM = Math.hypot(36, 24);
/**
 * The camera stands behind the plane of the lamps, but not far: between these shares of the lamps' distance. Wide, since
 * the file's focal length is rounded and a cropped photo shows another: only a slip of unit or digit falls outside.
 */
const CAMERA_SHARE = { from: 0.6, to: 2.2 };

/**
 * How far the camera stood from the board by the marks' scale and the photo's own focal length, mm, at right angles to
 * the board; null when the file does not say the focal length.
 */
export function cameraToBoardMm(view: Registration['view'], facts: PhotoFacts): number | null {
  if (facts.focal35Mm === null || !(facts.focal35Mm > 0)) return null;
  const focalPx = (facts.focal35Mm * Math.hypot(facts.width, facts.height)) / FRAME_MM;
  const pose = poseOfHomography(view.homography as Homography, {
    focalPx,
    cx: (facts.width - 1) / 2,
    cy: (facts.height - 1) / 2,
  });
  if (pose === null) return null;
  // The board's normal in camera axes is the rotation's third column; the camera lies at -t along it.
  const { rotation: r, translation: t } = pose;
  const depth = Math.abs(r[2]! * t[0] + r[5]! * t[1] + r[8]! * t[2]);
  return Number.isFinite(depth) ? depth : null;
}

/** Questions that only the photos raise: distances that marks and readings contradict. */
export function seenOddities(job: Pick<Job, 'lamps'>, shots: readonly ShotResult[]): readonly string[] {
  const read = shots.filter((s) => s.state === 'read');
  return [
    ...read.flatMap(cameraOddity),
    ...job.lamps.flatMap((lamp) => {
      const own = read.filter((s) => s.lamp === lamp.id);
      return own.flatMap((a, i) => own.slice(i + 1).flatMap((b) => pairOddity(lamp.title, a, b)));
    }),
  ];
}

function cameraOddity(shot: ReadShot): readonly string[] {
  const camera = cameraToBoardMm(shot.registration.view, shot.facts);
  if (camera === null) return [];
  const lamp = shot.view.distanceMm;
  if (camera >= CAMERA_SHARE.from * lamp && camera <= CAMERA_SHARE.to * lamp) return [];
  return [
    `${shot.shot}: by the marks and the photo's focal length the camera stood about ${metres(camera)} from the board, the job says ${metres(lamp)} from lamp to board. Is the distance right, the sheets printed at 100 %, the photo not cropped?`,
  ];
}

/** Two shots of one lamp from two distances: the camera goes with the distance. */
function pairOddity(title: string, a: ReadShot, b: ReadShot): readonly string[] {
  const [near, far] = a.view.distanceMm <= b.view.distanceMm ? [a, b] : [b, a];
  if (far.view.distanceMm < 1.15 * near.view.distanceMm) return [];
  const cameras = [near, far].map((s) => cameraToBoardMm(s.registration.view, s.facts));
  if (cameras[0] == null || cameras[1] == null || cameras[0] <= 1.1 * cameras[1]) return [];
  return [
    `${title}: ${near.shot} is down for ${metres(near.view.distanceMm)} and ${far.shot} for ${metres(far.view.distanceMm)}, but the marks stand further off in the first. Were the two distances swapped?`,
  ];
}

function metres(mm: number): string {
  return `${(mm / 1000).toFixed(1)} m`;
}
