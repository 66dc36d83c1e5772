import type { DecodedPhoto, PhotoFacts } from '../core/raster.ts';
import { type FoundMark, findMarks } from '../vision/find-marks.ts';
import type { PhotoSize } from '../vision/solve-view.ts';

/** What is kept of a photo once its pixels are let go. */
export interface SeenPhoto {
  readonly path: string;
  readonly facts: PhotoFacts;
  readonly size: PhotoSize;
  readonly marks: readonly FoundMark[];
}

/** A photo with its pixels, and the marks in it. */
export interface OpenPhoto extends SeenPhoto {
  readonly photo: DecodedPhoto;
}

/** Looks for marks in a decoded photo; `known` spares a second search of the same file. */
export function seePhoto(path: string, photo: DecodedPhoto, known?: readonly FoundMark[]): OpenPhoto {
  const { width, height } = photo.raster;
  return {
    path,
    photo,
    facts: photo.facts,
    size: { width, height, focal35Mm: photo.facts.focal35Mm },
    marks: known ?? findMarks(photo.raster),
  };
}

/** The same without the pixels: 12 MP are 36 MB. */
export function forgetPixels({ path, facts, size, marks }: OpenPhoto): SeenPhoto {
  return { path, facts, size, marks };
}

/**
 * How far the camera moved between two photos of one tripod: the median shift of the mark corners that both show, px;
 * null when they share none or differ in size.
 */
export function cameraShiftPx(a: SeenPhoto, b: SeenPhoto): number | null {
  if (a.size.width !== b.size.width || a.size.height !== b.size.height) return null;
  const shifts: number[] = [];
  for (const mark of a.marks) {
    const same = b.marks.find((m) => m.identity === mark.identity && m.mirrored === mark.mirrored);
    same?.corners.forEach((corner, i) => {
      const before = mark.corners[i]!;
      shifts.push(Math.hypot(corner.x - before.x, corner.y - before.y));
    });
  }
  if (shifts.length === 0) return null;
  shifts.sort((x, y) => x - y);
  return shifts[shifts.length >> 1]!;
}
