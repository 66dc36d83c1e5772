import sharp, { type Metadata, type OutputInfo } from 'sharp';
import type { DecodedPhoto, PhotoFacts, Raster } from '../../core/raster.ts';
import { displayP3ToSrgb } from '../display-p3.ts';
import { type ExifFacts, readExif } from '../exif.ts';
import { fileKind, type PictureKind } from '../file-kind.ts';
import { type HeifProperties, heifProperties } from '../heif-properties.ts';
import { colourSpaceOfIcc } from '../icc.ts';
import {
  refuseColour,
  refuseDamaged,
  refuseFileSize,
  refuseHighDynamicRange,
  refuseKind,
  refusePixels,
  refuseSeveral,
} from '../refusals.ts';
import { decodeHeicPixels } from './heic.ts';

/** Above the 108 million pixels of the largest common phone sensors' full mode; a bomb stops here. */
export const MAX_PIXELS = 120e6;
/** A 48-million-pixel, 16-bit TIFF without compression has 290 MB. */
export const MAX_BYTES = 320e6;

/**
 * Opens a photo: upright, three interleaved channels, sRGB-coded levels.
 *
 * JPEG, PNG, TIFF, WebP and AVIF go through sharp, HEIC through libheif. EXIF orientation (container turning in
 * HEIC and AVIF) is undone. Display P3 and other RGB profiles are converted to sRGB. 16-bit PNG and TIFF and 10- and
 * 12-bit AVIF keep 16 bits (`maxLevel` 65535); 10-bit HEIC is read at 8. A grey picture comes out with three equal
 * channels. Transparency is dropped and the stored colours kept: a photo has none, and blending it with a made-up
 * background would invent light. Nothing is resized, blurred or turned to grey here.
 *
 * A decode without error proves little: bytes damaged in the middle of a JPEG often pass unnoticed.
 *
 * @param bytes the whole file.
 * @param name the file's name as the person knows it; used in messages only, the content decides the format.
 * @throws PhotoError when the file is not a usable photo: empty, another kind of file, camera raw, animation, CMYK or
 *   HDR colours, cut short, damaged, or too large.
 */
export async function decodePhoto(bytes: Uint8Array, name: string): Promise<DecodedPhoto> {
  if (bytes.length > MAX_BYTES) throw refuseFileSize(name, bytes.length, MAX_BYTES);
  const kind = fileKind(bytes);
  switch (kind) {
    case 'jpeg':
    case 'png':
    case 'tiff':
    case 'webp':
    case 'avif':
    case 'heic':
      break;
    default:
      throw refuseKind(kind, name);
  }
  const meta = await metadataOf(bytes, name);
  if ((meta.pages ?? 1) > 1 && kind !== 'heic' && kind !== 'avif') throw refuseSeveral(name, meta.pages ?? 1);
  const container = kind === 'heic' || kind === 'avif' ? heifProperties(bytes) : null;
  if (container?.nclx?.transfer === 16 || container?.nclx?.transfer === 18)
    throw refuseHighDynamicRange(name);
  const colourSpace = colourSpaceOf(meta, container);
  const raster =
    kind === 'heic'
      ? await heicRaster(bytes, name, colourSpace)
      : await sharpRaster(bytes, name, kind, meta, container);
  return { raster, facts: factsOf(kind, raster, meta, colourSpace, readExif(bytes)) };
}

async function metadataOf(bytes: Uint8Array, name: string): Promise<Metadata> {
  try {
    return await sharp(bytes, { limitInputPixels: MAX_PIXELS }).metadata();
  } catch (error) {
    throw translated(error, name);
  }
}

