import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { DecodedPhoto } from '../../src/core/raster.ts';
import { expandedUncertainty } from '../../src/core/uncertainty/estimate.ts';
import type { Job } from '../../src/job/job.ts';
import { readJob } from '../../src/job/read-job.ts';
import type { ShotResult } from '../../src/job/result.ts';
import { decodePhoto } from '../../src/photo/node/decode.ts';
import {
  encodePhoto,
  type PhotoEdits,
  Random,
  renderRaster,
  type Scene,
  sceneTruth,
} from '../../src/renderer/index.ts';
import { type CaseLabel, drawCase } from '../accuracy/draw-case.ts';
import type { Kind, Spoilt } from './kinds.ts';

/** What came of one bad photograph. */
export interface Outcome {
  readonly kind: string;
  readonly seed: number;
  readonly result: 'refused' | 'no-number' | 'covered' | 'wrong';
  /** Stage and reason, or what was read. */
  readonly why: string;
  readonly detail: string;
  readonly error: number | null;
  readonly U: number | null;
  readonly elbowError: number | null;
  readonly elbowU: number | null;
  readonly warnings: readonly string[];
}

/** An error of this many U or less may be chance: U is 95 % for one photo, and here are hundreds. */
const CHANCE = 1.5;

/** A photo in ordinary conditions with sheets, and its job with the world's true numbers; `widthPx` 4:3. */
export function goodCase(seed: number, widthPx: number): { readonly scene: Scene; readonly job: Job } {
  for (let k = 0; ; k++) {
    const { scene, exact, label } = drawCase(seed + 7919 * k, 3);
    if (label.marks !== 'sheets' || label.stops < 0 || label.ambientLux > 3 || label.iso > 400) continue;
    const scale = widthPx / scene.camera.widthPx;
    return {
      job: exact,
      scene: {
        ...scene,
        camera: { ...scene.camera, widthPx, heightPx: (widthPx * 3) / 4 },
        lens: { ...scene.lens, blurPx: Math.max(0.6, scene.lens.blurPx * scale) },
      },
    };
  }
}

/** The spoilt photo of a kind: the same seed gives the same photo. */
export function spoiltCase(
  kind: Kind,
  seed: number,
  widthPx: number,
): { readonly job: Job; readonly spoilt: Spoilt } {
  const { scene, job } = goodCase(seed, widthPx);
  const spoilt = kind.spoil(scene, new Random(Math.imul(seed, 40503) + 11));
  return { job: spoilt.job?.(job) ?? job, spoilt };
}

/** Renders, stores, opens and reads one. */
export async function runKind(kind: Kind, seed: number, widthPx: number): Promise<Outcome> {
  const { shot, scene } = await readKind(kind, seed, widthPx);
  return judge(kind, seed, shot, scene);
}

/** The same, with all that was read. */
export async function readKind(
  kind: Kind,
  seed: number,
  widthPx: number,
): Promise<{
  readonly shot: ShotResult;
  readonly photo: DecodedPhoto;
  readonly job: Job;
  readonly scene: Scene;
}> {
  const { job, spoilt } = spoiltCase(kind, seed, widthPx);
  // Two kinds may change levels by functions that print alike: the kind is part of a kept photo's name.
  keepTag = `${kind.name} ${seed}`;
  const { photo, exposureS } = await photoOf(spoilt.scene, spoilt.edits, seed, spoilt);
  const others = new Map<string, DecodedPhoto>();
  const add = async (path: string, scene: Scene | undefined) => {
    if (scene) others.set(path, (await photoOf(scene, {}, seed + 1, spoilt)).photo);
  };
  await add('marks.jpg', spoilt.marksShot);
  await add('longer.jpg', spoilt.bracket?.(exposureS));
  await add('off.jpg', spoilt.lampsOff?.(exposureS));
  const shot = job.shots[0]!;
  const wired: Job = {
    ...job,
    shots: [
      {
        ...shot,
        marksShot: others.has('marks.jpg') ? 'marks.jpg' : null,
        lampsOff: others.has('off.jpg') ? 'off.jpg' : null,
        photos: others.has('longer.jpg') ? ['photo.jpg', 'longer.jpg'] : ['photo.jpg'],
      },
    ],
  };
  const result = await readJob(wired, { decode: async (path) => others.get(path) ?? photo });
  return { shot: result.shots[0]!, photo, job: wired, scene: spoilt.scene };
}

/** An ordinary photo, any that the accuracy table draws, as an outcome: refused it is a fault of ours. */
export async function runGood(seed: number): Promise<Outcome & { readonly label: CaseLabel }> {
  const { shot, scene, label } = await readGood(seed);
  return { ...judge({ name: 'ordinary photo', expects: 'number' }, seed, shot, scene), label };
}

