/** The whole report for a terminal: plain text, 80 columns, in the order of doing. */
import { budget, expandedUncertainty } from '../core/uncertainty/estimate.ts';
import { causeWords } from '../core/uncertainty/words.ts';
import type { Job } from '../job/job.ts';
import type {
  DistancesResult,
  JobResult,
  PairResult,
  ReadShot,
  ShotResult,
  UnreadShot,
} from '../job/result.ts';
import { AT_THE_SCREWS, cautionsFor, NO_CERTIFICATE, RENDERED } from './cautions.ts';
import { distanceGroups, distanceLines } from './distance-words.ts';
import { acrossRoom, dropAlso, share, tiltWithU } from './format.ts';
import { pairLines } from './pair-words.ts';
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
} from './summary.ts';
import { COLUMNS, field, heading, wrapColumns } from './terminal.ts';
import { turnWords } from './turn-words.ts';
import { askedLines, groupHeadline, verdictGroups } from './verdict-groups.ts';
import { rowOf, seenWords, verdictDetail, verdictSign } from './words.ts';

const VERDICT_INDENT = ' '.repeat(10);

/** The report of a job as text ending in a newline. */
export function textReport(job: Job, result: JobResult): string {
  const lines: string[] = [];
  const say = (...more: readonly string[]): void => void lines.push(...more);
  say('='.repeat(COLUMNS), ...wrapColumns(result.title), '='.repeat(COLUMNS));
  if (result.rendered) say(...wrapColumns(RENDERED));
  for (const shot of result.shots) say('', ...shotLines(job, shot));
  for (const pair of result.pairs) say('', ...pairBlock(job, result, pair));
  for (const d of result.distances ?? []) say('', ...distanceBlock(job, d));
  const warnings = [...job.oddities, ...result.warnings];
  if (warnings.length > 0) {
    say('', ...heading('Worth a second look'));
    for (const w of warnings) say(...wrapColumns(w, COLUMNS, '  - ', '    '));
  }
  say('', ...sourceLines(job, result), '', ...cautionLines(job, result));
  return `${lines.join('\n')}\n`;
}

/** One shot's block. */
export function shotLines(job: Job, shot: ShotResult): readonly string[] {
  const note = sideNote(job, shot);
  const title = `${lampTitle(job, shot)}${note === null ? '' : ` (${note})`}`.toUpperCase();
  return [
    ...heading(title, `photo: ${shot.shot}`),
    ...(shot.state === 'read' ? readLines(job, shot) : unreadLines(shot)),
  ];
}

function readLines(job: Job, shot: ReadShot): string[] {
  const voice = voiceOf(job);
  const lines: string[] = [];
  const add = (label: string, text: string | null): void => {
    if (text !== null) lines.push(...field(label, text));
  };
  const reading = shot.dropPct ?? shot.hotSpot?.dropPct ?? null;
  const drop = dropLine(shot);
  if (drop === null || reading === null) add('Drop', 'not found');
  else {
    add(dropLabel(shot), `${drop}  (${dropAlso(reading.value, voice.units)})`);
    add('', tapeLine(shot, voice));
  }
  const side = offsetLine(shot);
  if (side !== null) add(side.what === 'elbow' ? 'Elbow' : '', side.text);
  else add('Elbow', noElbowLine(shot));
  add('Hot spot', hotSpotLine(shot));
  if (shot.tiltDeg !== null) add('Tilt', tiltWithU(shot.tiltDeg.value, expandedUncertainty(shot.tiltDeg)));
  const far = farLine(shot);
  if (far !== null)
    add(
      'From far',
      `${far}: what an inspection's instrument may see. A board ${acrossRoom(shot.view.distanceMm, voice.units)} away can't say more.`,
    );
  lines.push('');
  for (const group of verdictGroups(job, shot)) {
    const first = `  ${group.letter} [${verdictSign(group.gravest)}] `;
    const say = (text: string, start = VERDICT_INDENT): void =>
      void lines.push(...wrapColumns(text, COLUMNS, start, VERDICT_INDENT));
    say(`${groupHeadline(group)}.`, first);
    for (const asked of askedLines(group, voice.units, voice.words)) say(asked);
    const detail = verdictDetail(group.gravest);
    if (detail !== null) say(sentence(detail));
  }
  if (shot.verdicts.length === 0) lines.push('  No scheme was chosen, so there is no verdict.');
  const actions = actionLines(job, shot);
  if (actions.length > 0) lines.push('', ...actions);
  const biggest = reading === null ? undefined : budget(reading)[0];
  if (biggest !== undefined && biggest.u > 0) {
    const words = causeWords(biggest.cause);
    lines.push(
      '',
      ...field('Doubt', `Largest part: ${words.what} (${share(biggest.share)}). ${words.shrink}`),
    );
  }
  for (const sign of [...shot.warnings, ...shot.beam.signs.map((s) => s.text)])
    lines.push(...field('Note', sentence(sign)));
  add('Photo', exposureLine(shot));
  return lines;
}

