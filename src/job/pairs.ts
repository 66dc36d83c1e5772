import { comparePair } from '../core/pair/compare-pair.ts';
import type { Job } from './job.ts';
import type { PairResult, ReadShot, ShotResult } from './result.ts';

/**
 * Left against right for every function that has one of each, from the last shot read of each lamp. What the bay does to
 * both is gone from the difference.
 */
export function pairsOf(job: Pick<Job, 'lamps'>, results: readonly ShotResult[]): readonly PairResult[] {
  const lastOf = (lamp: string): ReadShot | null =>
    results.findLast((r): r is ReadShot => r.state === 'read' && r.lamp === lamp) ?? null;
  const pairs: PairResult[] = [];
  for (const left of job.lamps.filter((lamp) => lamp.side === 'left')) {
    for (const right of job.lamps.filter(
      (lamp) => lamp.side === 'right' && lamp.function === left.function,
    )) {
      const l = lastOf(left.id);
      const r = lastOf(right.id);
      if (l === null || r === null) continue;
      const { dropDifferencePct, offsetDifferencePct, remarks } = comparePair(aimed(l), aimed(r));
      pairs.push({ left: left.id, right: right.id, dropDifferencePct, offsetDifferencePct, remarks });
    }
  }
  return pairs;
}

/** A main beam is compared by its hot spot. */
function aimed(shot: ReadShot): Parameters<typeof comparePair>[0] {
  if (shot.dropPct !== null) return shot;
  return {
    dropPct: shot.hotSpot?.dropPct ?? null,
    offsetPct: shot.hotSpot?.offsetPct ?? null,
    tiltDeg: null,
  };
}
