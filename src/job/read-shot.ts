import type { BeamFinding } from '../core/beam/finding.ts';
import { readBeam } from '../core/beam/read-beam.ts';
import type { Registration } from '../core/board-view.ts';
import { fitTone, type ToneFit } from '../core/photometry/tone-fit.ts';
import type { DecodedPhoto, Raster } from '../core/raster.ts';
import { printPairs } from '../vision/mark-tones.ts';
import { aimOfBeam } from './aim-of-beam.ts';
import { nominalView } from './bay-causes.ts';
import { exposureOf, type FrameLight, frameForCutOff, frameForHotSpot, frameLight } from './frames.ts';
import type { Job, JobLamp, JobShot } from './job.ts';
import { judgeShot } from './judge-shot.ts';
import type { PhotoShelf } from './photo-shelf.ts';
import { registerShot } from './register-shot.ts';
import type { ReadShot, ShotResult, UnreadShot } from './result.ts';
import type { OpenPhoto } from './seen-photo.ts';
import type { Survey } from './survey-sheets.ts';
import { beamUnread, marksUnread, photoUnread } from './unread.ts';

/** What reading a shot needs from the run that it is part of. */
export interface ShotRun {
  readonly job: Job;
  /** The board's sheets with their places. */
  readonly survey: Survey;
  readonly shelf: PhotoShelf;
  readonly onStage?: (stage: 'photo' | 'marks' | 'beam') => void;
  readonly signal?: AbortSignal | undefined;
}

/** A result, and the photo that it was read from while its pixels are still there. */
export interface ShotOutcome {
  readonly result: ShotResult;
  readonly photo: DecodedPhoto | null;
}

/**
 * Reads one shot: photo, marks, light, beam, causes, verdicts. What can't be read is a result with its stage, reason
 * and advice.
 * @throws the signal's reason when aborted; nothing else for what a photo may hold.
 */
export async function readShot(run: ShotRun, shot: JobShot): Promise<ShotOutcome> {
  const { job, signal } = run;
  const lamp = job.lamps.find((l) => l.id === shot.lamp)!;
  const view = nominalView(shot.geometry);

  signal?.throwIfAborted();
  run.onStage?.('photo');
  const opened = await openShot(run.shelf, shot);
  if (!opened.ok) return { result: photoUnread(shot, opened.path, opened.error), photo: null };
  const { photo, marksShot } = opened;

  signal?.throwIfAborted();
  run.onStage?.('marks');
  const { sheets, refusal } = run.survey;
  const registration = registerShot({ board: job.board, sheets, shot, photo, marksShot, view });
  if (!registration.found) {
    // Sheets that could not be surveyed are the reason behind 'no place yet'.
    const because =
      registration.why === 'too-few-marks' && refusal !== null
        ? { ...registration, detail: refusal.detail, advice: refusal.advice }
        : registration;
    return { result: marksUnread(shot, photo.facts, because), photo: photo.photo };
  }

  signal?.throwIfAborted();
  run.onStage?.('beam');
  const warnings: string[] = [...registration.warnings];
  // Printed marks in unlike light give the camera's response away; without them it stays a guess with its doubt.
  const { raster } = photo.photo;
  const tone = fitTone(printPairs(raster, photo.marks));
  const frames = await lightOfFrames(run, shot, opened, registration, view, tone, warnings);
  const read = readFrames(job, lamp, shot, view.distanceMm, tone, frames.list);
  const best = read.frame.path === photo.path ? photo.photo : (frames.kept ?? photo.photo);
  if (read.beam.found === 'nothing') {
    return { result: beamUnread(shot, photo.facts, registration, read.beam), photo: best };
  }
  return { result: finish(job, lamp, shot, registration, read.beam, photo, warnings), photo: best };
}

type OpenedShot =
  | {
      readonly ok: true;
      readonly photo: OpenPhoto;
      readonly marksShot: OpenPhoto | null;
      readonly lampsOff: DecodedPhoto | null;
    }
  | { readonly ok: false; readonly path: string; readonly error: unknown };

async function openShot(shelf: PhotoShelf, shot: JobShot): Promise<OpenedShot> {
  let path = shot.photos[0]!;
  try {
    const photo = await shelf.open(path);
    path = shot.marksShot ?? path;
    const marksShot = shot.marksShot === null ? null : await shelf.open(shot.marksShot);
    path = shot.lampsOff ?? path;
    const lampsOff = shot.lampsOff === null ? null : await shelf.decode(shot.lampsOff);
    return { ok: true, photo, marksShot, lampsOff };
  } catch (error) {
    return { ok: false, path, error };
  }
}

