import type { DecodedPhoto } from '../../src/core/raster.ts';
import { expandedUncertainty, standardUncertainty } from '../../src/core/uncertainty/estimate.ts';
import type { Job } from '../../src/job/job.ts';
import { readJob } from '../../src/job/read-job.ts';
import type { ShotResult } from '../../src/job/result.ts';
import { decodePhoto } from '../../src/photo/node/decode.ts';
import { encodePhoto, Random, renderPhoto } from '../../src/renderer/index.ts';
import { type CaseLabel, drawCase } from './draw-case.ts';
import { judgeNearLimits, type LimitOutcome } from './near-limits.ts';

/** What came of one photo. Errors are reading less truth, per cent; null where there was none to compare. */
export interface CaseOutcome {
  readonly label: CaseLabel;
  readonly refused: { readonly stage: string; readonly why: string } | null;
  readonly kindRead: string | null;
  /** The board shows an elbow, but no one clear place of it. */
  readonly unclearElbow: boolean;
  /** With the world's true numbers, against the truth on the board. */
  readonly drop: number | null;
  readonly elbow: number | null;
  readonly hotSpot: { readonly drop: number; readonly offset: number } | null;
  readonly tiltDeg: number | null;
  /** With typed numbers, wrong as they may be: error, U, and whether the far truth lies in the stated interval. */
  readonly typedDrop: { readonly error: number; readonly U: number } | null;
  readonly typedElbow: { readonly error: number; readonly U: number } | null;
  readonly farCovered: boolean | null;
  /** Error over standard uncertainty with true numbers: the light's and the marks' own parts. */
  readonly zLight: number | null;
  readonly zElbowLight: number | null;
  readonly zTiltLight: number | null;
  /** What is seen from far, true numbers: with the lamp's size and filling true, and with 10 % of size and filling unknown. */
  readonly farTrueLamp: FarOutcome | null;
  readonly farUnknown: FarOutcome | null;
  /** Verdicts by limits near the truth, typed numbers. */
  readonly limits: readonly LimitOutcome[];
  /** The two ways of finding the edge: their difference over its standard uncertainty. */
  readonly apart: number | null;
}

export interface FarOutcome {
  readonly error: number;
  readonly z: number;
  /** Of the elbow's offset; null without a clear elbow. */
  readonly elbow: number | null;
}

/** Renders, stores as JPEG, opens and reads one seeded photo, twice: with true and with typed numbers. */
export async function runCase(seed: number, megapixels: 3 | 12): Promise<CaseOutcome> {
  const { label, scene, typed, exact, exactLamp } = drawCase(seed, megapixels);
  const { raster, truth } = renderPhoto(scene, seed);
  const bytes = await encodePhoto(
    raster,
    {
      exposureS: truth.exposure.exposureS,
      fNumber: scene.sensor.fNumber,
      iso: scene.sensor.iso,
      focal35Mm: Math.round(scene.camera.focal35Mm),
      focalLengthMm: 6.8,
      takenAt: '2026-01-10T19:00:00',
    },
    { format: 'jpeg', quality: 92 },
  );
  const photo = await decodePhoto(bytes, 'photo.jpg');
  const byTrue = await readOne(exact, photo);
  const byTyped = await readOne(typed, photo);
  const byTrueLamp = await readOne(exactLamp, photo);
  const base = {
    label,
    kindRead: null,
    unclearElbow: false,
    drop: null,
    elbow: null,
    hotSpot: null,
    tiltDeg: null,
    typedDrop: null,
    typedElbow: null,
    farCovered: null,
    zLight: null,
    zElbowLight: null,
    zTiltLight: null,
    farTrueLamp: null,
    farUnknown: null,
    limits: [],
    apart: null,
  };
  if (byTrue.state === 'unread') return { ...base, refused: { stage: byTrue.stage, why: byTrue.why } };
  if (byTrue.beam.found !== 'cut-off' || byTrue.dropPct === null)
    return { ...base, refused: { stage: 'beam', why: `${byTrue.beam.found} instead of a cut-off` } };

  const { onBoard, far } = truth;
  const beam = byTrue.beam;
  const drop = byTrue.dropPct.value - onBoard.dropPct!;
  // Where near field leaves several edges or swallows the ramp, truth has no one place to be held against.
  const clearElbow = onBoard.elbow?.clear ? onBoard.elbow : null;
  const elbow = byTrue.offsetPct && clearElbow ? byTrue.offsetPct.value - clearElbow.offsetPct : null;
  const typedRead = byTyped.state === 'read' ? byTyped : null;
  const U = typedRead?.dropPct ? expandedUncertainty(typedRead.dropPct) : null;
  return {
    label,
    refused: null,
    kindRead: beam.kind,
    unclearElbow: onBoard.elbow !== null && !onBoard.elbow.clear,
    drop,
    elbow,
    hotSpot: byTrue.hotSpot && {
      drop: byTrue.hotSpot.dropPct.value - onBoard.hotSpot.dropPct,
      offset: byTrue.hotSpot.offsetPct.value - onBoard.hotSpot.offsetPct,
    },
    tiltDeg: byTrue.tiltDeg && onBoard.tiltDeg !== null ? byTrue.tiltDeg.value - onBoard.tiltDeg : null,
    typedDrop:
      typedRead?.dropPct && U !== null ? { error: typedRead.dropPct.value - onBoard.dropPct!, U } : null,
    typedElbow:
      typedRead?.offsetPct && clearElbow
        ? {
            error: typedRead.offsetPct.value - clearElbow.offsetPct,
            U: expandedUncertainty(typedRead.offsetPct),
          }
        : null,
    farCovered:
      typedRead?.dropPct && U !== null && far.dropPct !== null
        ? far.dropPct >= typedRead.dropPct.value + typedRead.farShiftPct.min - U &&
          far.dropPct <= typedRead.dropPct.value + typedRead.farShiftPct.max + U
        : null,
    zLight: drop / standardUncertainty(byTrue.dropPct),
    zElbowLight: elbow === null ? null : elbow / standardUncertainty(byTrue.offsetPct!),
    zTiltLight:
      byTrue.tiltDeg && onBoard.tiltDeg !== null
        ? (byTrue.tiltDeg.value - onBoard.tiltDeg) / standardUncertainty(byTrue.tiltDeg)
        : null,
    farTrueLamp: farOutcome(byTrueLamp, far),
    farUnknown: farOutcome(byTrue, far),
    limits:
      typedRead === null
        ? []
        : judgeNearLimits(
            typed,
            typedRead,
            { onBoard: onBoard.dropPct!, far: far.dropPct! },
            new Random(seed ^ 0x51ed270b),
          ),
    apart: beam.twoWays?.apart ?? null,
  };
}

function farOutcome(
  read: ShotResult,
  far: {
    readonly dropPct: number | null;
    readonly elbow: { readonly offsetPct: number; readonly clear: boolean } | null;
  },
): FarOutcome | null {
  if (read.state === 'unread' || !read.farAim?.dropPct || far.dropPct === null) return null;
  const error = read.farAim.dropPct.value - far.dropPct;
  const { offsetPct } = read.farAim;
  return {
    error,
    z: error / standardUncertainty(read.farAim.dropPct),
    elbow: offsetPct !== null && far.elbow?.clear ? offsetPct.value - far.elbow.offsetPct : null,
  };
}

async function readOne(job: Job, photo: DecodedPhoto): Promise<ShotResult> {
  const result = await readJob(job, { decode: async () => photo });
  return result.shots[0]!;
}