async function sharpRaster(
  bytes: Uint8Array,
  name: string,
  kind: PictureKind,
  meta: Metadata,
  container: HeifProperties | null,
): Promise<Raster> {
  const space: string = meta.space ?? 'unknown';
  if (!['srgb', 'rgb', 'rgb16', 'b-w', 'grey16'].includes(space)) throw refuseColour(name, space);
  if (meta.depth !== 'uchar' && meta.depth !== 'ushort') {
    throw refuseColour(name, `${space} with ${meta.depth} samples`);
  }
  const deep = meta.depth === 'ushort';
  const pipeline = sharp(bytes, { limitInputPixels: MAX_PIXELS, failOn: 'warning' })
    .timeout({ seconds: 120 })
    .autoOrient()
    .removeAlpha()
    .toColourspace(deep ? 'rgb16' : 'srgb')
    .raw({ depth: deep ? 'ushort' : 'uchar' });
  let out: { data: Buffer; info: OutputInfo };
  try {
    out = await pipeline.toBuffer({ resolveWithObject: true });
  } catch (error) {
    throw translated(error, name);
  }
  const { width, height, channels } = out.info;
  if (channels !== 3) throw refuseColour(name, `${channels} channels`);
  const data = deep ? words(out.data) : new Uint8Array(out.data.buffer, out.data.byteOffset, out.data.length);
  const maxLevel = deep ? 65535 : 255;
  if (kind === 'avif' && data instanceof Uint16Array) fillRange(data, meta.bitsPerSample ?? 16);
  // An AVIF may name its colours by code points alone, which sharp leaves as they are.
  if (container?.icc == null && container?.nclx?.primaries === 12) displayP3ToSrgb(data, maxLevel);
  return { width, height, channels: 3, maxLevel, data };
}

async function heicRaster(
  bytes: Uint8Array,
  name: string,
  colourSpace: PhotoFacts['colourSpace'],
): Promise<Raster> {
  if (colourSpace === 'other') throw refuseColour(name, 'a profile that is neither sRGB nor Display P3');
  const { width, height, data } = await decodeHeicPixels(bytes, name);
  if (colourSpace === 'display-p3') displayP3ToSrgb(data, 255);
  return { width, height, channels: 3, maxLevel: 255, data };
}

/** sharp's buffer may start at an odd byte of its pool, where 16-bit words can't be laid over it. */
function words(buffer: Buffer): Uint16Array {
  if (buffer.byteOffset % 2 === 0) {
    return new Uint16Array(buffer.buffer, buffer.byteOffset, buffer.length / 2);
  }
  return new Uint16Array(buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.length));
}

/** 10- and 12-bit levels arrive shifted up, so white is 65472 or 65520: spread them, that clipped light be 65535. */
function fillRange(data: Uint16Array, bits: number): void {
  if (bits >= 16) return;
  const scale = 65535 / ((2 ** bits - 1) << (16 - bits));
  for (let i = 0; i < data.length; i++) data[i] = Math.min(65535, Math.round(data[i]! * scale));
}

function colourSpaceOf(meta: Metadata, container: HeifProperties | null): PhotoFacts['colourSpace'] {
  const icc = container?.icc ?? meta.icc;
  if (icc) return colourSpaceOfIcc(icc);
  if (!container?.nclx) return 'untagged';
  // 2 means 'unspecified', which readers take for BT.709 and sRGB.
  if ([1, 2].includes(container.nclx.primaries)) return 'srgb';
  return container.nclx.primaries === 12 ? 'display-p3' : 'other';
}

function factsOf(
  kind: PictureKind,
  raster: Raster,
  meta: Metadata,
  colourSpace: PhotoFacts['colourSpace'],
  exif: ExifFacts,
): PhotoFacts {
  const turnedByContainer = kind === 'heic' || kind === 'avif';
  return {
    format: kind,
    width: raster.width,
    height: raster.height,
    bitDepth: raster.maxLevel === 65535 ? 16 : 8,
    orientation: turnedByContainer ? 1 : (meta.orientation ?? 1),
    colourSpace: colourSpace === 'untagged' && exif.colourSpace === 'srgb' ? 'srgb' : colourSpace,
    exposureS: exif.exposureS,
    fNumber: exif.fNumber,
    iso: exif.iso,
    focalLengthMm: exif.focalLengthMm,
    focal35Mm: exif.focal35Mm,
    takenAt: exif.takenAt,
    flashFired: exif.flashFired,
  };
}

function translated(error: unknown, name: string): Error {
  const says = error instanceof Error ? error.message : String(error);
  return /pixel limit|image too large|exceeds.*limit/i.test(says)
    ? refusePixels(name, MAX_PIXELS)
    : refuseDamaged(name, says);
}
