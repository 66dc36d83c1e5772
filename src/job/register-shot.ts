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
import { followCamera, movedRegistration, trustedRegistration } from './camera-moves.ts';
import type { JobBoard, JobShot } from './job.ts';
import type { PhotoShelf } from './photo-shelf.ts';
import type { OpenPhoto, SeenPhoto } from './seen-photo.ts';
import { cardOf, type ShotPhotos } from './shot-photos.ts';

/** The board in a shot, or why it can't be found. */
export type ShotRegistration = Registration | RegistrationRefusal;

interface RegisterOf {
  readonly board: JobBoard;
  readonly sheets: readonly SheetPlace[];
  readonly shot: JobShot;
  readonly photos: Extract<ShotPhotos, { ok: true }>;
  readonly shelf: PhotoShelf;
  readonly view: LampView;
}

/**
 * The board in a shot's reference photo: from the marks shot of the same tripod when there is one, moved as the camera
 * moved since; else from the photo itself; where that shows too few marks, from the photo with the lamps off. From sheets
 * first, from tapped crosses when there are no sheets to see.
 *
 * @param of `sheets`: the board's sheets with their places, surveyed if need be; `view`: where the lamp looks, since the
 *   marks' variances are wanted there.
 */
export async function registerShot(of: RegisterOf): Promise<ShotRegistration> {
  const { reference, marksShot, lampsOff } = of.photos;
  const area = areaOf(of.view);
  const own = async () => registerFrom(await openAs(of, reference), null, of, area);
  if (marksShot !== null) return fromOther(of, marksShot, 'marks shot', own, area);
  const alone = await own();
  if (alone.found || lampsOff === null || (alone.why !== 'no-marks' && alone.why !== 'too-few-marks'))
    return alone;
  const byOff = await fromOther(of, lampsOff, 'lamps-off photo', async () => alone, area);
  return byOff.found || byOff.why === 'camera-moved' ? byOff : alone;
}

/** The board as another photo of the same tripod shows it, moved to where the reference photo sees it. */
async function fromOther(
  of: RegisterOf,
  other: SeenPhoto,
  name: string,
  own: () => Promise<ShotRegistration>,
  area: BoardArea,
): Promise<ShotRegistration> {
  const { reference } = of.photos;
  const card = cardOf(of.shelf, other);
  const to = await openAs(of, reference);
  const move = await followCamera(other, to, card, false);
  if (!move.found && move.why !== 'not-seen') {
    const alone = await own();
    const why = move.why === 'size' ? `has another size (${move.detail})` : `does not fit: ${move.detail}`;
    if (alone.found)
      return withWarning(alone, `The ${name} ${why}. It was not used; the photo's own marks were.`);
    if (move.why === 'size') return withWarning(alone, `The ${name} ${why}.`);
    return {
      found: false,
      why: 'camera-moved',
      detail: `The ${name} can't place the marks: ${move.detail}.`,
      advice: 'Take both photos again from a tripod, with the timer, without touching the camera in between.',
      points: [],
    };
  }
  const there = registerFrom(await openAs(of, other), to, of, area);
  if (!there.found) {
    const alone = await own();
    return alone.found ? withWarning(alone, `The ${name} could not be used: ${there.detail}`) : there;
  }
  if (move.found) return movedRegistration(there, move);
  return withWarning(
    trustedRegistration(there, reference.size),
    `Nothing shows in both the photo and its ${name}: that the camera stood still is taken on trust. Hang one sheet where the beam lights it.`,
  );
}

/** The photo's pixels with the marks as they were gathered. */
async function openAs(of: RegisterOf, photo: SeenPhoto): Promise<OpenPhoto> {
  return { ...(await of.shelf.open(photo.path)), marks: photo.marks };
}

function registerFrom(
  from: OpenPhoto,
  /** Where a cross is looked for that `from` does not show. */
  otherwise: OpenPhoto | null,
  of: RegisterOf,
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
  const { points, lost } = snapAll(shot, from.photo.raster, otherwise?.photo.raster ?? null);
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
