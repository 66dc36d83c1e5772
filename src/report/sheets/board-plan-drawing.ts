import { tanFromDeg } from '../../core/units.ts';
import { onTape } from '../format.ts';
import type { Area, BoardPlan, PlannedLamp } from './board-plan.ts';
import { zeroName } from './board-plan-list.ts';
import { LANDSCAPE_MM, type PdfPages } from './pdf-page.ts';

/** Where on the page the drawing may go, mm. */
interface Frame {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

interface Pen {
  readonly pages: PdfPages;
  readonly plan: BoardPlan;
  readonly x: (X: number) => number;
  readonly y: (Y: number) => number;
  readonly scale: number;
  readonly shown: Area;
  /** Lettering already on the page, so that the next finds a free place. */
  readonly taken: Box[];
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

const ACCENT = [0, 0.3, 0.55] as const;
const SMALL = 2;
const SCALES = {
  metric: [4, 5, 6, 8, 10, 12, 15, 18, 20, 25, 30, 40, 50, 75, 100],
  inch: [4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24, 28, 32, 40, 48, 64, 96],
} as const;
/** Room round the board for dimensions, and from one row of them to the next, mm on the page. */
const SIDE_ROOM = 25;
const ROW = 4.6;

/**
 * Draws the board to scale: outline, floor, level line, sheets, centre marks, target lines, and dimensions.
 * @returns the scale 1 : n that was used.
 */
export function drawBoardPlan(pages: PdfPages, plan: BoardPlan, frame: Frame): number {
  const all = [plan.needed, ...(plan.area ? [plan.area] : [])];
  const shown: Area = {
    left: Math.min(...all.map((a) => a.left), 0),
    right: Math.max(...all.map((a) => a.right), 0),
    bottom: Math.min(...all.map((a) => a.bottom), plan.floorY ?? Infinity),
    top: Math.max(...all.map((a) => a.top)),
  };
  const room = {
    top: 8 + ROW * depth(plan.lamps.map((l) => l.mark.X)),
    bottom: 5 + ROW * depth(plan.sheets.map((s) => s.X)),
  };
  const inner = { width: frame.width - 2 * SIDE_ROOM, height: frame.height - room.top - room.bottom };
  const fits = Math.max((shown.right - shown.left) / inner.width, (shown.top - shown.bottom) / inner.height);
  const list = plan.units === 'in' ? SCALES.inch : SCALES.metric;
  const scale = list.find((n) => n >= fits) ?? Math.ceil(fits / 10) * 10;
  const drawnWidth = (shown.right - shown.left) / scale;
  const drawnHeight = (shown.top - shown.bottom) / scale;
  const x0 = frame.x + SIDE_ROOM + (inner.width - drawnWidth) / 2;
  const y0 = frame.y + room.top + (inner.height - drawnHeight) / 2;
  const pen: Pen = {
    pages,
    plan,
    x: (X) => x0 + (X - shown.left) / scale,
    y: (Y) => y0 + (shown.top - Y) / scale,
    scale,
    shown,
    taken: [],
  };
  floorLine(pen);
  zeroLine(pen);
  sheets(pen);
  outline(pen);
  for (const lamp of plan.lamps) drawMark(pen, lamp, plan.lamps);
  for (const lamp of plan.lamps) drawTarget(pen, lamp);
  acrossDimensions(pen);
  heightDimensions(pen);
  return scale;
}

/** "1 : 10", or "1 : 12 (1 in here is 12 in on the board)". */
export function scaleWords(plan: BoardPlan, scale: number): string {
  if (plan.units === 'in') return `1 : ${scale}, that is 1 in on paper for ${scale} in on the board`;
  return `1 : ${scale}, that is 10 mm on paper for ${scale * 10} mm on the board`;
}

function outline(pen: Pen): void {
  const { pages, plan } = pen;
  const draw = (a: Area, dashMm: readonly number[]) =>
    pages.rect(pen.x(a.left), pen.y(a.top), (a.right - a.left) / pen.scale, (a.top - a.bottom) / pen.scale, {
      widthMm: dashMm.length > 0 ? 0.25 : 0.4,
      dashMm,
    });
  if (!plan.area) {
    draw(plan.needed, []);
    return;
  }
  draw(plan.area, []);
  draw(plan.needed, [1.5, 1]);
  const look = { capMm: SMALL } as const;
  pages.text('your board', pen.x(plan.area.left) + 1.5, pen.y(plan.area.top) + 3.5, look);
  pages.text('used by this plan', pen.x(plan.needed.left), pen.y(plan.needed.top) - 1, look);
}

function floorLine(pen: Pen): void {
  const { pages, plan } = pen;
  if (plan.floorY === null) return;
  const y = pen.y(plan.floorY);
  const from = pen.x(pen.shown.left) - 6;
  const to = pen.x(pen.shown.right) + 6;
  pages.line(from, y, to, y, { widthMm: 0.5 });
  for (let x = from + 2; x <= to; x += 4) pages.line(x, y, x - 2, y + 2, { widthMm: 0.15 });
  pages.text('floor', to + 1, y + 0.8, { capMm: SMALL });
}

function zeroLine(pen: Pen): void {
  const { pages } = pen;
  const x = pen.x(0);
  const top = pen.y(pen.shown.top) - 3 - ROW * depth(pen.plan.lamps.map((l) => l.mark.X));
  pages.line(x, top, x, pen.y(pen.plan.floorY ?? pen.shown.bottom), {
    widthMm: 0.2,
    dashMm: [4, 1, 0.8, 1],
  });
  pages.text(zeroName(pen.plan), x, top - 1, { capMm: SMALL, anchor: 'middle' });
}

function sheets(pen: Pen): void {
  const { pages, plan } = pen;
  const y = pen.y(plan.levelLineY);
  const page = LANDSCAPE_MM[plan.paper];
  const w = page.widthMm / pen.scale;
  const h = page.heightMm / pen.scale;
  for (const s of plan.sheets) {
    const x = pen.x(s.X);
    pages.fill(rect(x - w / 2, y - h / 2, w, h), 1);
    pages.rect(x - w / 2, y - h / 2, w, h, { widthMm: 0.25 });
    // The marks as plain grey squares: a plan must not be readable as a sheet.
    const m = 80 / pen.scale;
    for (const sx of [-86, 86]) {
      for (const sy of [-52.5, 52.5]) {
        pages.fill(rect(x + sx / pen.scale - m / 2, y + sy / pen.scale - m / 2, m, m), 0.72);
      }
    }
    pages.line(x, y - h / 2, x, y + h / 2, { widthMm: 0.2 });
  }
  const right = pen.x(pen.plan.needed.right);
  pages.line(pen.x(pen.plan.needed.left), y, right, y, { widthMm: 0.45, ink: ACCENT });
  pages.text('level line', right + 1.2, y + 0.8, { capMm: SMALL, ink: ACCENT });
  for (const s of plan.sheets) {
    pages.fill(rect(pen.x(s.X) - 2.2, y - 1.9, 4.4, 3.8), 1);
    pages.text(`${s.number}`, pen.x(s.X), y + 1.25, { capMm: 2.5, bold: true, anchor: 'middle' });
  }
}

/** The centre mark as the person makes it: a cross of tape, with its lamp's letter; lamps at one place share it. */
function drawMark(pen: Pen, lamp: PlannedLamp, lamps: readonly PlannedLamp[]): void {
  const { pages } = pen;
  const x = pen.x(lamp.mark.X);
  const y = pen.y(lamp.mark.Y);
  pages.line(x - 2.8, y, x + 2.8, y, { widthMm: 0.5 });
  pages.line(x, y - 2.8, x, y + 2.8, { widthMm: 0.5 });
  // Letters closer than their own width would print over each other.
  const here = lamps.filter((l) => Math.hypot(pen.x(l.mark.X) - x, pen.y(l.mark.Y) - y) < 3);
  if (here[0] === lamp)
    pages.text(here.map((l) => l.letter).join(', '), x + 1.1, y - 1.1, { capMm: 2.8, bold: true });
  pen.taken.push({ x: x - 2.8, y: y - 4, w: 6.5, h: 6.8 });
}

/** Where the edge or the hot spot belongs: a dashed line at its height, a short tick at its sideways place. */
function drawTarget(pen: Pen, lamp: PlannedLamp): void {
  const { pages, plan } = pen;
  const t = lamp.target;
  if (!t) return;
  const reach = lamp.distanceMm * tanFromDeg(t.feature === 'edge' ? 3.5 : 1);
  const mid = t.X ?? lamp.mark.X;
  const y = pen.y(t.Y);
  pages.line(pen.x(mid - reach), y, pen.x(mid + reach), y, { widthMm: 0.55, dashMm: [2.4, 1.2] });
  if (t.X !== null) pages.line(pen.x(t.X), y, pen.x(t.X), y + 2, { widthMm: 0.4 });
  const name = t.feature === 'edge' ? 'edge' : 'hot spot';
  const side = t.aboveMarkMm <= 0 ? 'below' : 'above';
  const text = `${name} ${onTape(t.aboveMarkMm, plan.units)} ${side} ${lamp.letter}`;
  const w = pages.textWidth(text, { capMm: SMALL }) + 1;
  let box: Box = { x: pen.x(mid) - w / 2, y: y + 2.4, w, h: 3 };
  while (pen.taken.some((b) => overlap(b, box))) box = { ...box, y: box.y + 0.8 };
  // With many lamps the label may find no room above the sheets; the list holds the figure anyway.
  const sheetTop = pen.y(plan.levelLineY + LANDSCAPE_MM[plan.paper].heightMm / 2);
  if (box.y + box.h > sheetTop) return;
  pen.taken.push(box);
  pages.fill(rect(box.x, box.y, box.w, box.h), 1);
  pages.text(text, pen.x(mid), box.y + 2.5, { capMm: SMALL, anchor: 'middle' });
}

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}

/** Above the board from the zero line to each lamp's mark, below it to each sheet's upright line. */
function acrossDimensions(pen: Pen): void {
  const { plan } = pen;
  const top = pen.y(pen.shown.top) + 0.6;
  const marks = plan.lamps.map((l) => l.mark.X);
  for (const lamp of plan.lamps) {
    across(pen, lamp.mark.X, top - ROW * rank(marks, lamp.mark.X), pen.y(lamp.mark.Y) - 4.5);
  }
  const bottom = pen.y(plan.floorY ?? pen.shown.bottom) + 1.2;
  const h = LANDSCAPE_MM[plan.paper].heightMm / 2 / pen.scale;
  const places = plan.sheets.map((s) => s.X);
  for (const X of places) {
    across(pen, X, bottom + ROW * rank(places, X), pen.y(plan.levelLineY) + h + 0.8);
  }
}

/** Which row a dimension stands in: 1 for the place nearest to zero on its side, and so on outwards. */
function rank(places: readonly number[], X: number): number {
  const inside = places.filter((p) => Math.sign(p) === Math.sign(X) && Math.abs(p) < Math.abs(X) - 0.5);
  return 1 + new Set(inside.map((p) => Math.round(p))).size;
}

function depth(places: readonly number[]): number {
  return Math.max(1, ...places.map((X) => rank(places, X)));
}

/** A dimension from X = 0 to X at page height `y`, with a thin line up or down to `to`. */
function across(pen: Pen, X: number, y: number, to: number): void {
  const { pages, plan } = pen;
  if (Math.abs(X) < 0.5) return;
  const a = pen.x(0);
  const b = pen.x(X);
  pages.line(a, y, b, y, { widthMm: 0.15 });
  for (const end of [a, b]) pages.line(end - 0.9, y + 0.9, end + 0.9, y - 0.9, { widthMm: 0.3 });
  pages.line(b, y, b, to, { widthMm: 0.1, ink: 0.45 });
  const text = onTape(X, plan.units);
  const w = pages.textWidth(text, { capMm: SMALL });
  // A figure that does not fit between its ticks stands outside them.
  const fits = Math.abs(b - a) > w + 4;
  label(pen, text, fits ? (a + b) / 2 : b + Math.sign(X) * (w / 2 + 2), y, 0);
}

/** At the left: floor to level line to the left lamp's mark. At the right: the right lamp's mark, where it differs. */
function heightDimensions(pen: Pen): void {
  const { plan } = pen;
  const left = pen.x(pen.shown.left) - 10;
  if (plan.floorY !== null) upwards(pen, left, plan.floorY, plan.levelLineY, pen.x(plan.needed.left));
  const first = plan.lamps[0]!;
  const last = plan.lamps.at(-1)!;
  upwards(pen, left, plan.levelLineY, first.mark.Y, pen.x(first.mark.X) - 4.5);
  if (last !== first && Math.abs(last.mark.Y - first.mark.Y) >= 0.5) {
    upwards(pen, pen.x(pen.shown.right) + 18, plan.levelLineY, last.mark.Y, pen.x(last.mark.X) + 4.5);
  }
}

function upwards(pen: Pen, x: number, from: number, to: number, reach: number): void {
  const { pages, plan } = pen;
  const a = pen.y(from);
  const b = pen.y(to);
  pages.line(x, a, x, b, { widthMm: 0.15 });
  for (const end of [a, b]) pages.line(x - 0.9, end + 0.9, x + 0.9, end - 0.9, { widthMm: 0.3 });
  pages.line(x, b, reach, b, { widthMm: 0.1, ink: 0.45 });
  const text = onTape(to - from, plan.units);
  const w = pages.textWidth(text, { capMm: SMALL });
  if (Math.abs(b - a) > w + 3) label(pen, text, x, (a + b) / 2, 90);
  else label(pen, text, x - w / 2 - 2, (a + b) / 2, 0);
}

/** A figure on its dimension line, on a white ground so that lines do not cross it. */
function label(pen: Pen, text: string, x: number, y: number, turnDeg: number): void {
  const look = { capMm: SMALL, anchor: 'middle', turnDeg } as const;
  const w = pen.pages.textWidth(text, look) + 1.4;
  const turned = turnDeg === 90;
  pen.pages.fill(turned ? rect(x - 1.5, y - w / 2, 3, w) : rect(x - w / 2, y - 1.5, w, 3), 1);
  pen.pages.text(text, turned ? x + 1 : x, turned ? y : y + 1, look);
}

function rect(x: number, y: number, w: number, h: number): { x: number; y: number }[] {
  return [
    { x, y },
    { x: x + w, y },
    { x: x + w, y: y + h },
    { x, y: y + h },
  ];
}
