/** The bay plan on paper: the places from above to one stated scale, then what to do there. */
import type { BayPlan, OpenPlace } from '../core/bay-plan/plan.ts';
import type { Paper } from '../vision/mark-design.ts';
import { bayCautions, gettingLines, recommendedName, secondWords, whyWords } from './bay-plan-advice.ts';
import {
  type BayDrawing,
  type BayShape,
  bayExtent,
  type DrawInk,
  drawPlace,
  inOrder,
} from './bay-plan-drawing.ts';
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
  provenWord,
  roughly,
} from './bay-plan-words.ts';
import { NO_CERTIFICATE } from './cautions.ts';
import { acrossRoom, onTape } from './format.ts';
import { type Ink, LANDSCAPE_MM, PdfPages } from './sheets/pdf-page.ts';

const MARGIN = 14;
const GAP = 10;
const CAP = 2.1;
const SMALL = 1.95;
const BOTTOM = 10;

const INKS: Readonly<Record<DrawInk, Ink>> = {
  wall: 0,
  ground: 0.9,
  vehicle: [0.16, 0.38, 0.48],
  glass: 0.95,
  beam: [0.98, 0.9, 0.68],
  board: [0.55, 0.1, 0.4],
  dim: 0,
  soft: 0.35,
};

/** The plan as a PDF of landscape pages. */
export function bayPdf(plan: BayPlan, request: BayRequest, paper: Paper): Uint8Array {
  const pages = new PdfPages(`${request.title}: bay plan`, LANDSCAPE_MM[paper]);
  const wide = pages.widthMm - 2 * MARGIN;
  const column = (wide - GAP) / 2;
  const open = plan.places.filter((p) => p.state === 'open');
  const extent = bayExtent(open, request);
  const scale = column / (extent.to - extent.from);
  const oneTo = Math.ceil(1 / scale / 5) * 5;
  const spell = (text: string): string => inDialect(text, request.words);
  const top = head(pages, plan, request, `Seen from above. Scale 1 : ${oneTo}.`);
  const flow = new Columns(pages, top, column, () => head(pages, plan, request, 'Places'), spell);
  const ordered = inOrder(plan);
  for (const p of ordered) {
    const name = `${p === plan.recommended ? 'TAKE THIS: ' : ''}${placeName(p, request)}`;
    const lacks = lackLines(p, request);
    if (p.state === 'closed') flow.block(name, null, 'Not to be used.', lacks);
    else
      flow.block(
        name,
        { drawing: drawPlace(p, request), from: extent.from, scale: 1 / oneTo },
        figures(p, request),
        lacks,
      );
  }
  if (plan.recommended !== null) doPage(pages, plan, plan.recommended, request, column);
  return pages.bytes();
}

function figures(p: OpenPlace, { units }: BayRequest): string {
  return `Lamp to board ${acrossRoom(p.forecast.distanceMm, units)}. Drop ± ${pct(p.dropU)} on the board, ± ${pct(p.farDropU)} far; elbow ± ${pct(p.offsetU)}. A perfect lamp proven: ${provenWord(p)}.`;
}

function head(pages: PdfPages, plan: BayPlan, request: BayRequest, right: string): number {
  const edge = pages.widthMm - MARGIN;
  pages.text('Bay plan', MARGIN, 18, { capMm: 5, bold: true });
  pages.text(request.title.slice(0, 60), MARGIN + 36, 18, { capMm: 3 });
  pages.text(right, edge, 18, { capMm: CAP, anchor: 'right' });
  const said = `${recommendedName(plan, request)}: ${whyWords(plan, request)}`;
  const y = pages.paragraph(said, MARGIN, 24, pages.widthMm - 2 * MARGIN, { capMm: CAP, leading: 1.8 });
  pages.line(MARGIN, y - 1, edge, y - 1, { widthMm: 0.2 });
  return y + 3;
}

/** Blocks down two columns, then over to a new page. */
class Columns {
  private readonly pages: PdfPages;
  private top: number;
  private readonly width: number;
  private readonly turn: () => number;
  private y: number;
  private at: 0 | 1 = 0;
  private readonly spell: (text: string) => string;

  constructor(
    pages: PdfPages,
    top: number,
    width: number,
    turn: () => number,
    spell: (text: string) => string,
  ) {
    this.spell = spell;
    this.pages = pages;
    this.top = top;
    this.width = width;
    this.turn = turn;
    this.y = top;
  }

  block(
    name: string,
    picture: { readonly drawing: BayDrawing; readonly from: number; readonly scale: number } | null,
    first: string,
    more: readonly string[],
  ): void {
    const line = this.spell(first);
    const list = more.map(this.spell);
    const { pages, width } = this;
    const small = { capMm: SMALL, leading: 1.75 } as const;
    const pictureHigh = picture === null ? 0 : 2 * picture.drawing.halfAcross * picture.scale + 14;
    const textHigh = [line, ...list.map((l) => `- ${l}`)].reduce(
      (h, t) => h + pages.lineCount(t, width, small) * SMALL * 1.75 + 0.8,
      0,
    );
    this.room(6 + pictureHigh + textHigh + 3);
    const x = MARGIN + this.at * (width + GAP);
    pages.text(name, x, this.y + 3, { capMm: 2.5, bold: true });
    let y = this.y + 5;
    if (picture !== null) {
      draw(pages, picture.drawing, { x, y: y + 6 + picture.drawing.halfAcross * picture.scale }, picture);
      y += pictureHigh;
    }
    y = pages.paragraph(line, x, y + 2, width, small) + 0.8;
    for (const l of list) y = pages.paragraph(`- ${l}`, x, y, width, small) + 0.8;
    this.y = y + 3;
  }

