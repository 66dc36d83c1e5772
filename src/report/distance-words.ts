/** One lamp on boards at several distances, in words. */
import { expandedUncertainty } from '../core/uncertainty/estimate.ts';
import type { Job } from '../job/job.ts';
import type { DistancesResult } from '../job/result.ts';
import { acrossRoom, dropWithU } from './format.ts';
import { lampTitle, voiceOf } from './summary.ts';
import { verdictGroups } from './verdict-groups.ts';

export interface DistanceLine {
  readonly label: string;
  readonly text: string;
}

/** What the boards say together, line by line; the verdicts are `verdictGroups(job, distances)`. */
export function distanceLines(job: Job, distances: DistancesResult): readonly DistanceLine[] {
  const { units } = voiceOf(job);
  const { far } = distances;
  const boards = distances.distancesMm.map((mm) => acrossRoom(mm, units)).join(', ');
  const lines: DistanceLine[] = [
    { label: 'Lamp', text: lampTitle(job, distances) },
    { label: 'Boards at', text: boards },
    {
      label: 'From far',
      text: `${dropWithU(far.farDropPct.value, expandedUncertainty(far.farDropPct))}: what an inspection's instrument may see. The boards together tell how much the lamp's own size moves the edge; one board alone can't.`,
    },
  ];
  distances.remarks.forEach((r, i) => {
    lines.push({ label: i === 0 ? 'Remark' : '', text: r });
  });
  if (distances.verdicts.length === 0)
    lines.push({ label: '', text: 'No scheme that speaks of far away was chosen, so there is no verdict.' });
  return lines;
}

export const distanceGroups = (job: Job, distances: DistancesResult) => verdictGroups(job, distances);
