import sharp from 'sharp';
import { InputError } from '../core/errors.ts';
import type { PhotoRaster } from './render-photo.ts';

/** What to write into the file. Whatever is left out is not written. */
export interface PhotoExif {
  readonly exposureS?: number;
  readonly fNumber?: number;
  readonly iso?: number;
  readonly focalLengthMm?: number;
  readonly focal35Mm?: number;
  /** Local time, `YYYY-MM-DDThh:mm:ss`. */
  readonly takenAt?: string;
  /** 1 to 8: the picture is stored turned, so that a reader who obeys it sees it upright. */
  readonly orientation?: number;
}

export interface PhotoEncoding {
  readonly format: 'jpeg' | 'png' | 'tiff' | 'webp' | 'avif';
  /** 1 to 100, for formats that lose something. */
  readonly quality?: number;
  /** JPEG colour at full resolution instead of half. */
  readonly fullColour?: boolean;
}

/**
 * Writes an upright photograph as a file with its EXIF data.
 * @returns the file's bytes.
 * @throws InputError when orientation is not 1 to 8.
 */
export async function encodePhoto(
  raster: PhotoRaster,
  exif: PhotoExif,
  encoding: PhotoEncoding,
): Promise<Buffer> {
  const orientation = exif.orientation ?? 1;
  const stored = turnedForStorage(raster, orientation);
  const image = sharp(stored.data, { raw: { width: stored.width, height: stored.height, channels: 3 } })
    .withMetadata({ orientation })
    .withExif(exifFields(exif, orientation));
  const quality = encoding.quality ?? 92;
  switch (encoding.format) {
    case 'jpeg':
      return image.jpeg({ quality, chromaSubsampling: encoding.fullColour ? '4:4:4' : '4:2:0' }).toBuffer();
    case 'png':
      return image.png().toBuffer();
    case 'tiff':
      return image.tiff({ compression: 'lzw' }).toBuffer();
    case 'webp':
      return image.webp({ quality }).toBuffer();
    case 'avif':
      return image.avif({ quality }).toBuffer();
  }
}

function exifFields(
  exif: PhotoExif,
  orientation: number,
): { IFD0: Record<string, string>; IFD2: Record<string, string> } {
  const photo: Record<string, string> = { ColorSpace: '1' };
  if (exif.exposureS !== undefined) photo['ExposureTime'] = exposureRational(exif.exposureS);
  if (exif.fNumber !== undefined) photo['FNumber'] = `${Math.round(exif.fNumber * 100)}/100`;
  if (exif.iso !== undefined) photo['ISOSpeedRatings'] = String(Math.round(exif.iso));
  if (exif.focalLengthMm !== undefined)
    photo['FocalLength'] = `${Math.round(exif.focalLengthMm * 1000)}/1000`;
  if (exif.focal35Mm !== undefined) photo['FocalLengthIn35mmFilm'] = String(Math.round(exif.focal35Mm));
  if (exif.takenAt !== undefined) {
    photo['DateTimeOriginal'] = exif.takenAt.replace(/^(\d+)-(\d+)-(\d+)T/, '$1:$2:$3 ');
  }
  return { IFD0: { Orientation: String(orientation) }, IFD2: photo };
}

/** A time as cameras write it: 1/n below a quarter of a second, in ten-thousandths when that would round by 1 %. */
function exposureRational(s: number): string {
  const n = Math.round(1 / s);
  if (s < 0.25 && n > 0 && Math.abs(n * s - 1) < 0.005) return `1/${n}`;
  return `${Math.round(s * 1e6)}/1000000`;
}

/** Stores a picture so that EXIF orientation k makes it upright again (Exif 2.3, tag 0x0112). */
export function turnedForStorage(
  raster: PhotoRaster,
  orientation: number,
): { readonly width: number; readonly height: number; readonly data: Uint8Array } {
  const { width: w, height: h, data } = raster;
  if (orientation === 1) return { width: w, height: h, data };
  // For each: the upright place (x, y) of stored pixel (a, b).
  const upright: Readonly<Record<number, (a: number, b: number) => readonly [number, number]>> = {
    2: (a, b) => [w - 1 - a, b],
    3: (a, b) => [w - 1 - a, h - 1 - b],
    4: (a, b) => [a, h - 1 - b],
    5: (a, b) => [b, a],
    6: (a, b) => [w - 1 - b, a],
    7: (a, b) => [w - 1 - b, h - 1 - a],
    8: (a, b) => [b, h - 1 - a],
  };
  const map = upright[orientation];
  if (!map) throw new InputError('exif.orientation', 'a whole number from 1 to 8', orientation);
  const swap = orientation >= 5;
  const width = swap ? h : w;
  const height = swap ? w : h;
  const out = new Uint8Array(data.length);
  for (let b = 0; b < height; b++) {
    for (let a = 0; a < width; a++) {
      const [x, y] = map(a, b);
      const from = (y * w + x) * 3;
      const to = (b * width + a) * 3;
      out[to] = data[from]!;
      out[to + 1] = data[from + 1]!;
      out[to + 2] = data[from + 2]!;
    }
  }
  return { width, height, data: out };
}
