import type { DecodedPhoto } from '../../src/core/raster.ts';
import { standardUncertainty } from '../../src/core/uncertainty/estimate.ts';
import { distancesOf } from '../../src/job/distances-of.ts';
import type { Job, JobShot } from '../../src/job/job.ts';
import { readJob } from '../../src/job/read-job.ts';
import type { ShotResult } from '../../src/job/result.ts';
import { decodePhoto } from '../../src/photo/node/decode.ts';
import { encodePhoto, renderPhoto } from '../../src/renderer/index.ts';
import { type CaseLabel, drawCase } from './draw-case.ts';

/** One lamp on boards at three distances. Errors of the far drop: reading less truth, per cent; null where not read. */
export interface DistancesOutcome {
  readonly label: CaseLabel;
  readonly alone: readonly (number | null)[];
  readonly two: number | null;
  readonly three: number | null;
  readonly zThree: number | null;
  readonly zTwo: number | null;
}

/** Renders one seeded lamp at three distances and reads each alone, the outer two and all three; true numbers, filling unknown. */
export async function runDistances(seed: number): Promise<DistancesOutcome> {
  const near = 5000 + (seed % 7) * 100;
  const distances = [near, 1.4 * near, 1.9 * near].map((mm) => 10 * Math.round(mm / 10));
  const cases = distances.map((distanceMm) => drawCase(seed, 3, { distanceMm }));
  const photos = new Map<string, DecodedPhoto>();
  const shots: JobShot[] = [];
  let far = 0;
  for (const [i, drawn] of cases.entries()) {
    const { raster, truth } = renderPhoto(drawn.scene, seed + 7919 * i);
    far = truth.far.dropPct!;
    const { exposureS } = truth.exposure;
    const { fNumber, iso } = drawn.scene.sensor;
    const focal35Mm = Math.round(drawn.scene.camera.focal35Mm);
    const exif = { exposureS, fNumber, iso, focal35Mm, focalLengthMm: 6.8, takenAt: '2026-01-10T19:00:00' };
    const bytes = await encodePhoto(raster, exif, { format: 'jpeg', quality: 92 });
    photos.set(`${i}.jpg`, await decodePhoto(bytes, `${i}.jpg`));
    shots.push({ ...drawn.exact.shots[0]!, id: `shot-${i}`, photos: [`${i}.jpg`] });
  }
  // Each board has marks of its own, so each photo is read as a job of its own; what is told of the lamp is put together.
  const read: ShotResult[] = [];
  for (const [i, drawn] of cases.entries()) {
    const job: Job = { ...drawn.exact, shots: [shots[i]!] };
    const result = await readJob(job, { decode: async (path) => photos.get(path)! });
    read.push(result.shots[0]!);
  }

  const job = cases[0]!.exact;
  const error = (some: typeof read) => {
    const found = distancesOf(job, some)[0]?.far.farDropPct ?? null;
    return found === null ? null : { error: found.value - far, u: standardUncertainty(found) };
  };
  const three = error(read);
  const two = error([read[0]!, read[2]!]);
  return {
    label: cases[1]!.label,
    alone: read.map((r) => (r.state === 'read' && r.farAim?.dropPct ? r.farAim.dropPct.value - far : null)),
    two: two === null ? null : two.error,
    three: three === null ? null : three.error,
    zTwo: two === null ? null : two.error / two.u,
    zThree: three === null ? null : three.error / three.u,
  };
}
