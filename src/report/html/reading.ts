import { expandedUncertainty } from '../../core/uncertainty/estimate.ts';
import type { Job } from '../../job/job.ts';
import type { ReadShot, ShotResult, UnreadShot } from '../../job/result.ts';
import { AT_THE_SCREWS } from '../cautions.ts';
import { acrossRoom, dropAlso, limitNumber, tiltWithU } from '../format.ts';
import {
  aimLine,
  dropLabel,
  dropLine,
  exposureLine,
  farLine,
  hotSpotLine,
  lampTitle,
  mayStay,
  noElbowLine,
  ONLY_IF_WANTED,
  offsetLine,
  sideNote,
  sidewaysTargetLine,
  tapeLine,
  targetLine,
  voiceOf,
} from '../summary.ts';
import { sentence } from '../text.ts';
import { turnWords } from '../turn-words.ts';
import { askedLines, groupHeadline, verdictGroups } from '../verdict-groups.ts';
import { verdictDetail } from '../words.ts';
import { budgetTable } from './budget.ts';
import { anchor, el, esc, verdictIcon } from './markup.ts';

/** One shot: its picture beside what was read, judged and is to be done. `picture` is inline SVG, or '' for none. */
export function readingSection(job: Job, shot: ShotResult, picture: string): string {
  const note = sideNote(job, shot);
  const title = `${lampTitle(job, shot)}${note === null ? '' : ` (${note})`}`;
  const figure = picture === '' ? '' : `<figure>${picture}</figure>`;
  const read = shot.state === 'read' ? readBody(job, shot) : { said: unreadBody(shot), more: [] };
  const more = read.more.filter((m) => m !== '').map((m) => `<div>${m}</div>`);
  return `<article class="reading" id="${anchor(shot.shot)}">${figure}<div>${el('h3', title)}${read.said}</div>${more.join('')}</article>`;
}

/** `said` stands beside the picture; each of `more` is a block below. */
function readBody(job: Job, shot: ReadShot): { readonly said: string; readonly more: readonly string[] } {
  const voice = voiceOf(job);
  const reading = shot.dropPct ?? shot.hotSpot?.dropPct ?? null;
  const drop = dropLine(shot);
  const facts: [string, string][] = [];
  const add = (label: string, text: string | null): void => {
    if (text !== null) facts.push([label, text]);
  };
  if (reading !== null) add('In other terms', dropAlso(reading.value, voice.units));
  const side = offsetLine(shot);
  if (side !== null) add(side.what === 'elbow' ? 'Elbow' : 'Sideways', side.text);
  else add('Elbow', noElbowLine(shot));
  add('Hot spot', hotSpotLine(shot));
  if (shot.tiltDeg !== null) add('Tilt', tiltWithU(shot.tiltDeg.value, expandedUncertainty(shot.tiltDeg)));
  const far = farLine(shot);
  if (far !== null)
    add(
      'From far',
      `${far}: what an inspection's instrument may see. A board ${acrossRoom(shot.view.distanceMm, voice.units)} away can't say more.`,
    );
  const what = dropLabel(shot);
  const notes = [...shot.warnings, ...shot.beam.signs.map((s) => s.text)];
  const said = [
    drop === null
      ? el('p', 'Drop: not found', 'class="figure-big"')
      : `<p class="figure-big">${what} <span>${esc(drop)}</span></p>`,
    el('p', tapeLine(shot, voice)),
    facts.length === 0 ? '' : `<dl>${facts.map(([a, b]) => el('dt', a) + el('dd', b)).join('')}</dl>`,
    verdictList(job, shot, true),
  ].join('');
  return {
    said,
    more: [
      actions(job, shot) + noticed(notes) + el('p', photoLine(shot), 'class="note"'),
      reading === null ? '' : budgetTable(reading, '%'),
    ],
  };
}

/** The verdicts of a shot; `full` adds what was asked for and what would settle it. */
export function verdictList(job: Job, shot: Pick<ReadShot, 'verdicts'>, full: boolean): string {
  if (shot.verdicts.length === 0) return full ? el('p', 'No scheme was chosen, so there is no verdict.') : '';
  const items = verdictGroups(job, shot).map((group) => {
    const detail = verdictDetail(group.gravest);
    const more = full
      ? askedLines(group, job.units, job.words)
          .map((line) => el('small', line))
          .join('') + el('small', detail === null ? null : sentence(detail))
      : '';
    const letter = full ? `${group.letter}: ` : '';
    return `<li class="verdict ${group.gravest.kind}">${verdictIcon(group.gravest)}<div><strong>${esc(`${letter}${groupHeadline(group)}`)}</strong>${more}</div></li>`;
  });
  return `<ul class="verdicts">${items.join('')}</ul>`;
}

function actions(job: Job, shot: ReadShot): string {
  const voice = voiceOf(job);
  const target = targetLine(shot, voice);
  const sideways = sidewaysTargetLine(shot, voice);
  const words = shot.turns === null ? null : turnWords(shot.turns);
  const why = aimLine(shot);
  if (target === null && words === null && why === null) return '';
  const steps =
    words === null || words.steps.length === 0
      ? ''
      : `<ol class="steps">${words.steps.map((s) => el('li', s)).join('')}</ol>`;
  return `<h4>What to do</h4><div class="do">${el('strong', target)}${el('p', sideways)}${el('p', why === null ? null : sentence(why), 'class="note"')}${steps !== '' && mayStay(shot) ? el('p', ONLY_IF_WANTED) : ''}${steps}${
    words === null ? '' : el('p', words.expect) + words.notes.map((n) => el('p', sentence(n))).join('')
  }</div>${steps === '' ? '' : el('p', AT_THE_SCREWS, 'class="care"')}`;
}

function photoLine(shot: ReadShot): string {
  const parts = [
    `Photo ${shot.shot}`,
    exposureLine(shot),
    `${shot.registration.points.filter((p) => p.used).length} points on the board, ${limitNumber(Math.round(shot.registration.rmsMm * 10) / 10)} mm from where they should be${shot.registration.check === 'unchecked' ? ', with nothing to check them against' : ''}`,
  ];
  return parts.filter((p) => p !== null).join(' · ');
}

function noticed(notes: readonly string[]): string {
  return notes.length === 0 ? '' : `<h4>Noticed</h4>${notes.map((n) => el('p', sentence(n))).join('')}`;
}

function unreadBody(shot: UnreadShot): string {
  return [
    el('p', 'Could not be read', 'class="figure-big over"'),
    el('p', sentence(shot.detail)),
    `<h4>Try this</h4><div class="do">${el('strong', sentence(shot.advice))}</div>`,
    noticed((shot.signs ?? []).map((s) => s.text)),
    el('p', [`Photo ${shot.shot}`, exposureLine(shot)].filter((p) => p !== null).join(' · '), 'class="note"'),
  ].join('');
}
