/**
 * A decoded photo: upright (EXIF orientation undone), sRGB-coded, row after row, colours interleaved.
 * `channels` is 3 from Node's decoder and 4 (alpha ignored) from the browser's; red, green, blue come first.
 * `maxLevel` is 255 or 65535. Coded levels, not linear light.
 */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly channels: 3 | 4;
  readonly maxLevel: 255 | 65535;
  readonly data: Uint8Array | Uint8ClampedArray | Uint16Array;
}

/** What the file says about how the photo was taken; `null` where it does not say. */
export interface PhotoFacts {
  readonly format: 'jpeg' | 'png' | 'tiff' | 'webp' | 'avif' | 'heic' | 'raw';
  readonly width: number;
  readonly height: number;
  readonly bitDepth: 8 | 16;
  /** The EXIF orientation that was undone, 1 to 8. */
  readonly orientation: number;
  readonly colourSpace: 'srgb' | 'display-p3' | 'other' | 'untagged';
  readonly exposureS: number | null;
  readonly fNumber: number | null;
  readonly iso: number | null;
  readonly focalLengthMm: number | null;
  readonly focal35Mm: number | null;
  /** ISO 8601 local time without zone, or null. */
  readonly takenAt: string | null;
  readonly flashFired: boolean | null;
}

/** A photo ready to be measured. */
export interface DecodedPhoto {
  readonly raster: Raster;
  readonly facts: PhotoFacts;
}