  /** A heading with paragraphs; may be broken between them. */
  list(name: string, said: readonly string[]): void {
    const items = said.map(this.spell);
    const look = { capMm: SMALL + 0.1, leading: 1.75 } as const;
    const highOf = (t: string): number =>
      this.pages.lineCount(t, this.width, look) * look.capMm * look.leading + 0.9;
    this.room(7 + highOf(items[0] ?? ''));
    const x = (): number => MARGIN + this.at * (this.width + GAP);
    this.pages.text(name, x(), this.y + 3, { capMm: 2.5, bold: true });
    this.y += 7.4;
    for (const item of items) {
      this.room(highOf(item));
      this.y = this.pages.paragraph(item, x(), this.y, this.width, look) + 0.9;
    }
    this.y += 2.5;
  }

  private room(high: number): void {
    if (this.y + high <= this.pages.heightMm - BOTTOM || this.y === this.top) return;
    if (this.at === 0) this.at = 1;
    else {
      this.pages.addPage();
      this.top = this.turn();
      this.at = 0;
    }
    this.y = this.top;
  }
}

function draw(
  pages: PdfPages,
  drawing: BayDrawing,
  zero: { readonly x: number; readonly y: number },
  by: { readonly from: number; readonly scale: number },
): void {
  const at = (p: { along: number; across: number }) => ({
    x: zero.x + (p.along - by.from) * by.scale,
    y: zero.y + p.across * by.scale,
  });
  for (const s of drawing.shapes) drawShape(pages, s, at);
}

function drawShape(
  pages: PdfPages,
  s: BayShape,
  at: (p: { along: number; across: number }) => { x: number; y: number },
): void {
  const ink = INKS[s.ink];
  if (s.kind === 'area') pages.fill(s.points.map(at), ink);
  else if (s.kind === 'line') {
    const points = s.points.map(at);
    const stroke = { widthMm: s.weight * 2.6, ink, ...(s.dashed === true ? { dashMm: [1.4, 1] } : {}) };
    points.slice(1).forEach((p, i) => {
      pages.line(points[i]!.x, points[i]!.y, p.x, p.y, stroke);
    });
  } else {
    const { x, y } = at(s.at);
    const anchor = s.anchor === 'start' ? 'left' : s.anchor === 'end' ? 'right' : 'middle';
    pages.text(s.text, x, y + s.lines * 3.2, { capMm: 1.9, ink, anchor, bold: s.bold === true });
  }
}

/** What to do at the place to take: the board, the ways compared, the steps, the cautions. */
function doPage(pages: PdfPages, plan: BayPlan, best: OpenPlace, request: BayRequest, column: number): void {
  pages.addPage();
  const top = head(pages, plan, request, 'What to do there');
  const spell = (text: string): string => inDialect(text, request.words);
  const flow = new Columns(pages, top, column, () => head(pages, plan, request, 'What to do there'), spell);
  const { units } = request;
  const { forecast: f } = best;
  const steps = preparation(plan, best, request).map((s, i) => `${i + 1}. ${s}`);
  const mm = (u: number): string => onTape((u * f.distanceMm) / 100, units);
  flow.list('In this order', steps);
  flow.list('What the board has to be', [
    `${atLeast(f.board.acrossAllMm, units)} wide for all lamps, or a card ${atLeast(f.board.acrossOneMm, units)} wide moved from lamp to lamp; from ${roughly(f.board.bottomMm, units)} to ${atLeast(f.board.topMm, units)} over its foot.`,
    ...proofLines(best, request).map((l) => l.replace(/^\[.{3}\] /, '')),
  ]);
  flow.list(
    'Ways to carry the level there (doubt of the drop)',
    f.levels.map((l) => {
      const not = hindranceWords(l.hindrance);
      return `${l.method === f.level ? 'TAKE: ' : ''}${levelWords(l.method).name}: ± ${pct(l.dropU)}, ${mm(l.dropU)}.${not === null ? '' : ` (${not})`} ${levelWords(l.method).leaves}`;
    }),
  );
  flow.list(
    'Ways to find straight ahead (doubt of the elbow)',
    f.axes.map((a) => {
      const not = hindranceWords(a.hindrance);
      return `${a.method === f.axis ? 'TAKE: ' : ''}${axisWords(a.method).name}: ± ${pct(a.offsetU)}, ${mm(a.offsetU)}.${not === null ? '' : ` (${not})`} ${axisWords(a.method).leaves}`;
    }),
  );
  const getting = gettingLines(plan, best);
  if (getting.length > 0) flow.list('What you have not got', getting);
  const second = secondWords(best, request);
  if (second !== null) flow.list('A second distance', [second]);
  flow.list('Take care', [...bayCautions(plan, request), NO_CERTIFICATE]);
}