function actionLines(job: Job, shot: ReadShot): string[] {
  const voice = voiceOf(job);
  const lines: string[] = [];
  const target = targetLine(shot, voice);
  if (target !== null) lines.push(...field('Tape', target));
  const sideways = sidewaysTargetLine(shot, voice);
  if (sideways !== null) lines.push(...field('', sideways));
  const why = aimLine(shot);
  if (why !== null) lines.push(...field(target === null ? 'Tape' : '', sentence(why)));
  if (shot.turns !== null) {
    const words = turnWords(shot.turns);
    if (mayStay(shot) && words.steps.length > 0) lines.push(...field('', ONLY_IF_WANTED));
    words.steps.forEach((step, i) => {
      const label = i === 0 ? 'Turn' : '';
      lines.push(...wrapColumns(step, COLUMNS, `  ${label.padEnd(12)}${i + 1}. `, ' '.repeat(17)));
    });
    if (words.expect !== null) lines.push(...field('', words.expect));
    words.notes.forEach((n, i) => {
      lines.push(...field(words.steps.length === 0 && i === 0 ? 'Turn' : '', sentence(n)));
    });
    if (words.steps.length > 0) lines.push(...field('Care', AT_THE_SCREWS));
  }
  return lines;
}

function unreadLines(shot: UnreadShot): string[] {
  return [
    ...field('Not read', sentence(shot.detail)),
    ...field('Try this', sentence(shot.advice)),
    ...(shot.signs ?? []).flatMap((s) => field('Note', sentence(s.text))),
  ];
}

function pairBlock(job: Job, result: JobResult, pair: PairResult): string[] {
  return [
    ...heading('LEFT AND RIGHT COMPARED'),
    ...pairLines(job, result, pair).flatMap((l) => field(l.label, l.text)),
  ];
}

function distanceBlock(job: Job, distances: DistancesResult): string[] {
  return [
    ...heading('SEVERAL DISTANCES TOGETHER'),
    ...distanceLines(job, distances).flatMap((l) => field(l.label, l.text)),
    ...distanceGroups(job, distances).flatMap((group) =>
      wrapColumns(
        `${groupHeadline(group)}.`,
        COLUMNS,
        `  ${group.letter} [${verdictSign(group.gravest)}] `,
        VERDICT_INDENT,
      ),
    ),
  ];
}

/** The figures' sources: every row that a verdict used, once. */
function sourceLines(job: Job, result: JobResult): string[] {
  const used = new Set<string>();
  const lines = heading('Where the figures come from');
  for (const shot of result.shots) {
    if (shot.state !== 'read') continue;
    for (const { scheme, verdict } of shot.verdicts) {
      const row = rowOf(job.schemes, scheme, verdict.row);
      if (row === null || used.has(row.id)) continue;
      used.add(row.id);
      const { what, edition, seen } = row.source;
      lines.push(
        ...wrapColumns(`${row.id}: ${what}, ${edition} (${seenWords(seen)})`, COLUMNS, '  ', '    '),
      );
    }
  }
  return used.size === 0 ? [] : lines;
}

function cautionLines(job: Job, result: JobResult): string[] {
  const adjusting = result.shots.some(
    (s) => s.state === 'read' && s.turns !== null && s.turns.kind !== 'leave',
  );
  const cautions = cautionsFor({
    words: job.words,
    motorcycle: job.vehicleKind === 'motorcycle',
    adjusting,
  });
  return [
    ...heading('Take care'),
    ...cautions.flatMap((c) => wrapColumns(c, COLUMNS, '  - ', '    ')),
    '',
    ...wrapColumns(NO_CERTIFICATE),
  ];
}

/** First letter large, a full stop at the end. */
export function sentence(text: string): string {
  const t = text.trim();
  if (t === '') return t;
  return `${t.charAt(0).toUpperCase()}${t.slice(1)}${/[.!?)]$/.test(t) ? '' : '.'}`;
}
