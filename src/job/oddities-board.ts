import type { BoardPoint } from '../core/frames.ts';
import { unitSlip } from './oddity-units.ts';
import { inMm, type UncheckedJob } from './oddity-words.ts';

/** Two printed sheets nearer than this would lie on each other, mm. */
const SHEET_MM = 200;
/** Two crosses nearer than this are one cross typed twice, mm. */
const CROSS_MM = 30;

/** Questions about the marks and the board. */
export function boardOddities(job: UncheckedJob): readonly string[] {
  const { board } = job;
  const out: string[] = [];
  if (board.sheets.length === 0 && board.crosses.length < 4) {
    out.push('The board needs printed sheets or at least four crosses: no photo can be measured yet.');
  }
  const crosses = board.crosses.map((cross) => ({ name: `cross ${cross.name}`, at: cross.at }));
  const sheets = board.sheets.flatMap((sheet) =>
    sheet.at === null ? [] : [{ name: `sheet ${sheet.number}`, at: { X: sheet.at.X.mm, Y: sheet.at.Y.mm } }],
  );
  out.push(...coinciding(crosses, CROSS_MM), ...coinciding(sheets, SHEET_MM));
  if (board.sheets.length === 0 && crosses.length >= 4 && spreadAcross(crosses.map((c) => c.at)) < 100) {
    out.push('All crosses lie nearly on one line: put some at least 300 mm above or below the others.');
  }
  const unplaced = board.sheets.filter((sheet) => sheet.at === null);
  if (unplaced.length > 0 && board.levelLine.length < 2) {
    out.push(
      'Sheets without a place need a level line through two of them: name them in board.levelLine, or tilt is not known.',
    );
  }
  if (unplaced.length > 1 && board.checkDistance === null) {
    out.push(
      'Tape one long distance between two sheets and give it as board.checkDistance: nothing checks the scale yet.',
    );
  }
  for (const sheet of board.sheets) {
    if (Math.abs(sheet.scale - 1) > 0.03) {
      out.push(
        `Sheet ${sheet.number}: the 100 mm ruler measures ${(100 * sheet.scale).toFixed(1)} mm. Print at 100 %, not "fit to page".`,
      );
    }
  }
  out.push(...checkDistanceOddity(job), ...extentOddities(job));
  return out;
}

interface Named {
  readonly name: string;
  readonly at: BoardPoint;
}

function coinciding(things: readonly Named[], nearestMm: number): readonly string[] {
  return things.flatMap((a, i) =>
    things
      .slice(i + 1)
      .filter((b) => gap(a.at, b.at) < nearestMm)
      .map(
        (b) => `${a.name} and ${b.name} stand only ${inMm(gap(a.at, b.at))} apart. Is one place mistyped?`,
      ),
  );
}

function checkDistanceOddity({ board }: UncheckedJob): readonly string[] {
  const check = board.checkDistance;
  if (check === null) return [];
  const place = (name: string): BoardPoint | null => {
    const cross = board.crosses.find((c) => c.name === name);
    if (cross !== undefined) return cross.at;
    const sheet = board.sheets.find((s) => name === `sheet ${s.number}` || name === String(s.number));
    return sheet?.at ? { X: sheet.at.X.mm, Y: sheet.at.Y.mm } : null;
  };
  const from = place(check.from);
  const to = place(check.to);
  if (from === null || to === null) return [];
  const off = gap(from, to) - check.length.mm;
  return Math.abs(off) > 10 + 3 * check.length.uMm
    ? [
        `${check.from} to ${check.to}: the places typed are ${inMm(gap(from, to))} apart, the tape says ${inMm(check.length.mm)}.`,
      ]
    : [];
}

/** Boards, walls and garage doors, mm. */
const ACROSS = { from: 400, to: 6000 };
const HIGH = { from: 300, to: 3000 };

function extentOddities({ board }: UncheckedJob): readonly string[] {
  const { extent } = board;
  if (extent === null) return [];
  const out: string[] = [];
  for (const [what, mm, usual] of [
    ['wide', extent.right - extent.left, ACROSS],
    ['high', extent.top - extent.bottom, HIGH],
  ] as const) {
    if (mm < usual.from || mm > usual.to) {
      out.push(`A board ${inMm(mm)} ${what}? Is the unit right?${unitSlip(mm, usual)}`);
    }
  }
  const outside = (at: BoardPoint): boolean =>
    at.X < extent.left || at.X > extent.right || at.Y < extent.bottom || at.Y > extent.top;
  out.push(
    ...board.crosses
      .filter(({ at }) => outside(at))
      .map((cross) => `Cross ${cross.name} lies outside the board as given.`),
    ...board.sheets
      .filter(({ at }) => at !== null && outside({ X: at.X.mm, Y: at.Y.mm }))
      .map((sheet) => `Sheet ${sheet.number}: its centre cross lies outside the board as given.`),
  );
  return out;
}

/** Distance between two board points, mm. */
function gap(a: BoardPoint, b: BoardPoint): number {
  return Math.hypot(a.X - b.X, a.Y - b.Y);
}

/** Width of a set of points at right angles to their longest line, mm: 0 when all lie on one line. */
function spreadAcross(points: readonly BoardPoint[]): number {
  let from = points[0]!;
  let to = points[0]!;
  for (const a of points) {
    for (const b of points) {
      if (gap(a, b) > gap(from, to)) [from, to] = [a, b];
    }
  }
  const length = gap(from, to) || 1;
  const across = points.map(
    (p) => ((to.X - from.X) * (p.Y - from.Y) - (to.Y - from.Y) * (p.X - from.X)) / length,
  );
  return Math.max(...across) - Math.min(...across);
}
