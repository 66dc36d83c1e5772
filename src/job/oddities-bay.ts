import type { JobLamp } from './job.ts';
import { own } from './measured.ts';
import { rightOf } from './oddities-lamp.ts';
import { unitSlip } from './oddity-units.ts';
import { inMm, typedMm, type UncheckedJob } from './oddity-words.ts';

/** Questions about the place and the way axis and level were carried. */
export function bayOddities(job: UncheckedJob): readonly string[] {
  const out: string[] = [];
  const { bay } = job.file;
  const shotDistances = job.file.shots.flatMap((shot) =>
    shot.distance === undefined ? [] : [shot.distance],
  );
  for (const typed of [bay.distance, ...Object.values(bay.distances ?? {}), ...shotDistances]) {
    const distance = typedMm(typed);
    if (distance < 2500) {
      out.push(
        `The board stands only ${inMm(distance)} away: every mm of tape counts ${(100 / distance).toFixed(3)} %, and the lamp's own size blurs the edge.`,
      );
    }
    if (distance > 30_000)
      out.push(
        `Is the board really ${inMm(distance)} away?${unitSlip(distance, { from: 2500, to: 15_000 })}`,
      );
  }
  out.push(...distanceOddities(job));
  const { method } = bay;
  if (method.kind === 'nose-to-board') out.push(...markOddities(job));
  else if (method.axis === 'none') {
    out.push(
      "The vehicle's axis was not measured: sideways figures are rough, and no sideways verdict will hold.",
    );
    if (job.file.vehicle.lamps.some((lamp) => lamp.centre.right === undefined && lamp.side !== 'centre')) {
      out.push('How far a lamp sits from the middle is missing: taken as 600 mm, give or take 150.');
    }
  }
  if (method.kind === 'floor' && method.footAboveTyrePlane === undefined) {
    out.push(
      'The floor at the board was not measured against the tyres: taken as one plane, to 2 mm per m. A level line along the floor would shrink this.',
    );
  }
  if (method.kind === 'level-datum') {
    const wheelbase = typedMm(method.wheelbase);
    const slope = (typedMm(method.frontContact) - typedMm(method.rearContact)) / wheelbase;
    if (Math.abs(slope) > 0.05) {
      out.push(
        `The ground under the vehicle slopes by ${(100 * slope).toFixed(1)} %. Were both contacts counted from the same line, negative below it?`,
      );
    }
    const typed = job.file.vehicle.wheelbase;
    if (typed !== undefined && Math.abs(typedMm(typed) - wheelbase) > 50) {
      out.push(
        `The wheelbase is ${inMm(typedMm(typed))} for the vehicle and ${inMm(wheelbase)} for the level line. Which is right?`,
      );
    }
    if (wheelbase < 900 || wheelbase > 6500) out.push(`Is the wheelbase really ${inMm(wheelbase)}?`);
  }
  return out;
}

/** Lamps of one vehicle at far apart distances, and pairs of distances that are hardly two. */
function distanceOddities(job: UncheckedJob): readonly string[] {
  const out: string[] = [];
  const perLamp = Object.entries(job.file.bay.distances ?? {}).map(([id, typed]) => ({
    id,
    mm: typedMm(typed),
  }));
  const farthest = perLamp.reduce((a, b) => (b.mm > a.mm ? b : a), perLamp[0] ?? { id: '', mm: 0 });
  const nearest = perLamp.reduce((a, b) => (b.mm < a.mm ? b : a), perLamp[0] ?? { id: '', mm: 0 });
  if (farthest.mm - nearest.mm > 400) {
    out.push(
      `${farthest.id} is ${inMm(farthest.mm - nearest.mm)} further from the board than ${nearest.id}. Does the vehicle stand square, or is one distance mistyped?`,
    );
  }
  for (const lamp of job.lamps) {
    const mm = job.file.shots
      .filter((shot) => shot.lamp === lamp.id && shot.distance !== undefined)
      .map((shot) => typedMm(shot.distance!))
      .sort((a, b) => a - b);
    for (let i = 1; i < mm.length; i++) {
      const gap = mm[i]! - mm[i - 1]!;
      if (gap > 20 && gap < 0.15 * mm[i]!) {
        out.push(
          `${lamp.title}: ${inMm(mm[i - 1]!)} and ${inMm(mm[i]!)} are hardly two distances. A second one tells something from about a third nearer on.`,
        );
      }
    }
  }
  return out;
}

/** The lamps' marks on the board should lie as the lamps do. */
function markOddities(job: UncheckedJob): readonly string[] {
  const { method } = job.file.bay;
  if (method.kind !== 'nose-to-board') return [];
  const at = (lamp: JobLamp) => {
    const mark = own(method.lampMarks, lamp.id);
    return mark === undefined ? null : { X: typedMm(mark.X), Y: typedMm(mark.Y) };
  };
  const out: string[] = [];
  for (const left of job.lamps.filter((lamp) => lamp.side === 'left')) {
    for (const right of job.lamps.filter(
      (lamp) => lamp.side === 'right' && lamp.function === left.function,
    )) {
      const l = at(left);
      const r = at(right);
      if (l === null || r === null) continue;
      if (l.X >= r.X) {
        out.push(
          `The mark of ${left.title} (X ${inMm(l.X)}) is not left of that of ${right.title} (X ${inMm(r.X)}), seen from the vehicle.`,
        );
      }
      out.push(...spacingOddity(job, left, right, r.X - l.X));
      if (Math.abs(l.Y - r.Y) > 25) {
        out.push(
          `The marks of ${left.title} and ${right.title} differ by ${inMm(Math.abs(l.Y - r.Y))} in height: is the floor level across, and is the marks' line?`,
        );
      }
    }
  }
  return out;
}

/** Marks made with the nose at the board lie as far apart as the lamps themselves. */
function spacingOddity(job: UncheckedJob, left: JobLamp, right: JobLamp, marksMm: number): readonly string[] {
  const ends = [left, right].map((lamp) => rightOf(job, job.lamps.indexOf(lamp)));
  if (ends[0] == null || ends[1] == null || marksMm <= 0) return [];
  const lampsMm = ends[1] - ends[0];
  return Math.abs(marksMm - lampsMm) > 40
    ? [
        `The marks of ${left.title} and ${right.title} are ${inMm(marksMm)} apart, the lamps ${inMm(lampsMm)}. Which was measured wrong?`,
      ]
    : [];
}
