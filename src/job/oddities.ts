import { isAtDistance } from '../core/rules/judge-words.ts';
import type { JobLamp } from './job.ts';
import { bayOddities } from './oddities-bay.ts';
import { boardOddities } from './oddities-board.ts';
import { inMm, typedMm, type UncheckedJob } from './oddity-words.ts';

/**
 * Numbers that may be right but usually are not, as questions in plain words. Nothing is mended silently: a slip of
 * the tape and an odd vehicle look alike from here.
 */
export function odditiesOf(job: UncheckedJob): readonly string[] {
  return [
    ...job.lamps.flatMap(lampOddities),
    ...pairOddities(job),
    ...bayOddities(job),
    ...boardOddities(job),
    ...schemeOddities(job),
  ];
}

function lampOddities(lamp: JobLamp): readonly string[] {
  const out: string[] = [];
  const { centreHeight, lowerEdge, litHeight, litWidth, title } = lamp;
  if (centreHeight !== null && (centreHeight.mm < 300 || centreHeight.mm > 1500)) {
    out.push(
      `${title}: is its centre really ${inMm(centreHeight.mm)} over the ground? Most sit at 500 to 1200 mm.`,
    );
  }
  if (centreHeight !== null && lowerEdge !== null && lowerEdge.mm >= centreHeight.mm) {
    out.push(
      `${title}: the lower edge (${inMm(lowerEdge.mm)}) is not below the centre (${inMm(centreHeight.mm)}). Were they swapped?`,
    );
  }
  if (centreHeight !== null && lowerEdge !== null && litHeight !== null) {
    const expected = centreHeight.mm - litHeight.mm / 2;
    if (lowerEdge.mm < centreHeight.mm && Math.abs(lowerEdge.mm - expected) > 40) {
      out.push(
        `${title}: centre, lower edge and lit height don't fit together: half of ${inMm(litHeight.mm)} below the centre would be ${inMm(expected)}, the file says ${inMm(lowerEdge.mm)}.`,
      );
    }
  }
  for (const [what, size] of [
    ['lit height', litHeight],
    ['lit width', litWidth],
  ] as const) {
    if (size !== null && (size.mm < 10 || size.mm > 400)) {
      out.push(`${title}: a ${what} of ${inMm(size.mm)} is unusual. Is the unit right?`);
    }
  }
  return out;
}

function pairOddities(job: UncheckedJob): readonly string[] {
  const out: string[] = [];
  job.lamps.forEach((left, i) => {
    if (left.side !== 'left') return;
    const j = job.lamps.findIndex((lamp) => lamp.side === 'right' && lamp.function === left.function);
    const right = job.lamps[j];
    if (right === undefined) return;
    if (left.centreHeight !== null && right.centreHeight !== null) {
      const gap = Math.abs(left.centreHeight.mm - right.centreHeight.mm);
      if (gap > 15) {
        out.push(
          `${left.title} and ${right.title} differ by ${inMm(gap)} in height. Is one tyre low, or one number mistyped?`,
        );
      }
    }
    const ends = [i, j].map((k) => rightOf(job, k));
    if (ends[0] !== null && ends[1] !== null) {
      const sum = ends[0]! + ends[1]!;
      if (Math.abs(sum) > 30) {
        out.push(
          `${left.title} and ${right.title} don't sit evenly about the middle: ${inMm(ends[0]!)} and ${inMm(ends[1]!)}. Left is negative.`,
        );
      }
    }
  });
  job.lamps.forEach((lamp, i) => {
    const right = rightOf(job, i);
    if (right !== null && ((lamp.side === 'left' && right > 0) || (lamp.side === 'right' && right < 0))) {
      out.push(
        `${lamp.title}: a ${lamp.side} lamp at ${inMm(right)}. Sideways counts + to the vehicle's right.`,
      );
    }
  });
  return out;
}

/** How far a lamp sits to the right, mm; null when not told. */
function rightOf(job: UncheckedJob, lamp: number): number | null {
  const typed = job.file.vehicle.lamps[lamp]?.centre.right;
  return typed === undefined ? null : typedMm(typed);
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
