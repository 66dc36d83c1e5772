/** The whole report as one HTML file: no script, nothing fetched, pictures inside. Ordered by what was done. */
import type { Job } from '../../job/job.ts';
import type { JobResult } from '../../job/result.ts';
import { cautionsFor, NO_CERTIFICATE, RENDERED } from '../cautions.ts';
import { distanceLines } from '../distance-words.ts';
import { pairLines } from '../pair-words.ts';
import { dropLine, lampTitle } from '../summary.ts';
import { askedWords, rowOf, seenWords } from '../words.ts';
import { anchor, el, esc } from './markup.ts';
import { baySection, lampTable } from './place.ts';
import { readingSection, verdictList } from './reading.ts';
import { STYLE } from './style.ts';

/** What goes on the page besides job and result. */
export interface PageExtras {
  /** Inline SVG with its photographs inside, per shot id. */
  readonly pictures: ReadonlyMap<string, string>;
  /** When the report was made, in the person's words; null leaves it out. */
  readonly made: string | null;
}

/** The report as HTML. */
export function htmlReport(job: Job, result: JobResult, extras: PageExtras): string {
  const title = result.title;
  const body = [
    el('h1', title),
    el(
      'p',
      `Beam aim read from photographs${extras.made === null ? '' : `, ${extras.made}`}`,
      'class="lead"',
    ),
    result.rendered ? el('p', RENDERED, 'class="demo"') : '',
    glance(job, result),
    el('p', NO_CERTIFICATE, 'class="plain"'),
    section('The place', baySection(job, result)),
    section('The lamps', lampTable(job)),
    section(
      'The readings',
      result.shots.map((s) => readingSection(job, s, extras.pictures.get(s.shot) ?? '')).join(''),
    ),
    result.pairs.length === 0 ? '' : section('Left and right compared', pairs(job, result)),
    (result.distances ?? []).length === 0
      ? ''
      : section('Several distances together', distances(job, result)),
    doubts(job, result),
    section('Take care', cautions(job, result)),
    section('Where the figures come from', sources(job, result)),
    `<footer>${el('p', 'Made by Dipcard on the computer where the photographs are; nothing was sent anywhere. ± is the doubt that 95 of 100 readings stay within.')}</footer>`,
  ].join('\n');
  return `<!doctype html>
<html lang="${job.words === 'us' ? 'en-US' : 'en-GB'}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<title>${esc(`${title}: beam aim`)}</title><style>${STYLE}</style></head>
<body><main>
${body}
</main></body></html>
`;
}

function section(title: string, inner: string): string {
  return `<section>${el('h2', title)}${inner}</section>`;
}

/** One line per shot: lamp, figure, verdicts; each leads to its reading. */
function glance(job: Job, result: JobResult): string {
  const items = result.shots.map((shot) => {
    const figure = shot.state === 'read' ? (dropLine(shot) ?? 'no drop found') : 'could not be read';
    const verdicts =
      shot.state === 'read' ? verdictList(job, shot, false) : `<span class="over">${esc(shot.detail)}</span>`;
    return `<li><a href="#${anchor(shot.shot)}"><span>${esc(lampTitle(job, shot))}${el('small', `photo ${shot.shot}`)}</span><b>${esc(figure)}</b>${verdicts}</a></li>`;
  });
  return `<ul class="glance">${items.join('')}</ul>`;
}

function pairs(job: Job, result: JobResult): string {
  return result.pairs
    .map((pair) => {
      const lines = pairLines(job, result, pair);
      const facts = lines.filter((l) => l.label !== '' && l.label !== 'Remark');
      const rest = lines.filter((l) => l.label === '' || l.label === 'Remark');
      return `<div><dl>${facts.map((l) => el('dt', l.label) + el('dd', l.text)).join('')}</dl>${rest.map((l) => el('p', l.text)).join('')}</div>`;
    })
    .join('');
}

function distances(job: Job, result: JobResult): string {
  return (result.distances ?? [])
    .map((d) => {
      const lines = distanceLines(job, d);
      const facts = lines.filter((l) => l.label !== '' && l.label !== 'Remark');
      const rest = lines.filter((l) => l.label === '' || l.label === 'Remark');
      return `<div><dl>${facts.map((l) => el('dt', l.label) + el('dd', l.text)).join('')}</dl>${rest.map((l) => el('p', l.text)).join('')}${verdictList(job, d, true)}</div>`;
    })
    .join('');
}

function doubts(job: Job, result: JobResult): string {
  const all = [...job.oddities, ...result.warnings];
  if (all.length === 0) return '';
  return section('Worth a second look', `<ul>${all.map((w) => el('li', w)).join('')}</ul>`);
}

function cautions(job: Job, result: JobResult): string {
  const adjusting = result.shots.some(
    (s) => s.state === 'read' && s.turns !== null && s.turns.kind !== 'leave',
  );
  const list = cautionsFor({ words: job.words, motorcycle: job.vehicleKind === 'motorcycle', adjusting });
  return `<ul class="cautions">${list.map((c) => el('li', c)).join('')}</ul>`;
}

function sources(job: Job, result: JobResult): string {
  const seen = new Set<string>();
  const rows: string[] = [];
  for (const shot of result.shots) {
    if (shot.state !== 'read') continue;
    for (const { scheme, verdict } of shot.verdicts) {
      const row = rowOf(job.schemes, scheme, verdict.row);
      if (row === null || seen.has(row.id)) continue;
      seen.add(row.id);
      const cells: [string, string][] = [
        ['Row', row.id],
        ['Asks for', askedWords(row, job.units)],
        [
          'Source',
          `${row.source.what}, ${row.source.edition}${row.source.where === null ? '' : `, ${row.source.where}`}`,
        ],
        ['How sure', seenWords(row.source.seen)],
      ];
      rows.push(
        `<tr>${cells.map(([head, text]) => `<td data-head="${head}">${esc(text)}</td>`).join('')}</tr>`,
      );
    }
  }
  if (rows.length === 0) return el('p', 'No scheme was used.');
  return `<table class="stack"><thead><tr><th>Row</th><th>Asks for</th><th>Source</th><th>How sure</th></tr></thead><tbody>${rows.join('')}</tbody></table>`;
}
