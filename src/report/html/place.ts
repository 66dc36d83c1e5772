import type { Job, JobLamp, Measured } from '../../job/job.ts';
import type { JobResult } from '../../job/result.ts';
import { acrossRoom, onTape, onTapeWithU, type Units } from '../format.ts';
import { lampTitle } from '../summary.ts';
import { sentence } from '../text.ts';
import { lampWord, sideWord } from '../words.ts';
import { el, esc } from './markup.ts';

const METHODS = {
  'nose-to-board':
    'nose to the board, lamp centres marked on it, then rolled straight back on the same plane',
  'level-datum': 'all heights counted from one level line',
  floor: 'the floor taken as one plane',
} as const;

/** Where it was measured: distance, method, board. */
export function baySection(job: Job, result: JobResult): string {
  const distances = result.shots.flatMap((s) => (s.state === 'read' ? [s.view.distanceMm] : []));
  const facts: [string, string][] = [];
  if (distances.length > 0) {
    const near = acrossRoom(Math.min(...distances), job.units);
    const far = acrossRoom(Math.max(...distances), job.units);
    facts.push(['Lamp to board', near === far ? near : `${near} to ${far}`]);
  }
  facts.push(['Level and axis', METHODS[job.file.bay.method.kind]]);
  const { sheets, crosses, surface } = job.board;
  const marks = [
    sheets.length > 0 ? `${sheets.length} printed sheet${sheets.length === 1 ? '' : 's'}` : null,
    crosses.length > 0
      ? `${crosses.length} cross${crosses.length === 1 ? '' : 'es'} of tape or pencil`
      : null,
    surface === 'unknown' ? null : `${surface} surface`,
  ].filter((m) => m !== null);
  if (marks.length > 0) facts.push(['Board', marks.join(', ')]);
  facts.push(['Load', job.file.vehicle.load]);
  facts.push(['Traffic keeps to the', job.trafficSide]);
  const leaves = [...new Set(job.shots.flatMap((s) => s.geometry.leavesOut))];
  return `<dl>${facts.map(([a, b]) => el('dt', a) + el('dd', b)).join('')}</dl>${
    leaves.length === 0
      ? ''
      : el('p', `What this way of measuring leaves out: ${leaves.map(sentence).join(' ')}`, 'class="note"')
  }`;
}

/** The lamps as they were typed in. */
export function lampTable(job: Job): string {
  const rows = job.lamps.map((lamp) => {
    const cells: [string, string][] = [
      ['Lamp', lampTitle(job, { lamp: lamp.id })],
      ['What', `${sideWord(lamp.side, job)} ${lampWord(lamp.function, job.words)}`],
      ['Centre height', measured(lamp.centreHeight, job.units)],
      ['Lit part', litPart(lamp, job.units)],
      ['Lens says', lamp.marking === 'unknown' ? 'not told' : lamp.marking.replace('-', ' ')],
    ];
    return `<tr>${cells.map(([head, text]) => `<td data-head="${head}">${esc(text)}</td>`).join('')}</tr>`;
  });
  return `<table class="stack"><thead><tr><th>Lamp</th><th>What</th><th>Centre height</th><th>Lit part</th><th>Lens says</th></tr></thead><tbody>${rows.join('')}</tbody></table>`;
}

function measured(m: Measured | null, units: Units): string {
  return m === null ? 'not needed' : onTapeWithU(m.mm, 2 * m.uMm, units);
}

function litPart(lamp: JobLamp, units: Units): string {
  const high = lamp.litHeight === null ? null : `${onTape(lamp.litHeight.mm, units)} high`;
  const wide = lamp.litWidth === null ? null : `${onTape(lamp.litWidth.mm, units)} wide`;
  return [high, wide].filter((t) => t !== null).join(', ') || 'not told';
}
