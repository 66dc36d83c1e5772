/** Two lamps of one function compared, in words. */
import { type Estimate, expandedUncertainty } from '../core/uncertainty/estimate.ts';
import type { Job } from '../job/job.ts';
import type { JobResult, PairResult } from '../job/result.ts';
import { roundWithU } from './format.ts';
import { lampTitle } from './summary.ts';

export interface PairLine {
  readonly label: string;
  readonly text: string;
}

/** What the comparison says, line by line. The bay's shared errors have cancelled: the words say so once. */
export function pairLines(job: Job, result: JobResult, pair: PairResult): readonly PairLine[] {
  const name = (id: string): string => lampTitle(job, { lamp: lampIdOf(result, id) }).toLowerCase();
  const lines: PairLine[] = [{ label: 'Lamps', text: `${name(pair.left)}, ${name(pair.right)}` }];
  if (pair.dropDifferencePct !== null)
    lines.push({
      label: 'Height',
      text: difference(pair.dropDifferencePct, 'lower on the left', 'higher on the left', 'equally high'),
    });
  if (pair.offsetDifferencePct !== null)
    lines.push({
      label: 'Sideways',
      text: difference(
        pair.offsetDifferencePct,
        'the left one aims further right',
        'the left one aims further left',
        'equally far to the side',
      ),
    });
  pair.remarks.forEach((r, i) => {
    lines.push({ label: i === 0 ? 'Remark' : '', text: r });
  });
  lines.push({
    label: '',
    text: "What both photos share (floor, axis, camera) has cancelled, so this is surer than either lamp's own reading.",
  });
  return lines;
}

/** Pairs name lamps; older results named shots. */
function lampIdOf(result: JobResult, id: string): string {
  return result.shots.find((s) => s.shot === id)?.lamp ?? id;
}

function difference(d: Estimate, more: string, less: string, same: string): string {
  const r = roundWithU(d.value, expandedUncertainty(d));
  const figure = `${r.value.replace('-', '')} ± ${r.U} %`;
  if (Math.abs(r.number) <= Number(r.U)) return `${figure}: ${same} as far as can be told`;
  return `${figure}: ${r.number > 0 ? more : less}`;
}
