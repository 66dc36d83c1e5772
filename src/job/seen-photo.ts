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
