/** The bay plan as one HTML file: no script, nothing fetched, drawings inside. */
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
import { bayExtent, drawPlace, inOrder } from './bay-plan-drawing.ts';
import type { BayRequest } from './bay-plan-facts.ts';
import { proofLines } from './bay-plan-proof.ts';
import { preparation } from './bay-plan-steps.ts';
import { baySvg } from './bay-plan-svg.ts';
import {
  atLeast,
  axisWords,
  hindranceWords,
  inDialect,
  lackLines,
  levelWords,
  pct,
  placeName,
  provenWord,
  roughly,
} from './bay-plan-words.ts';
import { NO_CERTIFICATE } from './cautions.ts';
import { acrossRoom, onTape } from './format.ts';
import { el, esc } from './html/markup.ts';
import { STYLE } from './html/style.ts';

const BAY_STYLE = `
:root{--beam:#f0cf72}
@media (prefers-color-scheme:dark){:root{--beam:#8a6f22}}
@media print{:root{--beam:#e8cd84}}
.places{display:grid;gap:16px;grid-template-columns:repeat(auto-fill,minmax(min(100%,400px),1fr));margin:1em 0 0;align-items:start}
.place{background:var(--card);border:1px solid var(--line);border-radius:12px;padding:14px 16px;break-inside:avoid}
.place.best{border:3px solid var(--target)}
.place h3{font-size:1.1rem}
.place .tag{display:inline-block;background:var(--target);color:var(--card);border-radius:6px;padding:.05em .6em;font-weight:650;font-size:.9rem;margin-bottom:.3em}
svg.bay{display:block;width:100%;height:auto;margin:.4em 0 .2em;font-family:inherit}
.place dl{grid-template-columns:1fr auto;gap:.1em 1em;margin:.4em 0 .2em}
.place dd{text-align:right;font-weight:600;white-space:nowrap}
.place ul{margin:.5em 0 0;padding-left:1.1em;font-size:.93rem;color:var(--soft)}.place li{margin:.2em 0}
.ways td:first-child{white-space:normal;font-weight:600}.ways td:nth-child(2),.ways td:nth-child(3){white-space:nowrap}
.ways tr.best td:first-child{color:var(--target)}.ways tr.off td{color:var(--soft)}
.legend{color:var(--soft);font-size:.93rem}
ol.order li{margin:.35em 0}
@media screen and (max-width:760px){dl.tell{grid-template-columns:1fr;gap:0}dl.tell dd{margin:0 0 .5em;font-weight:600}.legend{font-size:.88rem}}
`;

/** The plan as an HTML page. */
export function bayPage(plan: BayPlan, request: BayRequest): string {
  const best = plan.recommended;
  const body = [
    el('h1', `Bay plan: ${request.title}`),
    el('p', 'Where to measure, what could be proven there, and what to do first', 'class="lead"'),
    `<div class="do">${el('h3', recommendedName(plan, request))}${el('p', whyWords(plan, request))}</div>`,
    placesSection(plan, request),
    best === null ? '' : bestSection(plan, best, request),
    request.assumed.length === 0
      ? ''
      : section(
          'Taken as usual, because it was not given',
          `<ul>${request.assumed.map((a) => el('li', a)).join('')}</ul>`,
        ),
    section(
      'Take care',
      `<ul class="cautions">${bayCautions(plan, request)
        .map((c) => el('li', c))
        .join('')}</ul>`,
    ),
    el('p', NO_CERTIFICATE, 'class="plain"'),
    `<footer>${el('p', `± is the doubt that 95 of 100 readings stay within. "Far" is what an inspection's instrument would see: half of the range that one board leaves open, with its doubt. Part of the photo's own share: ${request.u.photo.source}.`)}</footer>`,
  ].join('\n');
  return `<!doctype html>
<html lang="${request.words === 'us' ? 'en-US' : 'en-GB'}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<title>${esc(`${request.title}: bay plan`)}</title><style>${STYLE}${BAY_STYLE}</style></head>
<body><main>
${inDialect(body, request.words)}
</main></body></html>
`;
}

function section(title: string, inner: string): string {
  return `<section>${el('h2', title)}${inner}</section>`;
}

function placesSection(plan: BayPlan, request: BayRequest): string {
  const open = plan.places.filter((p) => p.state === 'open');
  const extent = bayExtent(open, request);
  // The one to take stands first: on a phone the others are a long way down.
  const ordered = inOrder(plan);
  const cards = ordered.map((p) => placeCard(p, plan, request, extent)).join('');
  return section(
    'The places',
    `${el('p', 'Seen from above, all to one scale. Thick line: the board; light wedge: the part of the beam that has to be seen; the figure over it: lamp to board.', 'class="legend"')}<div class="places">${cards}</div>`,
  );
}

