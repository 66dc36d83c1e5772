import { type BoardReading, farByDistances, LEAST_RATIO } from '../core/beam/joint/distances.ts';
import { judgeScheme } from '../core/rules/judge.ts';
import type { Scheme } from '../core/rules/scheme.ts';
import type { Job, JobLamp } from './job.ts';
import type { DistancesResult, ReadShot, SchemeVerdict, ShotResult } from './result.ts';
import { schemesForLamp } from './schemes-of.ts';

/** Two boards further apart than this are two places, not the same place measured twice. */
const SAME_PLACE = 1.05;

/** For every lamp photographed at two or more distances: the far value behind all of them, and its verdicts. */
export function distancesOf(
  job: Pick<Job, 'lamps' | 'schemes' | 'trafficSide'>,
  results: readonly ShotResult[],
): readonly DistancesResult[] {
  return job.lamps.flatMap((lamp) => {
    const found = distancesOfLamp(job, lamp, results);
    return found === null ? [] : [found];
  });
}

function distancesOfLamp(
  job: Pick<Job, 'schemes' | 'trafficSide'>,
  lamp: JobLamp,
  results: readonly ShotResult[],
): DistancesResult | null {
  const places: ReadShot[] = [];
  // The last shot of each place counts: the lamp may have been turned since the first.
  for (const shot of results.toReversed()) {
    if (shot.state !== 'read' || shot.lamp !== lamp.id || shot.dropPct === null) continue;
    const near = (other: ReadShot) =>
      Math.max(other.view.distanceMm, shot.view.distanceMm) <
      SAME_PLACE * Math.min(other.view.distanceMm, shot.view.distanceMm);
    if (!places.some(near)) places.unshift(shot);
  }
  const readings = places.flatMap((shot): BoardReading[] => {
    if (shot.beam.found !== 'cut-off' || shot.beam.far === null || shot.dropPct === null) return [];
    const litMm = lamp.litHeight?.mm ?? 0;
    return [
      {
        shot: shot.shot,
        distanceMm: shot.view.distanceMm,
        dropPct: shot.dropPct,
        far: shot.beam.far,
        smearPct: (100 * litMm) / shot.view.distanceMm,
      },
    ];
  });
  const far = farByDistances(readings, lamp.id);
  if (far === null) return null;
  const read = places.filter((shot) => far.shots.includes(shot.shot));
  return {
    lamp: lamp.id,
    shots: far.shots,
    distancesMm: read.map((shot) => shot.view.distanceMm),
    far,
    verdicts: judged(job, lamp, read, far.farDropPct),
    remarks: remarksOn(read, far),
  };
}

/** Rows that speak of far away, judged by the joint value: near field is in it, so nothing is left to add. */
function judged(
  job: Pick<Job, 'schemes' | 'trafficSide'>,
  lamp: JobLamp,
  shots: readonly ReadShot[],
  farDropPct: DistancesResult['far']['farDropPct'],
): readonly SchemeVerdict[] {
  const furthest = shots.reduce((a, b) => (b.view.distanceMm > a.view.distanceMm ? b : a));
  const { beam } = furthest;
  return schemesForLamp(job, lamp.id).flatMap((scheme) => {
    const rows = scheme.rows.filter((row) => row.place.kind === 'far' && row.feature === 'flat-part');
    if (rows.length === 0) return [];
    const far: Scheme = { ...scheme, rows };
    return judgeScheme(far, {
      lamp,
      trafficSide: job.trafficSide,
      cutOffKind: beam.found === 'cut-off' ? beam.kind : null,
      riseSide: beam.found === 'cut-off' ? beam.riseSide : null,
      boardDistanceMm: furthest.view.distanceMm,
      farShiftPct: { min: 0, max: 0 },
      dropPct: farDropPct,
      offsetPct: furthest.farAim?.offsetPct ?? furthest.offsetPct,
      hotSpot: null,
      brightZone: null,
      farProvable: true,
    }).map((verdict) => ({ scheme: scheme.id, verdict }));
  });
}

function remarksOn(shots: readonly ReadShot[], far: DistancesResult['far']): readonly string[] {
  const remarks: string[] = [];
  if (far.misfit > far.mostByChance)
    remarks.push(
      'The boards contradict each other by more than their uncertainties allow. Was the lamp turned between the photos, a distance or height typed wrong, or does the floor change? The result has been widened to cover it.',
    );
  const distances = shots.map((s) => s.view.distanceMm);
  if (Math.max(...distances) < 1.4 * Math.min(...distances))
    remarks.push(
      `The boards stand close together (${LEAST_RATIO} to 1.4 times as far): a third one, further off, would tell more.`,
    );
  return remarks;
}
