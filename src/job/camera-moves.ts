import type { PlaceVariance, Registration } from '../core/board-view.ts';
import { photoPointOf } from '../core/geometry/board-projection.ts';
import { applyHomography, homographyJacobian } from '../core/geometry/homography.ts';
import {
  type CameraShift,
  findCameraShift,
  markMoves,
  movedTooFar,
  shiftedView,
} from '../vision/camera-shift.ts';
import { fitMovement, type Movement, movementVariance, turnAndSizeVariance } from '../vision/movement-fit.ts';
import type { TextureCard } from '../vision/texture-card.ts';
import { findTextureMoves } from '../vision/texture-shift.ts';
import type { OpenPhoto, SeenPhoto } from './seen-photo.ts';

/** How the camera moved between two photos of a shot, or why that can't be told. */
export type CameraMove =
  | Extract<CameraShift, { found: true }>
  | { readonly found: false; readonly why: 'moved' | 'not-seen' | 'size'; readonly detail: string };

/** With so many marks in both photos texture adds nothing. */
const ENOUGH_MARKS = 4;
/** Focal lengths in the file that differ by more than this are a zoom, or another lens of the phone. */
const MOST_ZOOM = 0.03;
/** A camera whose movement can't be seen is taken on trust to this part of the picture's diagonal: 3 px of 3 MP. */
const TRUST_PART = 0.0012;

/**
 * The camera's movement from one photo to another of the same tripod, from marks that both show, and from texture where
 * those are few.
 *
 * @param card of the first photo, made only when wanted.
 * @param sameLight both show the lamp's beam: then texture that does not fit is a camera that moved. In another light it
 *   tells nothing.
 */
export async function followCamera(
  from: SeenPhoto,
  to: OpenPhoto,
  card: () => Promise<TextureCard>,
  sameLight: boolean,
): Promise<CameraMove> {
  const [a, b] = [from.size, to.size];
  if (a.width !== b.width || a.height !== b.height) {
    return {
      found: false,
      why: 'size',
      detail: `it is ${b.width} x ${b.height} px, the other ${a.width} x ${a.height} px`,
    };
  }
  if (
    a.focal35Mm !== null &&
    b.focal35Mm !== null &&
    Math.abs(Math.log(a.focal35Mm / b.focal35Mm)) > MOST_ZOOM
  ) {
    return { found: false, why: 'moved', detail: 'the camera was zoomed, or another lens of it was used' };
  }
  const common = markMoves(from.marks, to.marks);
  const byMarks = (): CameraMove => plain(findCameraShift(from.marks, to.marks, a));
  if (common.marks >= ENOUGH_MARKS) return byMarks();
  const start = common.marks > 0 ? fitMovement(common.moves, a) : null;
  const texture = findTextureMoves(await card(), to.photo.raster, a, start);
  if (texture.found) return plain(findCameraShift(from.marks, to.marks, a, texture.moves));
  if (common.marks > 0) return byMarks();
  if (texture.why === 'no-fit' && sameLight) return plain(movedTooFar(null));
  return { found: false, why: 'not-seen', detail: 'nothing shows in both photos' };
}

function plain(shift: CameraShift): CameraMove {
  if (shift.found) return shift;
  if (shift.why === 'no-common-marks')
    return { found: false, why: 'not-seen', detail: 'nothing shows in both photos' };
  const detail =
    shift.why === 'marks-moved'
      ? 'sheets or camera were moved, since the marks moved against each other'
      : shift.px === null
        ? 'the camera moved, so far that the pictures fit nowhere'
        : `the camera moved, and with it the picture by ${Math.round(shift.px)} px`;
  return { found: false, why: 'moved', detail };
}

/** A registration as the photo sees it to which the camera then moved, and what that movement's doubt adds. */
export function movedRegistration(registration: Registration, move: Movement): Registration {
  return {
    ...registration,
    view: shiftedView(registration.view, move),
    points: registration.points.map((p) => ({
      ...p,
      photo: applyHomography(move.homography, { X: p.photo.x, Y: p.photo.y }),
    })),
    foundVar: addVariance(registration.foundVar, moveVariance(registration, move), 1),
  };
}

/** A registration whose camera is taken to have stood still, with the doubt of that. */
export function trustedRegistration(
  registration: Registration,
  size: { readonly width: number; readonly height: number },
): Registration {
  const perPx = mmPerPx(registration);
  const v = (TRUST_PART * Math.hypot(size.width, size.height) * perPx) ** 2;
  return {
    ...registration,
    foundVar: addVariance(registration.foundVar, { xVarMm2: [v, 0, 0], yVarMm2: [v, 0, 0] }, 1),
  };
}

export type MoveVariance = Pick<PlaceVariance, 'xVarMm2' | 'yVarMm2'>;

/** What a movement's doubt does to places on the board: a common shift, a turn and a size. */
export function moveVariance(registration: Registration, move: Movement): MoveVariance {
  const at = photoPointOf(registration.view, registration.foundVar.centre);
  const shift = movementVariance(move, at) * mmPerPx(registration) ** 2;
  const { turn, size } = turnAndSizeVariance(move);
  return { xVarMm2: [shift, size, turn], yVarMm2: [shift, turn, size] };
}

/** One variance and `share` of another. */
export function addVariance(to: PlaceVariance, more: MoveVariance, share: number): PlaceVariance {
  const add = (a: readonly [number, number, number], b: readonly [number, number, number]) =>
    [a[0] + share * b[0], a[1] + share * b[1], a[2] + share * b[2]] as const;
  return {
    ...to,
    xVarMm2: add(to.xVarMm2, more.xVarMm2),
    yVarMm2: add(to.yVarMm2, more.yVarMm2),
  };
}

function mmPerPx(registration: Registration): number {
  const [a, b, c, d] = homographyJacobian(registration.view.homography, registration.foundVar.centre);
  return 1 / Math.sqrt(Math.abs(a * d - b * c));
}
