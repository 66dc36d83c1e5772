/** The bay plan for a terminal: plain text, 80 columns. */
import type { BayPlan, OpenPlace, PlannedPlace } from '../core/bay-plan/plan.ts';
import {
  bayCautions,
  budgetLines,
  gettingLines,
  recommendedName,
  secondWords,
  slipLines,
  whyWords,
} from './bay-plan-advice.ts';
import type { BayRequest } from './bay-plan-facts.ts';
import { proofLines } from './bay-plan-proof.ts';
import { preparation } from './bay-plan-steps.ts';
import {
  atLeast,
  axisWords,
  hindranceWords,
  inDialect,
  lackLines,
  levelWords,
  pct,
  placeName,
  placeShort,
  provenWord,
  roughly,
} from './bay-plan-words.ts';
import { NO_CERTIFICATE } from './cautions.ts';
import { acrossRoom, onTape } from './format.ts';
import { COLUMNS, field, heading, wrapColumns } from './terminal.ts';

/** The plan as text ending in a newline. */
export function bayText(plan: BayPlan, request: BayRequest): string {
  const lines: string[] = [
    '='.repeat(COLUMNS),
    ...wrapColumns(`Bay plan: ${request.title}`),
    '='.repeat(COLUMNS),
  ];
  const say = (...more: readonly string[]): void => void lines.push(...more);
  const best = plan.recommended;
  say(...field('Take', recommendedName(plan, request)), ...field('Why', whyWords(plan, request)));
  say('', ...placeTable(plan, request));
  if (best !== null) {
    say('', ...heading('At the place to take'), ...boardLines(best, request));
    for (const line of proofLines(best, request)) say(...wrapColumns(line, COLUMNS, '  ', '        '));
    say('', ...heading('Where the doubt of the drop comes from', 'k = 1'), ...budgetBlock(best));
    say('', ...methodTable(best, request));
    for (const line of gettingLines(plan, best)) say(...wrapColumns(line, COLUMNS, '  ', '  '));
    const second = secondWords(best, request);
    if (second !== null)
      say('', ...heading('A second distance'), ...wrapColumns(second, COLUMNS, '  ', '  '));
    say(
      '',
      ...heading('What one slip costs there'),
      ...slipLines(plan, best, request).flatMap((l) => field(l.cost, l.what, 8)),
    );
  }
  say('', ...heading('What the others lack'), ...otherLines(plan, request));
  if (best !== null) {
    say('', ...heading('In this order'));
    preparation(plan, best, request).forEach((step, i) => {
      say(...wrapColumns(step, COLUMNS, `  ${i + 1}. `, '     '));
    });
  }
  if (request.assumed.length > 0) {
    say('', ...heading('Taken as usual, because it was not given'));
    for (const a of request.assumed) say(...wrapColumns(a, COLUMNS, '  - ', '    '));
  }
  say('', ...heading('Take care'));
  for (const c of bayCautions(plan, request)) say(...wrapColumns(c, COLUMNS, '  - ', '    '));
  say('', ...wrapColumns(NO_CERTIFICATE));
  return inDialect(`${lines.join('\n')}\n`, request.words);
}

/** Widths of the table's columns after the name. */
const WIDTHS = [9, 9, 10, 9, 10, 10];

function placeTable(plan: BayPlan, request: BayRequest): string[] {
  const row = (cells: readonly string[]): string =>
    `  ${cells[0]!.padEnd(20)}${cells
      .slice(1)
      .map((c, i) => c.padStart(WIDTHS[i]!))
      .join('')}`.trimEnd();
  return [
    ...heading('Places', 'doubt: ±, 95 of 100'),
    row(['', 'lamp to', 'drop', 'sideways', 'drop', 'sideways', 'perfect']),
    row(['', 'board', 'on board', 'on board', 'far', 'far', 'lamp: OK?']),
    ...plan.places.map((p) => row(placeCells(p, plan, request))),
  ];
}

function placeCells(p: PlannedPlace, plan: BayPlan, { units }: BayRequest): string[] {
  const name = `${p === plan.recommended ? '* ' : '  '}${placeShort(p.kind)}`;
  if (p.state === 'closed') return [name, '-', '-', '-', '-', '-', 'closed'];
  return [
    name,
    acrossRoom(p.forecast.distanceMm, units),
    pct(p.dropU),
    pct(p.offsetU),
    pct(p.farDropU),
    pct(p.farOffsetU),
    provenWord(p),
  ];
}