/** The same, with all that was read. */
export async function readGood(seed: number): Promise<{
  readonly shot: ShotResult;
  readonly photo: DecodedPhoto;
  readonly job: Job;
  readonly scene: Scene;
  readonly label: CaseLabel;
}> {
  const { scene, exact, label } = drawCase(seed, 3);
  keepTag = 'good';
  const { photo } = await photoOf(scene, {}, seed, {});
  const result = await readJob(exact, { decode: async () => photo });
  return { shot: result.shots[0]!, photo, job: exact, scene, label };
}

async function photoOf(
  scene: Scene,
  edits: PhotoEdits,
  seed: number,
  how: Pick<Spoilt, 'exif' | 'format' | 'quality'>,
): Promise<{ readonly photo: DecodedPhoto; readonly exposureS: number }> {
  const kept = keptFile(scene, edits, seed, how);
  if (kept !== null && existsSync(kept)) {
    const { exposureS } = JSON.parse(readFileSync(`${kept}.json`, 'utf8')) as { exposureS: number };
    return { photo: await decodePhoto(readFileSync(kept), 'photo.jpg'), exposureS };
  }
  const { raster, exposure } = renderRaster(scene, seed, edits);
  const facts =
    how.exif === false
      ? {}
      : {
          exposureS: exposure.exposureS,
          fNumber: scene.sensor.fNumber,
          iso: scene.sensor.iso,
          focal35Mm: Math.round(scene.camera.focal35Mm),
          focalLengthMm: 6.8,
          takenAt: '2026-01-10T19:00:00',
        };
  const bytes = await encodePhoto(raster, facts, {
    format: how.format ?? 'jpeg',
    quality: how.quality ?? 92,
  });
  if (kept !== null) {
    writeFileSync(kept, bytes);
    writeFileSync(`${kept}.json`, JSON.stringify({ exposureS: exposure.exposureS }));
  }
  return { photo: await decodePhoto(bytes, 'photo.jpg'), exposureS: exposure.exposureS };
}

/**
 * Where a photo is kept between runs when REFUSALS_KEEP names a folder: drawing takes ten times as long as reading. The
 * name is made from all that the photo depends on but the renderer's own code: empty the folder when that changes.
 */
function keptFile(
  scene: Scene,
  edits: PhotoEdits,
  seed: number,
  how: Pick<Spoilt, 'exif' | 'format' | 'quality'>,
): string | null {
  const folder = process.env['REFUSALS_KEEP'];
  if (!folder) return null;
  mkdirSync(folder, { recursive: true });
  const { exif, format, quality } = how;
  const all = JSON.stringify([scene, seed, exif, format, quality, Object.values(edits).map(String), keepTag]);
  return join(folder, createHash('sha1').update(all).digest('hex').slice(0, 20));
}
let keepTag = '';

export function judge(
  kind: Pick<Kind, 'name' | 'expects'>,
  seed: number,
  shot: ShotResult,
  scene: Scene,
): Outcome {
  const none = { error: null, U: null, elbowError: null, elbowU: null, warnings: [], detail: '' };
  if (shot.state === 'unread') {
    const why = `${shot.stage}/${shot.why}`;
    return {
      ...none,
      kind: kind.name,
      seed,
      result: 'refused',
      why,
      detail: `${shot.detail} ${shot.advice}`,
    };
  }
  const signs = shot.beam.signs.map((s) => s.code);
  const base = { ...none, kind: kind.name, seed, warnings: [...signs, ...shot.warnings] };
  if (shot.beam.found !== 'cut-off' || shot.dropPct === null)
    return { ...base, result: 'no-number', why: shot.beam.found };
  const { onBoard } = sceneTruth(scene);
  const U = expandedUncertainty(shot.dropPct);
  const error = onBoard.dropPct === null ? null : shot.dropPct.value - onBoard.dropPct;
  const elbowU = shot.offsetPct && expandedUncertainty(shot.offsetPct);
  const elbowError =
    shot.offsetPct && onBoard.elbow?.clear ? shot.offsetPct.value - onBoard.elbow.offsetPct : null;
  const dropWrong = kind.expects === 'none' || error === null || Math.abs(error) > CHANCE * U;
  const elbowWrong =
    elbowError !== null && elbowU !== null && Math.abs(elbowError) > Math.max(0.3, CHANCE * elbowU);
  return {
    ...base,
    result: dropWrong || elbowWrong ? 'wrong' : 'covered',
    why: dropWrong ? shot.beam.kind : elbowWrong ? `${shot.beam.kind}, elbow` : shot.beam.kind,
    error,
    U,
    elbowError,
    elbowU,
  };
}
