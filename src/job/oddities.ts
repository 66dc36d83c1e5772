import { isAtDistance } from '../core/rules/judge-words.ts';
import { bayOddities } from './oddities-bay.ts';
import { boardOddities } from './oddities-board.ts';
import { lampOddities, pairOddities } from './oddities-lamp.ts';
import { levelOddities } from './oddities-level.ts';
import { vehicleOddities } from './oddities-vehicle.ts';
import { inMm, typedMm, type UncheckedJob } from './oddity-words.ts';

/**
 * Numbers that may be right but usually are not, as questions in plain words. Nothing is mended silently: a slip of
 * the tape and an odd vehicle look alike from here.
 */
export function odditiesOf(job: UncheckedJob): readonly string[] {
  return [
    ...job.lamps.flatMap(lampOddities),
    ...pairOddities(job),
    ...vehicleOddities(job),
    ...bayOddities(job),
    ...levelOddities(job),
    ...boardOddities(job),
    ...schemeOddities(job),
  ];
}

function schemeOddities(job: UncheckedJob): readonly string[] {
  const out: string[] = [];
  if (job.schemes.length === 0) {
    out.push('No scheme is chosen and no handbook figure given: there is nothing to judge by.');
  }
  const functions = new Set(job.lamps.map((lamp) => lamp.function));
  const distances = distancesOf(job);
  for (const scheme of job.schemes) {
    const wanted = scheme.rows
      .filter((row) => functions.has(row.lamp))
      .map((row) => (row.place.kind === 'board' ? row.place.distanceMm : null));
    const first = wanted[0];
    const reached = wanted.some((mm) => mm === null || distances.some((d) => isAtDistance(d, mm)));
    if (first !== undefined && first !== null && !reached) {
      out.push(
        `"${scheme.title}" counts on a board ${inMm(first)} away, give or take 3 %: measure there, or it can give no verdict.`,
      );
    }
    if (scheme.trafficSide !== 'either' && scheme.trafficSide !== job.trafficSide) {
      out.push(
        `"${scheme.title}" is for traffic on the ${scheme.trafficSide}; this vehicle is down for the ${job.trafficSide}.`,
      );
    }
  }
  return out;
}

/** Every distance that the job measures at, mm. */
function distancesOf({ file }: UncheckedJob): readonly number[] {
  const shots = file.shots.flatMap((shot) => (shot.distance === undefined ? [] : [shot.distance]));
  return [file.bay.distance, ...Object.values(file.bay.distances ?? {}), ...shots].map(typedMm);
}
