import { standardUncertainty } from '../../src/core/uncertainty/estimate.ts';
import type { Job } from '../../src/job/job.ts';
import { readJob } from '../../src/job/read-job.ts';
import { sceneTruth } from '../../src/renderer/render-photo.ts';
import { drawSeries, type SeriesCase, type SeriesKind } from './brackets-case.ts';

/** What came of one series of photos, read with the world's true numbers. Errors are reading less truth, per cent. */
export interface SeriesOutcome {
  readonly label: SeriesCase['label'];
  readonly refused: { readonly stage: string; readonly why: string } | null;
  readonly drop: number | null;
  readonly elbow: number | null;
  /** Distance between the hot spot read and the true one, per cent. */
  readonly hotSpot: number | null;
  /** Errors over standard uncertainties: the light's and the marks' own parts. */
  readonly zDrop: number | null;
  readonly zElbow: number | null;
  readonly zHotSpot: number | null;
  readonly uDrop: number | null;
  readonly warnings: readonly string[];
}

/** Renders and reads one seeded series. */
export async function runSeries(
  seed: number,
  kind: SeriesKind,
  ambient?: readonly [number, number],
  keep?: string,
): Promise<SeriesOutcome> {
  return readSeries(await drawSeries(seed, kind, ambient, keep));
}

/** Reads a series with the exact job. */
export async function readSeries(drawn: SeriesCase, job: Job = drawn.exact): Promise<SeriesOutcome> {
  const { label, scene, photos } = drawn;
  const { onBoard } = sceneTruth(scene);
  const result = await readJob(job, {
    decode: (path) => {
      const photo = photos[path];
      return photo ? Promise.resolve(photo) : Promise.reject(new Error(`no photo ${path}`));
    },
  });
  const shot = result.shots[0]!;
  const none = {
    drop: null,
    elbow: null,
    hotSpot: null,
    zDrop: null,
    zElbow: null,
    zHotSpot: null,
    uDrop: null,
  };
  if (shot.state === 'unread')
    return { label, ...none, refused: { stage: shot.stage, why: shot.why }, warnings: [shot.detail] };
  if (shot.beam.found !== 'cut-off' || shot.dropPct === null) {
    const why = `${shot.beam.found} instead of a cut-off`;
    return { label, ...none, refused: { stage: 'beam', why }, warnings: shot.warnings };
  }
  const drop = shot.dropPct.value - onBoard.dropPct!;
  const clear = onBoard.elbow?.clear ? onBoard.elbow : null;
  const elbow = shot.offsetPct && clear ? shot.offsetPct.value - clear.offsetPct : null;
  const spot = shot.hotSpot && {
    drop: shot.hotSpot.dropPct.value - onBoard.hotSpot.dropPct,
    offset: shot.hotSpot.offsetPct.value - onBoard.hotSpot.offsetPct,
  };
  const uDrop = standardUncertainty(shot.dropPct);
  return {
    label,
    refused: null,
    drop,
    elbow,
    hotSpot: spot && Math.hypot(spot.drop, spot.offset),
    zDrop: drop / uDrop,
    zElbow: elbow === null ? null : elbow / standardUncertainty(shot.offsetPct!),
    zHotSpot: spot && spot.offset / standardUncertainty(shot.hotSpot!.offsetPct),
    uDrop,
    warnings: shot.warnings,
  };
}
