import type { Verdict } from '../../core/rules/verdict.ts';
import type { Job } from '../../job/job.ts';
import type { ReadShot, UnreadShot } from '../../job/result.ts';
import {
  dropLabel,
  dropLine,
  farLine,
  lampTitle,
  noElbowLine,
  offsetLine,
  tapeLine,
  targetLine,
  voiceOf,
} from '../summary.ts';
import { groupHeadline, verdictGroups } from '../verdict-groups.ts';
import { diamond, INK, letters } from './draw.ts';
import { PAGE_WIDTH } from './frame.ts';
import { type Lettering, n, wrap } from './lettering.ts';

const MARGIN = 56;
const HEAD = 62;
const BODY = 48;
const SMALL = 36;

interface Row {
  readonly text: string;
  readonly size: number;
  readonly bold: boolean;
  readonly fill: string;
  /** Space above, page units. */
  readonly gap: number;
  readonly indent: number;
  readonly sign: string | null;
}

/** The strip under the pictures: value ± U, the verdicts and what to do. Returns its markup and height. */
export function drawLegend(
  lettering: Lettering,
  top: number,
  job: Job,
  shot: ReadShot | UnreadShot,
): { readonly markup: string; readonly height: number } {
  const rows = shot.state === 'read' ? readRows(lettering, job, shot) : unreadRows(job, shot);
  let y = top + 34;
  let markup = '';
  for (const row of rows) {
    const width = PAGE_WIDTH - 2 * MARGIN - row.indent;
    const lines = wrap(lettering, row.text, width, row.size, row.bold ? 'bold' : 'regular');
    y += row.gap;
    lines.forEach((line, i) => {
      y += row.size * (i === 0 ? 1 : 1.25);
      if (i === 0 && row.sign !== null)
        markup += row.sign.replaceAll('@', `${n(MARGIN + 28)} ${n(y - BODY * 0.34)}`);
      markup += letters(
        lettering,
        line,
        { px: MARGIN + row.indent, py: y },
        { size: row.size, weight: row.bold ? 'bold' : 'regular', fill: row.fill },
      );
    });
    y += row.size * 0.25;
  }
  const height = y - top + 44;
  return { markup, height };
}

/** The letter that the tape's bracket bears; '@' stands for the place. */
function letterBadge(lettering: Lettering, letter: string): string {
  const at = { px: 72, py: 14 };
  const style = { size: 42, weight: 'bold', fill: INK.tape, anchor: 'middle' } as const;
  return `<g transform="translate(@)"><circle cx="72" r="27" fill="${INK.night}" stroke="${INK.tape}" stroke-width="5"/>${letters(lettering, letter, at, style)}</g>`;
}

function row(text: string, more: Partial<Row> = {}): Row {
  return { text, size: BODY, bold: false, fill: INK.paper, gap: 12, indent: 0, sign: null, ...more };
}

function readRows(lettering: Lettering, job: Job, shot: ReadShot): Row[] {
  const voice = voiceOf(job);
  const rows: Row[] = [row(lampTitle(job, shot), { size: HEAD, bold: true, fill: INK.soft, gap: 0 })];
  const drop = dropLine(shot);
  const isEdge = shot.dropPct !== null;
  if (drop !== null)
    rows.push(
      row(`${dropLabel(shot)} ${drop}`, {
        size: 76,
        bold: true,
        fill: isEdge ? INK.edge : INK.hotSpot,
        gap: 8,
      }),
    );
  const tape = tapeLine(shot, voice);
  if (tape !== null) rows.push(row(tape));
  const side = offsetLine(shot);
  const none = noElbowLine(shot);
  if (side !== null) rows.push(row(`The ${side.what} is ${side.text}.`));
  else if (none !== null) rows.push(row(`Elbow: ${none}.`));
  const far = farLine(shot);
  if (far !== null) rows.push(row(`Seen from far, as at an inspection: ${far}.`, { fill: INK.soft }));
  for (const group of verdictGroups(job, shot))
    rows.push(
      row(groupHeadline(group), {
        bold: true,
        fill: signInk(group.gravest),
        gap: 26,
        indent: 156,
        sign: signMark(group.gravest) + letterBadge(lettering, group.letter),
      }),
    );
  const target = targetLine(shot, voice);
  if (target !== null) rows.push(row(target, { bold: true, fill: INK.target, gap: 28 }));
  rows.push(small(job));
  return rows;
}

function unreadRows(job: Job, shot: UnreadShot): Row[] {
  return [
    row(lampTitle(job, shot), { size: HEAD, bold: true, fill: INK.soft, gap: 0 }),
    row('Could not be read', { size: 76, bold: true, fill: INK.over, gap: 8 }),
    row(shot.detail),
    row(shot.advice, { bold: true, gap: 20 }),
    small(job),
  ];
}

function small(job: Job): Row {
  return row(
    `${job.rendered ? 'DEMONSTRATION: drawn by a program, no real lamp. ' : ''}A reading, not a certificate.`,
    { size: SMALL, fill: INK.soft, gap: 30 },
  );
}

function signInk(verdict: Verdict): string {
  if (verdict.kind === 'within') return INK.within;
  if (verdict.kind === 'over') return INK.over;
  return verdict.kind === 'too-close' ? INK.close : INK.soft;
}

/** A sign of its own form for each verdict, so that colour is never needed; '@' stands for the place. */
function signMark(verdict: Verdict): string {
  const ink = signInk(verdict);
  const o = { px: 0, py: 0 };
  const group = (inner: string): string => `<g transform="translate(@)">${inner}</g>`;
  const stroke = `fill="none" stroke="${INK.panel}" stroke-width="7" stroke-linecap="round" stroke-linejoin="round"`;
  switch (verdict.kind) {
    case 'within':
      return group(`<circle r="26" fill="${ink}"/><path d="M-12 1L-3 10L13 -9" ${stroke}/>`);
    case 'over':
      return group(
        `<path d="M0 -28L30 24H-30Z" fill="${ink}" stroke="${ink}" stroke-width="6" stroke-linejoin="round"/><path d="M0 -11V6M0 16.5v0.1" ${stroke}/>`,
      );
    case 'too-close':
      return group(
        `<path d="${diamond(o, 32)}" fill="${ink}"/><path d="M-8 -8A8.5 8.5 0 1 1 3 0Q0 2 0 6M0 15.5v0.1" ${stroke}/>`,
      );
    case 'no-verdict':
      return group(
        `<rect x="-25" y="-25" width="50" height="50" rx="10" fill="${ink}"/><path d="M-11 0H11" ${stroke}/>`,
      );
  }
}