function placeCard(
  p: PlannedPlace,
  plan: BayPlan,
  request: BayRequest,
  extent: ReturnType<typeof bayExtent>,
): string {
  const name = placeName(p, request);
  const lacks = lackLines(p, request);
  const list = lacks.length === 0 ? '' : `<ul>${lacks.map((l) => el('li', l)).join('')}</ul>`;
  if (p.state === 'closed')
    return `<div class="place">${el('h3', name)}${el('p', 'Not to be used.', 'class="care"')}${list}</div>`;
  const isBest = p === plan.recommended;
  const distance = acrossRoom(p.forecast.distanceMm, request.units);
  const figures: [string, string][] = [
    ['Lamp to board', distance],
    ['Drop on the board', `± ${pct(p.dropU)}`],
    ['Elbow sideways', `± ${pct(p.offsetU)}`],
    ['Drop far', `± ${pct(p.farDropU)}`],
    ['A perfect lamp proven', provenWord(p)],
  ];
  return `<div class="place${isBest ? ' best' : ''}">${isBest ? '<span class="tag">take this one</span>' : ''}${el('h3', name)}${baySvg(drawPlace(p, request), extent, `${name}, seen from above, lamp to board ${distance}`)}<dl>${figures.map(([a, b]) => el('dt', a) + el('dd', b)).join('')}</dl>${list}</div>`;
}

function bestSection(plan: BayPlan, best: OpenPlace, request: BayRequest): string {
  const { board } = best.forecast;
  const { units } = request;
  const facts: [string, string][] = [
    ['Lamp to board', acrossRoom(best.forecast.distanceMm, units)],
    ['One board for all lamps', `${atLeast(board.acrossAllMm, units)} wide`],
    ['Or a card moved from lamp to lamp', `${atLeast(board.acrossOneMm, units)} wide`],
    [
      'It has to reach',
      `from ${roughly(board.bottomMm, units)} to ${atLeast(board.topMm, units)} over its foot`,
    ],
    [
      'The edge should fall',
      `between ${roughly(board.edgeMm.lowest, units)} and ${roughly(board.edgeMm.highest, units)} over the foot`,
    ],
  ];
  const single = request.facts.lamps.length === 1;
  const shown = facts.filter(([head]) => !single || head !== 'One board for all lamps');
  const second = secondWords(best, request);
  return [
    section(
      'The board there, and what it can prove',
      `<dl class="tell">${shown.map(([a, b]) => el('dt', a) + el('dd', b)).join('')}</dl>${proofLines(
        best,
        request,
      )
        .map((l) => el('p', l.replace(/^\[.{3}\] /, '')))
        .join('')}`,
    ),
    section('Where the doubt of the drop comes from', budgetTable(best)),
    section('Ways to carry the level there', levelTable(best, request)),
    section(
      'Ways to find straight ahead',
      axisTable(best, request) +
        gettingLines(plan, best)
          .map((l) => el('p', l))
          .join(''),
    ),
    second === null ? '' : section('A second distance', el('p', second)),
    section(
      'What one slip costs there',
      `<ul>${slipLines(plan, best, request)
        .map((l) => el('li', `${l.cost}: ${l.what}`))
        .join('')}</ul>`,
    ),
    section(
      'In this order',
      `<ol class="order">${preparation(plan, best, request)
        .map((s) => el('li', s))
        .join('')}</ol>`,
    ),
  ].join('');
}

function budgetTable(best: OpenPlace): string {
  const worst = best.forecast.lamps.reduce((a, b) => (b.dropU > a.dropU ? b : a));
  const lines = budgetLines(worst.dropPct);
  const most = Math.max(...lines.map((l) => l.uPct));
  const rows = lines.map(
    (l) =>
      `<tr><td>${esc(l.what)}</td><td><svg viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true"><rect width="100" height="14" fill="var(--bar-soft)"/><rect width="${((100 * l.uPct) / most).toFixed(1)}" height="14" fill="var(--bar)"/></svg></td><td>${esc(pct(l.uPct))}</td></tr>`,
  );
  return `<table class="budget">${rows.join('')}<tr class="sum"><td>All together (k = 1); doubled</td><td></td><td>${esc(`± ${pct(worst.dropU)}`)}</td></tr></table>`;
}

function methodRows(
  rows: readonly {
    readonly name: string;
    readonly u: number;
    readonly note: string | null;
    readonly leaves: string;
    readonly used: boolean;
  }[],
  best: OpenPlace,
  request: BayRequest,
  head: string,
): string {
  const cells = rows.map((r) => {
    const mm = onTape((r.u * best.forecast.distanceMm) / 100, request.units);
    const state = r.used ? ' class="best"' : r.note === null ? '' : ' class="off"';
    const said: [string, string][] = [
      ['', r.used ? `${r.name} (take this)` : r.name],
      [head, `± ${pct(r.u)}`],
      ['On the board', mm],
      ['What it leaves out', r.note === null ? r.leaves : `${r.note}. ${r.leaves}`],
    ];
    return `<tr${state}>${said.map(([h, t]) => `<td${h === '' ? '' : ` data-head="${h}"`}>${esc(t)}</td>`).join('')}</tr>`;
  });
  return `<table class="stack ways"><thead><tr><th>Way</th><th>${esc(head)}</th><th>On the board</th><th>What it leaves out</th></tr></thead><tbody>${cells.join('')}</tbody></table>`;
}

function levelTable(best: OpenPlace, request: BayRequest): string {
  const rows = best.forecast.levels.map((l) => ({
    ...levelWords(l.method),
    u: l.dropU,
    note: hindranceWords(l.hindrance),
    used: l.method === best.forecast.level,
  }));
  return methodRows(rows, best, request, 'Drop');
}

function axisTable(best: OpenPlace, request: BayRequest): string {
  const rows = best.forecast.axes.map((a) => ({
    ...axisWords(a.method),
    u: a.offsetU,
    note: hindranceWords(a.hindrance),
    used: a.method === best.forecast.axis,
  }));
  return methodRows(rows, best, request, 'Elbow');
}
