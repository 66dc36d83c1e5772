import type { BeamFinding } from '../core/beam/finding.ts';
import { readBeam } from '../core/beam/read-beam.ts';
import type { Registration } from '../core/board-view.ts';
import type { DecodedPhoto, PhotoFacts } from '../core/raster.ts';
import { aimOfBeam } from './aim-of-beam.ts';
import { nominalView } from './bay-causes.ts';
import { farOf } from './far-of.ts';
import { glareSign } from './glare-of.ts';
import type { Job, JobLamp, JobShot } from './job.ts';
import { judgeShot } from './judge-shot.ts';
import { photoDoubts, withoutCutOff } from './photo-doubts.ts';
import type { PhotoShelf } from './photo-shelf.ts';
import { registerShot } from './register-shot.ts';
import type { ReadShot, ShotResult, UnreadShot } from './result.ts';
import { schemesForLamp } from './schemes-of.ts';
import { lightOfShot } from './shot-light.ts';
import { openShotPhotos } from './shot-photos.ts';
import type { Survey } from './survey-sheets.ts';
import { beamUnread, marksUnread, photosUnread, photoUnread } from './unread.ts';

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
  const photos = await openShotPhotos(run.shelf, shot, signal);
  if (!photos.ok) return { result: photoUnread(shot, photos.path, photos.error), photo: null };
  const { reference } = photos;
  const shown = async (path: string) => run.shelf.decode(path);

  signal?.throwIfAborted();
  run.onStage?.('marks');
  const { sheets, refusal } = run.survey;
  const found = await registerShot({ board: job.board, sheets, shot, photos, shelf: run.shelf, view });
  if (!found.found) {
    // Sheets that could not be surveyed are the reason behind 'no place yet'.
    const because =
      found.why === 'too-few-marks' && refusal !== null
        ? { ...found, detail: refusal.detail, advice: refusal.advice }
        : found;
    return { result: marksUnread(shot, reference.facts, because), photo: await shown(reference.path) };
  }

  signal?.throwIfAborted();
  run.onStage?.('beam');
  const light = await lightOfShot(
    { shelf: run.shelf, extent: job.board.extent, view, signal },
    photos,
    found,
  );
  if (!light.ok)
    return { result: photosUnread(shot, reference.facts, found, light), photo: await shown(reference.path) };
  const { registration } = light;
  const read = readBeam(light.grid, {
    shot: shot.id,
    lamp: lamp.id,
    function: lamp.function,
    trafficSide: job.trafficSide,
    distanceMm: view.distanceMm,
    tone: light.tone,
    litHeightMm: lamp.litHeight?.mm ?? null,
    litWidthMm: lamp.litWidth?.mm ?? null,
    uLitSize: lamp.litHeight === null ? 0.4 : lamp.litHeight.uMm / lamp.litHeight.mm,
    filling: lamp.filling,
    ...(light.roomLightOut ? { uRoomLeft: light.uRoomLeft } : {}),
  });
  const photo = await shown(light.show);
  const { raster, facts } = photo;
  const marks = light.show === reference.path ? reference.marks : [];
  const asked = { shot: shot.id, raster, facts, marks, registration, view, extent: job.board.extent };
  const beam = withoutCutOff(photoDoubts(read, asked), lamp, schemesForLamp(job, lamp.id));
  if (beam.found === 'nothing')
    return { result: beamUnread(shot, reference.facts, registration, beam), photo };
  const warnings = [...photos.warnings, ...registration.warnings, ...light.warnings];
  return { result: finish(job, lamp, shot, registration, beam, reference.facts, warnings), photo };
}

function finish(
  job: Job,
  lamp: JobLamp,
  shot: JobShot,
  registration: Registration,
  beam: BeamFinding,
  facts: PhotoFacts,
  warnings: readonly string[],
): ReadShot {
  const view = nominalView(shot.geometry);
  const place = { shot: shot.id, geometry: shot.geometry, view, registration };
  const aim = aimOfBeam(place, beam);
  const { aim: commonAim, ...advice } = judgeShot(job, lamp, view, beam, aim);
  const glare = glareSign(beam, aim.dropPct, commonAim);
  return {
    state: 'read',
    shot: shot.id,
    lamp: lamp.id,
    facts,
    registration,
    view,
    beam: glare === null ? beam : { ...beam, signs: [glare, ...beam.signs] },
    dropPct: aim.dropPct,
    offsetPct: aim.offsetPct,
    hotSpot: aim.hotSpot,
    tiltDeg: aim.tiltDeg,
    farAim: farOf(beam, aim),
    ...advice,
    aim: commonAim,
    warnings,
  };
}

export type { ReadShot, UnreadShot };
