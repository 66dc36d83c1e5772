import type { Registration, RegistrationRefusal } from '../core/board-view.ts';
import type { LampView } from '../core/lamp-view.ts';
import type { Raster } from '../core/raster.ts';
import {
  type BoardArea,
  registerCrosses,
  registerSheets,
  type SeenCross,
  type SheetPlace,
} from '../vision/register-board.ts';
import { snapCross } from '../vision/snap-cross.ts';
import type { JobBoard, JobShot } from './job.ts';
import { cameraShiftPx, type OpenPhoto } from './seen-photo.ts';

/** More than this between the marks shot and the photo is a camera that was knocked, px. */
const STILL_PX = 2;

/** The board in a shot, or why it can't be found. */
export type ShotRegistration = Registration | RegistrationRefusal;

/**
 * The board in a shot: from the marks shot of the same tripod when there is one, else from the photo itself; from sheets
 * first, from tapped crosses when there are no sheets to see.
 *
 * @param sheets the board's sheets with their places, surveyed if need be.
 * @param view where the lamp looks: the marks' variances are wanted there.
 */
export function registerShot(of: {
  readonly board: JobBoard;
  readonly sheets: readonly SheetPlace[];
  readonly shot: JobShot;
  readonly photo: OpenPhoto;
  readonly marksShot: OpenPhoto | null;
  readonly view: LampView;
}): ShotRegistration {
  const { photo, marksShot } = of;
  const area = areaOf(of.view);
  const own = () => registerFrom(photo, of, area);
  if (marksShot === null) return own();
  if (marksShot.size.width !== photo.size.width || marksShot.size.height !== photo.size.height) {
    return withWarning(own(), 'The marks shot has another size than the photo and was not used.');
  }
  const shift = cameraShiftPx(marksShot, photo);
  if (shift !== null && shift > STILL_PX) {
    const moved = `The camera moved by ${shift.toFixed(1)} px between the marks shot and the photo, so the marks shot was not used.`;
    return withWarning(own(), moved);
  }
  const fromMarks = registerFrom(marksShot, of, area);
  if (!fromMarks.found) {
    const alone = own();
    return alone.found
      ? withWarning(alone, `The marks shot could not be used: ${fromMarks.detail}`)
      : fromMarks;
  }
  if (shift !== null) return fromMarks;
  return withWarning(
    fromMarks,
    'No mark shows in both the photo and its marks shot: that the camera stood still is taken on trust.',
  );
}

function registerFrom(
  from: OpenPhoto,
  of: Parameters<typeof registerShot>[0],
  area: BoardArea,
): ShotRegistration {
  const { sheets, board, shot } = of;
  const fromSheets =
    sheets.length > 0 ? registerSheets({ found: from.marks, sheets, photo: from.size, area }) : null;
  if (fromSheets?.found) return fromSheets;
  // Sheets that contradict each other are not to be got round by tapping.
  const noSheetSeen =
    fromSheets === null || fromSheets.why === 'no-marks' || fromSheets.why === 'too-few-marks';
  if (!noSheetSeen || board.crosses.length === 0) return fromSheets ?? noMarks();
  if (shot.taps.length === 0) {
    return fromSheets ?? { ...noMarks(), advice: 'Tap at least four crosses in the photo, by name.' };
  }
  const { points, lost } = snapAll(shot, from.photo.raster, of.photo === from ? null : of.photo.photo.raster);
  const result = registerCrosses({ points, crosses: board.crosses, photo: from.size, area });
  return lost.length === 0 ? result : withWarning(result, lost.join(' '));
}

function snapAll(
  shot: JobShot,
  raster: Raster,
  otherwise: Raster | null,
): { readonly points: readonly SeenCross[]; readonly lost: readonly string[] } {
  const points: SeenCross[] = [];
  const lost: string[] = [];
  for (const tap of shot.taps) {
    const at = { x: tap.x, y: tap.y };
    const first = snapCross(raster, at);
    const snapped = first.found || otherwise === null ? first : snapCross(otherwise, at);
    if (snapped.found) points.push({ name: tap.cross, at: snapped.at, uPx: snapped.uPx });
    else lost.push(`Cross ${tap.cross}: ${snapped.detail}`);
  }
  return { points, lost };
}

/** Where the beam is looked for: 7 deg to each side, 3.5 deg down and 1 deg up from the lamp's axis. */
function areaOf(view: LampView): BoardArea {
  const { axisFoot, distanceMm } = view;
  return {
    left: axisFoot.X - 0.12 * distanceMm,
    right: axisFoot.X + 0.12 * distanceMm,
    bottom: axisFoot.Y - 0.06 * distanceMm,
    top: axisFoot.Y + 0.02 * distanceMm,
  };
}

function withWarning(result: ShotRegistration, warning: string): ShotRegistration {
  return result.found
    ? { ...result, warnings: [...result.warnings, warning] }
    : { ...result, detail: `${result.detail} ${warning}` };
}

function noMarks(): RegistrationRefusal {
  return {
    found: false,
    why: 'no-marks',
    detail: 'The board has no marks in this job.',
    advice: 'Tape printed sheets to the board, or draw at least four crosses and give their places.',
    points: [],
  };
}