function boardLines(best: OpenPlace, { units, facts }: BayRequest): string[] {
  const { board } = best.forecast;
  const one =
    facts.lamps.length > 1
      ? `, or one card ${atLeast(board.acrossOneMm, units)} wide moved from lamp to lamp`
      : '';
  return [
    ...field(
      'Board',
      `${atLeast(board.acrossAllMm, units)} wide${one}; from ${roughly(board.bottomMm, units)} to ${atLeast(board.topMm, units)} over its foot.`,
    ),
    ...field(
      'Edge',
      `should fall between ${roughly(board.edgeMm.lowest, units)} and ${roughly(board.edgeMm.highest, units)} over the board's foot; the lamp's centre stands straight ahead at ${roughly(board.centreMm, units)}.`,
    ),
  ];
}

const BAR = 14;

function budgetBlock(best: OpenPlace): string[] {
  const worst = best.forecast.lamps.reduce((a, b) => (b.dropU > a.dropU ? b : a));
  const lines = budgetLines(worst.dropPct);
  const most = Math.max(...lines.map((l) => l.uPct));
  const bar = (share: number): string => '#'.repeat(Math.round(BAR * share)).padEnd(BAR + 2);
  return [
    ...lines.flatMap((l) =>
      wrapColumns(
        l.what,
        COLUMNS,
        `  ${pct(l.uPct).padEnd(8)}${bar(Math.max(1 / BAR, l.uPct / most))}`,
        ' '.repeat(12 + BAR),
      ),
    ),
    `  ${pct(worst.dropU / 2).padEnd(8)}${bar(0)}all together; doubled: ± ${pct(worst.dropU)}`,
  ];
}

function methodTable(best: OpenPlace, request: BayRequest): string[] {
  const { forecast: f } = best;
  const mm = (u: number): string => onTape((u * f.distanceMm) / 100, request.units);
  const row = (mark: boolean, name: string, u: number, note: string | null): string =>
    `  ${mark ? '* ' : '  '}${name.padEnd(32)}${pct(u).padStart(7)}${mm(u).padStart(10)}  ${note ?? ''}`.trimEnd();
  const leaves = (name: string, text: string): string[] =>
    wrapColumns(`${name}: ${text}`, COLUMNS, '    ', '      ');
  return [
    ...heading('Ways to carry the level there', 'doubt of the drop'),
    ...f.levels.map((l) =>
      row(l.method === f.level, levelWords(l.method).name, l.dropU, hindranceWords(l.hindrance)),
    ),
    ...f.levels
      .filter((l) => l.hindrance === null)
      .flatMap((l) => leaves(levelWords(l.method).name, levelWords(l.method).leaves)),
    '',
    ...heading('Ways to find straight ahead', 'doubt of the elbow'),
    ...f.axes.map((a) =>
      row(a.method === f.axis, axisWords(a.method).name, a.offsetU, hindranceWords(a.hindrance)),
    ),
    ...f.axes
      .filter((a) => a.hindrance === null)
      .flatMap((a) => leaves(axisWords(a.method).name, axisWords(a.method).leaves)),
  ];
}

function otherLines(plan: BayPlan, request: BayRequest): string[] {
  const own = plan.recommended === null ? [] : lackLines(plan.recommended, request);
  const others = plan.places.filter((p) => p !== plan.recommended);
  const lines: string[] = [];
  for (const p of others) {
    lines.push(`  ${placeName(p, request)}`);
    const lacks = lackLines(p, request);
    const more = lacks.length > 0 ? lacks : [nothingLacking(p, plan)];
    for (const l of more) lines.push(...wrapColumns(l, COLUMNS, '  - ', '    '));
  }
  if (own.length > 0) {
    lines.push(`  And what the place to take asks of you`);
    for (const l of own) lines.push(...wrapColumns(l, COLUMNS, '  - ', '    '));
  }
  return lines;
}

function nothingLacking(p: PlannedPlace, plan: BayPlan): string {
  const better = p.state === 'open' && plan.recommended !== null && p.farDropU < plan.recommended.farDropU;
  return better
    ? 'Nothing but the trouble of getting there: what stands far away would be surer than at the place to take.'
    : 'Nothing, but it is more trouble for no more certainty.';
}