/**
 * The light of every frame of a bracket, each photo's pixels let go before the next is opened but those of the best.
 * A frame that can't be opened or has another size is left out with a warning: the first one stands alone then.
 */
async function lightOfFrames(
  run: ShotRun,
  shot: JobShot,
  opened: Extract<OpenedShot, { ok: true }>,
  registration: Registration,
  view: ReturnType<typeof nominalView>,
  tone: ToneFit,
  warnings: string[],
): Promise<{ readonly list: readonly FrameLight[]; readonly kept: DecodedPhoto | null }> {
  const { photo, lampsOff } = opened;
  const light = (path: string, raster: Raster, off: Raster | null) =>
    frameLight(path, raster, registration, view, run.job.board.extent, off, tone.params);
  const list = [light(photo.path, photo.photo.raster, offFor(photo.path, photo.photo, lampsOff, warnings))];
  let kept: DecodedPhoto | null = null;
  for (const path of shot.photos.slice(1)) {
    run.signal?.throwIfAborted();
    let next: DecodedPhoto;
    try {
      next = await run.shelf.decode(path);
    } catch (e) {
      warnings.push(
        `${path} could not be opened and was left out: ${e instanceof Error ? e.message : String(e)}`,
      );
      continue;
    }
    if (next.raster.width !== photo.size.width || next.raster.height !== photo.size.height) {
      warnings.push(`${path} has another size than the first photo of the bracket and was left out.`);
      continue;
    }
    const off = offFor(path, next, lampsOff, warnings);
    list.push(light(path, next.raster, off));
    if (frameForCutOff(list).path === path) kept = next;
  }
  return { list, kept };
}

/** The lamps-off raster where it may be subtracted: same size, same exposure as far as the files tell. */
function offFor(
  path: string,
  photo: DecodedPhoto,
  lampsOff: DecodedPhoto | null,
  warnings: string[],
): Raster | null {
  if (lampsOff === null) return null;
  const leftOut = (why: string): null => {
    warnings.push(`The lamps-off photo was not subtracted from ${path}: ${why}.`);
    return null;
  };
  const { raster } = lampsOff;
  if (raster.width !== photo.raster.width || raster.height !== photo.raster.height) {
    return leftOut('it has another size');
  }
  const on = exposureOf(photo.facts);
  const off = exposureOf(lampsOff.facts);
  if (on !== null && off !== null && Math.abs(Math.log(on / off)) > 0.02) {
    return leftOut('it was exposed differently; lock the exposure for both');
  }
  return raster;
}

/** The cut-off from the frame that shows it best, the hot spot from the one that does not burn it out. */
function readFrames(
  job: Job,
  lamp: JobLamp,
  shot: JobShot,
  distanceMm: number,
  tone: ToneFit,
  frames: readonly FrameLight[],
): { readonly beam: BeamFinding; readonly frame: FrameLight } {
  const context = {
    shot: shot.id,
    lamp: lamp.id,
    function: lamp.function,
    trafficSide: job.trafficSide,
    distanceMm,
    tone,
    litHeightMm: lamp.litHeight?.mm ?? null,
    litWidthMm: lamp.litWidth?.mm ?? null,
  };
  const forSpot = frameForHotSpot(frames);
  const frame = lamp.function === 'driving' ? forSpot : frameForCutOff(frames);
  const beam = readBeam(frame.grid, { ...context, roomLightOut: frame.roomLightOut });
  if (beam.found === 'nothing' || forSpot === frame) return { beam, frame };
  const bySpot = readBeam(forSpot.grid, { ...context, function: 'driving' });
  if (bySpot.found !== 'hot-spot') return { beam, frame };
  return { beam: { ...beam, hotSpot: bySpot.hotSpot }, frame };
}

function finish(
  job: Job,
  lamp: JobLamp,
  shot: JobShot,
  registration: Registration,
  beam: BeamFinding,
  photo: OpenPhoto,
  warnings: readonly string[],
): ReadShot {
  const view = nominalView(shot.geometry);
  const place = { shot: shot.id, geometry: shot.geometry, view, registration };
  const aim = aimOfBeam(place, beam);
  const { aim: commonAim, ...advice } = judgeShot(job, lamp, view, beam, aim);
  return {
    state: 'read',
    shot: shot.id,
    lamp: lamp.id,
    facts: photo.facts,
    registration,
    view,
    beam,
    dropPct: aim.dropPct,
    offsetPct: aim.offsetPct,
    hotSpot: aim.hotSpot,
    tiltDeg: aim.tiltDeg,
    ...advice,
    aim: commonAim,
    warnings,
  };
}

export type { ReadShot, UnreadShot };
