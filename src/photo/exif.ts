import ExifReader from 'exifreader';
import { z } from 'zod';
import type { PhotoFacts } from '../core/raster.ts';

/** What the camera wrote about the shot; `null` where it wrote nothing, or nothing that makes sense. */
export interface ExifFacts {
  readonly exposureS: number | null;
  readonly fNumber: number | null;
  readonly iso: number | null;
  readonly focalLengthMm: number | null;
  readonly focal35Mm: number | null;
  /** EXIF orientation as written, 1 to 8. A HEIC or AVIF file is turned by its container instead. */
  readonly orientation: number | null;
  /** 'uncalibrated' is what cameras write for any space but sRGB; the ICC profile then says which. */
  readonly colourSpace: 'srgb' | 'uncalibrated' | null;
  readonly iccDescription: string | null;
  /** Local time without zone, e.g. '2026-11-25T18:30:05'. */
  readonly takenAt: string | null;
  readonly flashFired: boolean | null;
}

const NOTHING: ExifFacts = {
  exposureS: null,
  fNumber: null,
  iso: null,
  focalLengthMm: null,
  focal35Mm: null,
  orientation: null,
  colourSpace: null,
  iccDescription: null,
  takenAt: null,
  flashFired: null,
};

/** A list of one stands for its member: writers differ in the count that they give. */
const single = <T extends z.ZodType>(inner: T) =>
  z.preprocess((v) => (Array.isArray(v) && v.length === 1 ? v[0] : v), inner);
const plain = z.number().finite();
const rational = z
  .tuple([z.number(), z.number()])
  .refine(([, below]) => below !== 0, 'a denominator other than 0')
  .transform(([above, below]) => above / below);
const number = z.union([single(plain), single(rational), rational]);
/** A number in a range that a real camera can have; 0 is how EXIF says 'not known'. */
const between = (min: number, max: number) => number.pipe(z.number().gt(min).max(max));
const whole = (min: number, max: number) => number.pipe(z.number().int().min(min).max(max));

const exposureS = between(0, 86_400);
const fNumber = between(0.3, 200);
/** The field has 16 bits, and 65535 says 'look in the longer field' (Exif 2.3, PhotographicSensitivity; from memory). */
const iso = between(0, 65_534);
const longIso = between(0, 10_000_000);
const focalLengthMm = between(0.1, 5_000);
const focal35Mm = between(1, 10_000);
const flashBits = whole(0, 65_535);
const text = single(z.string());

/**
 * Reads a photo's EXIF facts. Never throws: a field that is missing, malformed or impossible is null, and so is
 * every field of a file without EXIF.
 *
 * @param bytes the whole file: JPEG, PNG, TIFF, WebP, AVIF or HEIC.
 * @see CIPA DC-008 (Exif); tags in standards.md EXIF-1 to EXIF-4. Runs in Node and in browsers.
 */
export function readExif(bytes: Uint8Array): ExifFacts {
  let groups: ExifReader.ExpandedTags;
  try {
    // A copy (Node's Buffer.slice makes none): the reader counts offsets from the start of the underlying buffer.
    groups = ExifReader.load(new Uint8Array(bytes).buffer, { expanded: true });
  } catch {
    return NOTHING;
  }
  const exif = (groups.exif ?? {}) as Record<string, unknown>;
  const icc = (groups.icc ?? {}) as Record<string, unknown>;
  const get = <T>(schema: z.ZodType<T>, ...names: string[]): T | null => {
    for (const n of names) {
      const parsed = schema.safeParse(tagValue(exif[n]));
      if (parsed.success) return parsed.data;
    }
    return null;
  };
  const flash = get(flashBits, 'Flash');
  const space = get(whole(0, 65_535), 'ColorSpace');
  const description = text.safeParse(tagValue(icc['ICC Description']));
  return {
    exposureS: get(exposureS, 'ExposureTime'),
    fNumber: get(fNumber, 'FNumber'),
    iso:
      get(iso, 'ISOSpeedRatings', 'PhotographicSensitivity') ??
      get(longIso, 'RecommendedExposureIndex', 'ISOSpeed', 'StandardOutputSensitivity'),
    focalLengthMm: get(focalLengthMm, 'FocalLength'),
    focal35Mm: get(focal35Mm, 'FocalLengthIn35mmFilm'),
    orientation: get(whole(1, 8), 'Orientation'),
    colourSpace: space === 1 ? 'srgb' : space === 65_535 ? 'uncalibrated' : null,
    iccDescription: description.success ? description.data.slice(0, 120) : null,
    takenAt: isoTime(get(text, 'DateTimeOriginal', 'DateTimeDigitized')),
    flashFired: flash === null ? null : (flash & 1) === 1,
  };
}

/**
 * How much brighter the scene of photo `a` must be than that of photo `b` for the same pixel value:
 * (N²/(t·S))a / (N²/(t·S))b. With two photos of one scene it is the ratio of linear levels b : a.
 *
 * @returns null when either photo lacks exposure time, f-number or ISO. As a prior it is good to about 5 %
 *   (nominal shutter and ISO figures are rounded).
 * @see standards.md EXIF-5 and W56.
 */
export function expectedExposureRatio(a: Exposure, b: Exposure): number | null {
  const forA = luminanceForLevel(a);
  const forB = luminanceForLevel(b);
  return forA === null || forB === null ? null : forA / forB;
}

type Exposure = Pick<PhotoFacts, 'exposureS' | 'fNumber' | 'iso'>;

function luminanceForLevel(e: Exposure): number | null {
  if (e.exposureS === null || e.fNumber === null || e.iso === null) return null;
  return e.fNumber ** 2 / (e.exposureS * e.iso);
}

function tagValue(tag: unknown): unknown {
  return typeof tag === 'object' && tag !== null && 'value' in tag ? tag.value : undefined;
}

/** 'YYYY:MM:DD hh:mm:ss' to ISO 8601; a clock that was never set (all zeros) or an impossible date is null. */
function isoTime(written: string | null): string | null {
  const m = /^(\d{4})[:\-/](\d\d)[:\-/](\d\d)[ T](\d\d):(\d\d):(\d\d)/.exec(written ?? '');
  if (!m) return null;
  const [, y, mo, d, h, mi, s] = m;
  const t = `${y}-${mo}-${d}T${h}:${mi}:${s}`;
  const back = new Date(`${t}Z`);
  return !Number.isNaN(back.getTime()) && back.toISOString().startsWith(t) ? t : null;
}
