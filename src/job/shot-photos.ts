import { applyHomography, invertHomography } from '../core/geometry/homography.ts';
import type { PrintPair } from '../core/photometry/tone-fit.ts';
import type { PhotoFacts } from '../core/raster.ts';
import { findCameraShift } from '../vision/camera-shift.ts';
import type { FoundMark } from '../vision/find-marks.ts';
import { printPairs } from '../vision/mark-tones.ts';
import { makeTextureCard, type TextureCard } from '../vision/texture-card.ts';
import type { JobShot } from './job.ts';
import type { PhotoShelf } from './photo-shelf.ts';
import type { SeenPhoto } from './seen-photo.ts';

/** A shot's photos looked at once: marks and facts of each, pixels of none. */
export type ShotPhotos =
  | {
      readonly ok: true;
      /** The photo that the board is found in; its marks are those of all frames that show more than it does. */
      readonly reference: SeenPhoto;
      /** Every frame that could be opened, the reference among them, the shortest first. */
      readonly frames: readonly SeenPhoto[];
      readonly marksShot: SeenPhoto | null;
      readonly lampsOff: SeenPhoto | null;
      /** What all photos show of the prints' tones. */
      readonly pairs: readonly PrintPair[];
      readonly warnings: readonly string[];
    }
  | { readonly ok: false; readonly path: string; readonly error: unknown };

/**
 * Opens each photo of a shot once. Frames of a bracket that can't be opened are left out with a warning while another
 * can; the order in which a bracket is listed makes no difference, but taps belong to the photo that is listed first.
 */
export async function openShotPhotos(
  shelf: PhotoShelf,
  shot: JobShot,
  signal?: AbortSignal,
): Promise<ShotPhotos> {
  const warnings: string[] = [];
  const frames: SeenPhoto[] = [];
  const pairs: PrintPair[] = [];
  let failed: { path: string; error: unknown } | null = null;
  for (const path of [...new Set(shot.photos)].sort()) {
    signal?.throwIfAborted();
    try {
      const open = await shelf.open(path);
      pairs.push(...printPairs(open.photo.raster, open.marks));
      frames.push(seen(open));
    } catch (error) {
      failed ??= { path, error };
      if (shot.photos.length > 1)
        warnings.push(`${path} could not be opened and was left out: ${words(error)}`);
    }
  }
  const tapped = shot.taps.length > 0;
  if (frames.length === 0 || (tapped && failed?.path === shot.photos[0])) return { ok: false, ...failed! };
  const others: (SeenPhoto | null)[] = [];
  for (const path of [shot.marksShot, shot.lampsOff]) {
    signal?.throwIfAborted();
    try {
      if (path === null) others.push(null);
      else {
        // One camera has one response: prints that the beam leaves dark tell it in the room's light.
        const open = await shelf.open(path);
        pairs.push(...printPairs(open.photo.raster, open.marks));
        others.push(seen(open));
      }
    } catch (error) {
      return { ok: false, path: path!, error };
    }
  }
  const reference = tapped ? frames.find((f) => f.path === shot.photos[0])! : bestReference(frames);
  return {
    ok: true,
    reference: { ...reference, marks: pooledMarks(reference, frames) },
    frames: frames.sort(byExposure),
    marksShot: others[0]!,
    lampsOff: others[1]!,
    pairs,
    warnings,
  };
}

/** A shot's squares of texture, made when first wanted: the photo is opened again for it. */
export function cardOf(shelf: PhotoShelf, photo: SeenPhoto): () => Promise<TextureCard> {
  let made: Promise<TextureCard> | null = null;
  return () => {
    made ??= shelf.decode(photo.path).then(({ raster }) => makeTextureCard(raster, photo.marks));
    return made;
  };
}

/** EXIF exposure as one number, s·ISO/N²; null when the file does not say. */
export function exposureOf(facts: PhotoFacts): number | null {
  const { exposureS, iso, fNumber } = facts;
  return exposureS === null || iso === null || fNumber === null ? null : (exposureS * iso) / fNumber ** 2;
}

function seen({ path, facts, size, marks }: SeenPhoto): SeenPhoto {
  return { path, facts, size, marks };
}

function words(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** The frame that most others were taken from the same place as; of those the one that shows most. */
function bestReference(frames: readonly SeenPhoto[]): SeenPhoto {
  if (frames.length === 1) return frames[0]!;
  const misfits = frames.map(
    (a) =>
      frames.filter((b) => {
        if (a.size.width !== b.size.width || a.size.height !== b.size.height) return true;
        const shift = findCameraShift(a.marks, b.marks, a.size);
        return !shift.found && shift.why !== 'no-common-marks';
      }).length,
  );
  const least = Math.min(...misfits);
  return frames.filter((_, k) => misfits[k] === least).reduce((best, f) => (showsMore(f, best) ? f : best));
}

/** More marks; of as many, the surer ones. */
function showsMore(a: SeenPhoto, b: SeenPhoto): boolean {
  const [na, nb] = [rightWay(a).length, rightWay(b).length];
  if (na !== nb) return na > nb;
  const doubt = (p: SeenPhoto) => rightWay(p).reduce((s, m) => s + m.uPx * m.uPx, 0);
  const [da, db] = [doubt(a), doubt(b)];
  return da !== db ? da < db : a.path < b.path;
}

function rightWay(photo: SeenPhoto): readonly FoundMark[] {
  return photo.marks.filter((m) => !m.mirrored);
}

function byExposure(a: SeenPhoto, b: SeenPhoto): number {
  const [ea, eb] = [exposureOf(a.facts) ?? 0, exposureOf(b.facts) ?? 0];
  return ea !== eb ? ea - eb : a.path < b.path ? -1 : 1;
}

/**
 * The reference's marks, and those that only another frame shows (burnt out in a long one, black in a short one), brought
 * to where the reference would show them.
 */
function pooledMarks(reference: SeenPhoto, frames: readonly SeenPhoto[]): readonly FoundMark[] {
  const marks = [...reference.marks];
  for (const other of [...frames].sort(byExposure)) {
    if (other.path === reference.path || other.size.width !== reference.size.width) continue;
    const unseen = rightWay(other).filter((m) => !marks.some((k) => k.identity === m.identity));
    if (unseen.length === 0) continue;
    const shift = findCameraShift(reference.marks, other.marks, reference.size);
    if (!shift.found || shift.marks < 2) continue;
    const back = invertHomography(shift.homography);
    for (const mark of unseen) {
      marks.push({
        ...mark,
        corners: mark.corners.map((c) =>
          applyHomography(back, { X: c.x, Y: c.y }),
        ) as unknown as FoundMark['corners'],
        uPx: Math.hypot(mark.uPx, shift.uPx),
      });
    }
  }
  return marks;
}
