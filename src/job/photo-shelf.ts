import type { DecodedPhoto } from '../core/raster.ts';
import type { FoundMark } from '../vision/find-marks.ts';
import { forgetPixels, type OpenPhoto, type SeenPhoto, seePhoto } from './seen-photo.ts';

/** Opens a job's photos; remembers the marks of each (a survey looks first), and the pixels of the last one only. */
export interface PhotoShelf {
  /** Pixels alone. */
  decode(path: string): Promise<DecodedPhoto>;
  /** Pixels and marks. */
  open(path: string): Promise<OpenPhoto>;
  /** Marks alone. */
  look(path: string): Promise<SeenPhoto>;
}

export function photoShelf(decodeFile: (path: string) => Promise<DecodedPhoto>): PhotoShelf {
  const marks = new Map<string, readonly FoundMark[]>();
  const seen = new Map<string, SeenPhoto>();
  // Two: a marks shot that several lamps share stays while their photos change.
  const recent: { path: string; photo: Promise<DecodedPhoto> }[] = [];
  const decode = (path: string): Promise<DecodedPhoto> => {
    const at = recent.findIndex((r) => r.path === path);
    const entry = at >= 0 ? recent.splice(at, 1)[0]! : { path, photo: decodeFile(path) };
    recent.unshift(entry);
    recent.length = Math.min(recent.length, 2);
    return entry.photo;
  };
  const open = async (path: string): Promise<OpenPhoto> => {
    const opened = seePhoto(path, await decode(path), marks.get(path));
    marks.set(path, opened.marks);
    seen.set(path, forgetPixels(opened));
    return opened;
  };
  return { decode, open, look: async (path) => seen.get(path) ?? forgetPixels(await open(path)) };
}
