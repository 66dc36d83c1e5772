import { NO_CERTIFICATE } from '../cautions.ts';
import type { BoardPlan } from './board-plan.ts';
import { drawBoardPlan, scaleWords } from './board-plan-drawing.ts';
import { boardPlanList, type PlanGroup } from './board-plan-list.ts';
import { LANDSCAPE_MM, PdfPages } from './pdf-page.ts';

const MARGIN = 14;
const ROW = 4.7;
const CAP = 2.2;

/** Said on every plan: the figures are for taping, and what is measured counts. */
const NOTES: readonly string[] = [
  'What you measure counts, not what was planned: write down where things really are. If you mark the lamps with the ' +
    'nose of the vehicle to the board, those marks replace the planned ones.',
  'Wheels chocked, brake on, in gear. On a slope, nobody between vehicle and board until that is checked. ' +
    "Don't stare into a lamp.",
];

/** A list taller than this would squeeze the drawing, so it moves to pages of its own, mm. */
const LIST_MOST = 80;
const COLUMN_GAP = 8;

/**
 * The board plan on one landscape page: the board drawn to a stated scale with its dimensions, and the list of
 * everything to measure, with room to write the measured figure. With more than about four lamps the list follows on
 * pages of its own.
 */
export function boardPlanPdf(plan: BoardPlan): Uint8Array {
  const pages = new PdfPages(`${plan.title}: board plan`, LANDSCAPE_MM[plan.paper]);
  const left = MARGIN;
  const wide = pages.widthMm - 2 * MARGIN;
  const groups = boardPlanList(plan);
  const columns = inColumns(groups);
  const listHeight = Math.max(...columns.map(columnHeight));
  const apart = listHeight > LIST_MOST;
  const notes = [...plan.warnings.map((w) => `Look out: ${w}`), spare(plan), ...NOTES, NO_CERTIFICATE].filter(
    (n): n is string => n !== null,
  );
  const notesTop = pages.heightMm - 8 - notesHeight(pages, notes, wide);
  const listTop = notesTop - 3 - (apart ? 0 : listHeight);
  const scale = drawBoardPlan(pages, plan, { x: left, y: 23, width: wide, height: listTop - 27 });
  head(pages, plan, `Seen from the vehicle. Scale ${scaleWords(plan, scale)}.`);
  drawNotes(pages, notes, notesTop, wide);
  if (!apart) drawColumns(pages, columns, listTop, wide);
  else {
    const most = pages.heightMm - 26 - 14;
    const tall = intoPages(groups, most);
    for (let i = 0; i < tall.length; i += 2) {
      pages.addPage();
      head(pages, plan, 'What to measure');
      drawColumns(pages, tall.slice(i, i + 2), 26, wide);
    }
  }
  return pages.bytes();
}

function head(pages: PdfPages, plan: BoardPlan, right: string): void {
  const edge = pages.widthMm - MARGIN;
  pages.text('Board plan', MARGIN, 20, { capMm: 5, bold: true });
  pages.text(right, edge, 20, { capMm: 2.2, anchor: 'right' });
  const room = edge - pages.textWidth(right, { capMm: 2.2 }) - 6 - (MARGIN + 44);
  pages.text(shortened(pages, plan.title, room), MARGIN + 44, 20, { capMm: 3 });
  if (plan.rendered) {
    pages.text('DEMONSTRATION: an invented vehicle', edge, 14, { capMm: 2.4, bold: true, anchor: 'right' });
  }
}

function shortened(pages: PdfPages, title: string, room: number): string {
  if (pages.textWidth(title, { capMm: 3 }) <= room) return title;
  let kept = title;
  while (kept.length > 1 && pages.textWidth(`${kept}...`, { capMm: 3 }) > room) kept = kept.slice(0, -1);
  return `${kept.trimEnd()}...`;
}

function drawNotes(pages: PdfPages, notes: readonly string[], top: number, wide: number): void {
  let y = top + 2.6;
  pages.line(MARGIN, top - 1.4, MARGIN + wide, top - 1.4, { widthMm: 0.2 });
  for (const note of notes) {
    const bold = note.startsWith('Look out');
    y = pages.paragraph(note, MARGIN, y, wide, { capMm: 1.9, bold, leading: 1.75 }) + 0.6;
  }
}

function drawColumns(
  pages: PdfPages,
  columns: readonly (readonly PlanGroup[])[],
  top: number,
  wide: number,
): void {
  const width = (wide - COLUMN_GAP) / 2;
  columns.forEach((groups, i) => {
    if (groups.length > 0) drawColumn(pages, groups, MARGIN + i * (width + COLUMN_GAP), top, width);
  });
}

function drawColumn(
  pages: PdfPages,
  groups: readonly PlanGroup[],
  x: number,
  top: number,
  width: number,
): void {
  const write = 24;
  let y = top;
  for (const group of groups) {
    y += ROW;
    pages.text(group.head, x, y - 0.6, { capMm: CAP + 0.2, bold: true });
    for (const row of group.rows) {
      y += ROW;
      pages.text(row.what, x, y - 0.6, { capMm: CAP });
      pages.text(row.planned, x + width - write - 3, y - 0.6, { capMm: CAP, anchor: 'right' });
      if (row.toMeasure) pages.line(x + width - write, y, x + width, y, { widthMm: 0.2, ink: 0.4 });
      pages.line(x, y + 0.6, x + width - write - 3, y + 0.6, { widthMm: 0.08, ink: 0.7 });
    }
    y += 1.6;
  }
  pages.text('measured', x + width - write, top + ROW - 0.6, { capMm: 1.9, ink: 0.3 });
}

function groupHeight(group: PlanGroup): number {
  return ROW * (group.rows.length + 1) + 1.6;
}

function columnHeight(groups: readonly PlanGroup[]): number {
  return groups.reduce((h, g) => h + groupHeight(g), 0);
}

/** Groups in order in two columns, split where the taller one is least tall. */
function inColumns(groups: readonly PlanGroup[]): readonly (readonly PlanGroup[])[] {
  let best = { at: groups.length, tall: Infinity };
  for (let at = 1; at <= groups.length; at++) {
    const tall = Math.max(columnHeight(groups.slice(0, at)), columnHeight(groups.slice(at)));
    if (tall < best.tall) best = { at, tall };
  }
  return [groups.slice(0, best.at), groups.slice(best.at)];
}

/** Groups in order in as many columns as it takes, none taller than `most`. */
function intoPages(groups: readonly PlanGroup[], most: number): readonly (readonly PlanGroup[])[] {
  const columns: PlanGroup[][] = [[]];
  for (const g of groups) {
    if (columnHeight(columns.at(-1)!) + groupHeight(g) > most) columns.push([]);
    columns.at(-1)!.push(g);
  }
  return columns;
}

function notesHeight(pages: PdfPages, notes: readonly string[], width: number): number {
  return notes.reduce((h, n) => h + pages.lineCount(n, width, { capMm: 1.9 }) * 1.9 * 1.75 + 0.6, 1);
}

function spare(plan: BoardPlan): string | null {
  if (plan.spareSheets.length === 0) return null;
  const which = plan.spareSheets.length === 1 ? 'Sheet' : 'Sheets';
  return `${which} ${plan.spareSheets.join(', ')}: spare. Anywhere else on the level line, clear of the hot spots.`;
}
