import { PhotoError, type PhotoErrorCode } from './errors.ts';
import type { RefusedKind } from './file-kind.ts';

const SAVE_AS = 'Save or export it as JPEG (or TIFF or PNG) and use that.';

/** What to say of a file that is not a photo we can open. */
export function refuseKind(kind: RefusedKind, name: string): PhotoError {
  const say: Record<RefusedKind, readonly [PhotoErrorCode, string, string]> = {
    empty: ['empty', 'the file is empty (0 bytes)', 'Copy it from the phone or camera again.'],
    gif: [
      'unsupported-format',
      'a GIF holds at most 256 colours and no brightness scale to measure',
      SAVE_AS,
    ],
    svg: ['unsupported-format', 'this is a drawing (SVG), not a photo', 'Use the photo from the camera.'],
    pdf: [
      'unsupported-format',
      'this is a PDF, not a photo',
      'Use the photo itself, as the camera saved it.',
    ],
    video: ['unsupported-format', 'this is a film, not a photo', 'Take a still photo.'],
    'camera-raw': [
      'camera-raw',
      'this is a camera raw file, and only its small preview could be read here',
      'Develop it without tone effects and save it as a 16-bit TIFF or a JPEG.',
    ],
    'other-picture': [
      'unsupported-format',
      'this kind of picture file is not one of those read here',
      SAVE_AS,
    ],
    unknown: [
      'not-a-photo',
      'this is not a picture file (its first bytes fit no kind that is read here)',
      'Give a JPEG, PNG, TIFF, WebP, AVIF or HEIC file.',
    ],
  };
  const [code, problem, advice] = say[kind];
  return new PhotoError(code, name, problem, advice);
}

/** Too large a file to be one photo. */
export function refuseFileSize(name: string, bytes: number, limit: number): PhotoError {
  return new PhotoError(
    'file-too-big',
    name,
    `the file has ${mega(bytes)} MB, and ${mega(limit)} MB is the most that is opened`,
    SAVE_AS,
  );
}

/** More pixels than any camera gives: most likely a file made to fill the memory. */
export function refusePixels(name: string, limit: number): PhotoError {
  return new PhotoError(
    'too-many-pixels',
    name,
    `the picture has more than ${mega(limit)} million pixels`,
    'Use a photo straight from the camera; 12 million pixels are plenty.',
  );
}

/** Colours that can't be turned into light by the sRGB rule. */
export function refuseColour(name: string, space: string): PhotoError {
  if (space === 'cmyk') {
    return new PhotoError(
      'cmyk',
      name,
      'its colours are printing inks (CMYK), from which the light cannot be worked back',
      'Use the photo as the camera saved it, in RGB.',
    );
  }
  return new PhotoError(
    'unsupported-colour',
    name,
    `its colour space (${space}) is not one that is read here`,
    'Save it as an sRGB JPEG, TIFF or PNG.',
  );
}

/** Perceptual-quantiser or hybrid-log-gamma pictures follow another curve than sRGB. */
export function refuseHighDynamicRange(name: string): PhotoError {
  return new PhotoError(
    'high-dynamic-range',
    name,
    'it is a high-dynamic-range picture (PQ or HLG curve)',
    "Switch HDR saving off in the camera's settings, or save it as an ordinary JPEG.",
  );
}

/** Several pictures in one file: which one was meant is not ours to guess. */
export function refuseSeveral(name: string, pages: number): PhotoError {
  return new PhotoError(
    'several-pictures',
    name,
    `it holds ${pages} pictures (an animation or several pages)`,
    'Save the one that shows the beam as a JPEG of its own.',
  );
}

/** The decoder's own complaint, in words that help. */
export function refuseDamaged(name: string, decoderSays: string): PhotoError {
  const cut = /premature end|truncat|unexpected end|end of (file|data)|not enough data|bad seek/i.test(
    decoderSays,
  );
  const first = decoderSays.split('\n')[0]!.slice(0, 120);
  return new PhotoError(
    cut ? 'cut-short' : 'damaged',
    name,
    cut ? `the file ends too early (${first})` : `the picture in it can't be decoded (${first})`,
    'The copy was probably broken off: copy it from the phone or camera again.',
  );
}

function mega(n: number): string {
  return (n / 1e6).toFixed(n < 10e6 ? 1 : 0);
}
