/** The kinds of picture file that can be opened. */
export type PictureKind = 'jpeg' | 'png' | 'tiff' | 'webp' | 'avif' | 'heic';
/** Kinds that are recognised only so that the refusal can say what they are. */
export type RefusedKind =
  | 'empty'
  | 'gif'
  | 'svg'
  | 'pdf'
  | 'video'
  | 'camera-raw'
  | 'other-picture'
  | 'unknown';

/**
 * What a file is, by its first bytes; the name's ending plays no part, since phones and mail programs get it wrong.
 * @param bytes the whole file, or at least its first 4 kB.
 */
export function fileKind(bytes: Uint8Array): PictureKind | RefusedKind {
  if (bytes.length === 0) return 'empty';
  if (starts(bytes, 0, [0xff, 0xd8, 0xff])) return 'jpeg';
  if (starts(bytes, 0, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return 'png';
  if (text(bytes, 0, 4) === 'GIF8') return 'gif';
  if (text(bytes, 0, 4) === 'RIFF' && text(bytes, 8, 4) === 'WEBP') return 'webp';
  if (text(bytes, 0, 5) === '%PDF-') return 'pdf';
  if (text(bytes, 4, 4) === 'ftyp') return isoKind(bytes);
  if (starts(bytes, 0, [0x49, 0x49, 0x2a, 0]) || starts(bytes, 0, [0x4d, 0x4d, 0, 0x2a])) {
    return isCameraRaw(bytes) ? 'camera-raw' : 'tiff';
  }
  // BigTIFF, and the TIFF-like raw files that carry another number (Exif 3.0 knows only 42).
  if (starts(bytes, 0, [0x49, 0x49, 0x2b, 0]) || starts(bytes, 0, [0x4d, 0x4d, 0, 0x2b])) return 'tiff';
  if (['IIU\0', 'IIRO', 'IIRS', 'MMOR'].includes(text(bytes, 0, 4)) || text(bytes, 0, 8) === 'FUJIFILM') {
    return 'camera-raw';
  }
  if (text(bytes, 0, 2) === 'BM' || starts(bytes, 0, [0xff, 0x0a]) || text(bytes, 4, 4) === 'JXL ') {
    return 'other-picture';
  }
  if (/<svg[\s>]/i.test(text(bytes, 0, 1024))) return 'svg';
  return 'unknown';
}

/** ISO base media files: the brands (ISO/IEC 14496-12, 4.3) tell HEIC from AVIF from a film. */
function isoKind(bytes: Uint8Array): PictureKind | RefusedKind {
  const size = Math.min(new DataView(bytes.buffer, bytes.byteOffset).getUint32(0), bytes.length, 512);
  const brands = [text(bytes, 8, 4)];
  for (let at = 16; at + 4 <= size; at += 4) brands.push(text(bytes, at, 4));
  const major = brands[0];
  if (major === 'avif') return 'avif';
  if (major === 'avis' || major === 'hevc') return 'video';
  if (major === 'crx ') return 'camera-raw';
  if (major === 'heic' || major === 'heix') return 'heic';
  if (brands.includes('avif')) return 'avif';
  if (brands.some((b) => ['heic', 'heix', 'heim', 'heis'].includes(b))) return 'heic';
  return brands.includes('mif1') || brands.includes('miaf') ? 'other-picture' : 'video';
}

/**
 * TIFF-based raw files keep a small preview first, which would pass for the photo. Told by the DNG version tag
 * (50706), a colour-filter array (photometric 32803, 34892), 'CR' at byte 8, or a first picture that says that it
 * is a reduced copy (NewSubfileType, bit 0) with further pictures below it (SubIFDs, 330).
 */
function isCameraRaw(bytes: Uint8Array): boolean {
  if (bytes.length < 16) return false;
  if (text(bytes, 8, 2) === 'CR') return true;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const little = bytes[0] === 0x49;
  const ifd = view.getUint32(4, little);
  if (ifd + 2 > bytes.length) return false;
  const count = view.getUint16(ifd, little);
  let reduced = false;
  let subPictures = false;
  for (let i = 0; i < count; i++) {
    const at = ifd + 2 + 12 * i;
    if (at + 12 > bytes.length) return false;
    const tag = view.getUint16(at, little);
    if (tag === 50706) return true;
    if (tag === 262 && [32803, 34892].includes(view.getUint16(at + 8, little))) return true;
    if (tag === 254) reduced = (view.getUint32(at + 8, little) & 1) === 1;
    if (tag === 330) subPictures = true;
  }
  return reduced && subPictures;
}

function starts(bytes: Uint8Array, at: number, what: readonly number[]): boolean {
  return what.every((b, i) => bytes[at + i] === b);
}

function text(bytes: Uint8Array, at: number, length: number): string {
  let s = '';
  for (const b of bytes.subarray(at, at + length)) s += String.fromCharCode(b);
  return s;
}
