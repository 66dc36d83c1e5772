import type { NothingFound } from '../core/beam/finding.ts';
import type { Registration, RegistrationRefusal } from '../core/board-view.ts';
import type { PhotoFacts } from '../core/raster.ts';
import { PhotoError } from '../photo/errors.ts';
import type { JobShot } from './job.ts';
import type { UnreadShot } from './result.ts';

/** A shot whose photo can't be opened: missing, damaged, of a kind that is refused. */
export function photoUnread(shot: JobShot, path: string, error: unknown): UnreadShot {
  const base = {
    state: 'unread',
    shot: shot.id,
    lamp: shot.lamp,
    stage: 'photo',
    facts: null,
    registration: null,
  } as const;
  if (error instanceof PhotoError) {
    return { ...base, why: error.code, detail: `${path}: ${error.problem}.`, advice: error.advice };
  }
  if (isMissing(error)) {
    return {
      ...base,
      why: 'missing',
      detail: `${path} is not there.`,
      advice:
        "Take the photo and save it under this name in the job's folder, or change the name in the job.",
    };
  }
  return {
    ...base,
    why: 'unreadable',
    detail: `${path} can't be opened: ${error instanceof Error ? error.message : String(error)}`,
    advice: 'Copy the photo from the phone again, as a JPEG.',
  };
}

/** A shot in which the board can't be found. */
export function marksUnread(shot: JobShot, facts: PhotoFacts, refusal: RegistrationRefusal): UnreadShot {
  const { why, detail, advice } = refusal;
  return {
    state: 'unread',
    shot: shot.id,
    lamp: shot.lamp,
    stage: 'marks',
    why,
    detail,
    advice,
    facts,
    registration: refusal,
  };
}

/** A shot whose light shows no beam that can be told. */
export function beamUnread(
  shot: JobShot,
  facts: PhotoFacts,
  registration: Registration,
  nothing: NothingFound,
): UnreadShot {
  const { why, detail, advice } = nothing;
  return {
    state: 'unread',
    shot: shot.id,
    lamp: shot.lamp,
    stage: 'beam',
    why,
    detail,
    advice,
    facts,
    registration,
    signs: nothing.signs.map((s) => ({ ...s, text: why === 'not-a-beam' ? ifLamp(s.text) : s.text })),
  };
}

/** What refuses light as no dipped beam can be a dipped lamp with a gross fault. */
function ifLamp(text: string): string {
  return `If this is a dipped lamp all the same: ${text.charAt(0).toLowerCase()}${text.slice(1)}`;
}

/** A shot whose photos do not belong together: the camera moved between them, or the light did. */
export function photosUnread(
  shot: JobShot,
  facts: PhotoFacts,
  registration: Registration,
  refusal: { readonly why: string; readonly detail: string; readonly advice: string },
): UnreadShot {
  const { why, detail, advice } = refusal;
  return {
    state: 'unread',
    shot: shot.id,
    lamp: shot.lamp,
    stage: 'photo',
    why,
    detail,
    advice,
    facts,
    registration,
  };
}

function isMissing(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'ENOENT';
}
