import type { DecodedPhoto } from '../core/raster.ts';
import { distancesOf } from './distances-of.ts';
import type { Job, JobShot } from './job.ts';
import { seenOddities } from './oddities-seen.ts';
import { pairsOf } from './pairs.ts';
import { photoShelf } from './photo-shelf.ts';
import { readShot, type ShotOutcome } from './read-shot.ts';
import type { JobResult, ShotResult } from './result.ts';
import { surveySheets } from './survey-sheets.ts';

export interface ReadProgress {
  readonly shot: string;
  readonly stage: 'survey' | 'photo' | 'marks' | 'beam' | 'done';
  /** Shots finished, of how many. */
  readonly done: number;
  readonly of: number;
}

export interface ReadOptions {
  /** Opens a photo by its path in the job file, relative to the job's folder. */
  readonly decode: (path: string) => Promise<DecodedPhoto>;
  readonly onProgress?: (progress: ReadProgress) => void;
  /** Called with each result while its photo's pixels are still in memory: the time to draw the picture. */
  readonly onShot?: (result: ShotResult, photo: DecodedPhoto | null) => void | Promise<void>;
  readonly signal?: AbortSignal;
  /** Only these shots; left out: all. */
  readonly shots?: readonly string[];
}

/**
 * Reads a whole job, shot after shot (each photo is up to 100 MB of pixels; several jobs run in parallel elsewhere).
 * A shot that can't be read is a result with its reason and never stops the others.
 *
 * @throws the signal's reason when aborted, and whatever `onShot` throws.
 */
export async function readJob(job: Job, options: ReadOptions): Promise<JobResult> {
  const wanted = job.shots.filter((shot) => options.shots === undefined || options.shots.includes(shot.id));
  const shelf = photoShelf(options.decode);
  const results: ShotResult[] = [];
  const tell = (shot: JobShot | undefined, stage: ReadProgress['stage']) =>
    options.onProgress?.({ shot: shot?.id ?? '', stage, done: results.length, of: wanted.length });

  tell(wanted[0], 'survey');
  const survey = await surveySheets(job, shelf, options.signal);
  for (const shot of wanted) {
    const run = {
      job,
      survey,
      shelf,
      onStage: (stage: 'photo' | 'marks' | 'beam') => tell(shot, stage),
      signal: options.signal,
    };
    const outcome: ShotOutcome = await readShot(run, shot);
    results.push(outcome.result);
    await options.onShot?.(outcome.result, outcome.photo);
    tell(shot, 'done');
  }
  return {
    title: job.title,
    rendered: job.rendered,
    shots: results,
    pairs: pairsOf(job, results),
    distances: distancesOf(job, results),
    warnings: [...job.oddities, ...seenOddities(job, results), ...survey.warnings],
  };
}
