import type { RegistrationRefusal } from '../core/board-view.ts';
import type { BoardPoint, PhotoPoint } from '../core/frames.ts';
import { applyHomography, fitHomography } from '../core/geometry/homography.ts';
import type { FoundMark } from './find-marks.ts';
import { sheetMarks } from './mark-design.ts';
import type { Body, BodyPoint } from './solve-view.ts';

/** A sheet of the board: the place of its centre cross, its turn (+ anticlockwise), true size over nominal. */
export interface SheetPlace {
  readonly number: number;
  readonly at: {
    readonly X: { readonly mm: number; readonly uMm: number };
    readonly Y: { readonly mm: number; readonly uMm: number };
  } | null;
  /** Null: hung by its arrow, taken as 0. */
  readonly turnDeg: number | null;
  readonly uTurnDeg: number;
  readonly scale: number;
}

/** Half page, mm: the larger of A4 and Letter each way, since the photo does not show which it is. */
const HALF_PAGE = { X: 148.5, Y: 108 } as const;

/** The job's sheets that a photo shows, each with its fitting marks. */
export interface SeenSheets {
  readonly found: true;
  readonly sheets: readonly { readonly sheet: SheetPlace; readonly marks: readonly FoundMark[] }[];
  readonly warnings: readonly string[];
}

/**
 * Sorts found marks into the job's sheets. Left out with a warning: sheets of other jobs, marks seen twice (a
 * reflection), single mirrored marks, a mark that does not fit its own sheet.
 */
export function seenSheets(
  found: readonly FoundMark[],
  sheets: readonly SheetPlace[],
): SeenSheets | RegistrationRefusal {
  const warnings: string[] = [];
  if (found.length === 0) {
    return refusal(
      'no-marks',
      'No printed mark was found in this photo.',
      'Take a photo of the marks with the lights on from the same tripod, or move sheets below the cut-off where the beam lights them.',
    );
  }
  const mirrored = found.filter((m) => m.mirrored);
  if (2 * mirrored.length > found.length) {
    return refusal(
      'mirrored',
      `${mirrored.length} of ${found.length} marks are seen as in a mirror.`,
      'Use the unmirrored photo: front cameras and some editors swap left and right.',
    );
  }
  if (mirrored.length > 0) warnings.push(`${mirrored.length} mirrored marks (a reflection?) were left out.`);
  const upright = found.filter((m) => !m.mirrored);
  const isTwice = (m: FoundMark): boolean => upright.some((o) => o !== m && o.identity === m.identity);
  const twice = upright.filter(isTwice).map((m) => m.sheet);
  if (twice.length > 0) {
    warnings.push(`Sheet ${listOf(twice)} is in the photo twice; those marks were left out.`);
  }
  const single = upright.filter((m) => !isTwice(m));
  const known = single.filter((m) => sheets.some((s) => s.number === m.sheet));
  const strangers = single.filter((m) => !known.includes(m)).map((m) => m.sheet);
  if (known.length === 0) {
    return twice.length > 0
      ? refusal('marks-disagree', 'Every mark is in the photo twice.', 'Print each sheet number only once.')
      : refusal(
          'other-jobs-marks',
          `Only sheets that this job does not know are in the photo: ${listOf(strangers)}.`,
          'Check that this photo belongs to this job, or add the sheets to its board.',
        );
  }
  if (strangers.length > 0) {
    warnings.push(`Sheet ${listOf(strangers)} is not of this job and was left out.`);
  }
  const seen: { sheet: SheetPlace; marks: readonly FoundMark[] }[] = [];
  for (const sheet of sheets) {
    const marks = known.filter((m) => m.sheet === sheet.number);
    if (marks.length === 0) continue;
    const fitting = marksThatFit(marks);
    if (fitting.length < marks.length) {
      warnings.push(
        `A mark of sheet ${sheet.number} does not fit the others on it (creased paper?) and was left out.`,
      );
    }
    seen.push({ sheet, marks: fitting });
  }
  return { found: true, sheets: seen, warnings };
}

/** Sheets seen, as rigid bodies of up to 16 points. */
export interface MarkedSheets {
  readonly found: true;
  readonly bodies: readonly Body[];
  readonly warnings: readonly string[];
}

/** The sheets of a photo that have a place, as bodies; those without one are left out with a warning. */
export function markedSheets(
  found: readonly FoundMark[],
  sheets: readonly SheetPlace[],
): MarkedSheets | RegistrationRefusal {
  const seen = seenSheets(found, sheets);
  if (!seen.found) return seen;
  const warnings = [...seen.warnings];
  const bodies: Body[] = [];
  for (const { sheet, marks } of seen.sheets) {
    if (sheet.at === null) {
      warnings.push(`Sheet ${sheet.number} has no place yet and was left out.`);
      continue;
    }
    bodies.push({
      name: `sheet ${sheet.number}`,
      at: { X: sheet.at.X.mm, Y: sheet.at.Y.mm },
      turnDeg: sheet.turnDeg ?? 0,
      uXMm: Math.max(sheet.at.X.uMm, 0.05),
      uYMm: Math.max(sheet.at.Y.uMm, 0.05),
      uTurnDeg: Math.max(sheet.uTurnDeg, 0.01),
      points: marks.flatMap((m) => sheetPoints(m, sheet.scale)),
    });
  }
  if (bodies.length === 0) {
    return refusal(
      'too-few-marks',
      'None of the sheets in the photo has a place on the board yet.',
      'Give the places of the sheets, or let them survey themselves from a photo with the lights on.',
    );
  }
  return { found: true, bodies, warnings };
}

/** The four corners of a found mark in its sheet's frame. */
export function sheetPoints(mark: FoundMark, scale: number): readonly BodyPoint[] {
  const printed = sheetMarks(mark.sheet)[mark.place]!;
  return printed.corners.map((c, i) => ({
    name: `sheet ${mark.sheet} mark ${mark.place + 1} corner ${i + 1}`,
    local: { X: c.X * scale, Y: c.Y * scale },
    photo: mark.corners[i]!,
    uPx: mark.uPx,
  }));
}

/** Of three or four marks of one sheet, leaves out one that lies over 1 % of the sheet off the plane of the rest. */
function marksThatFit(marks: readonly FoundMark[]): readonly FoundMark[] {
  if (marks.length < 3) return marks;
  const misfit = (use: readonly FoundMark[]): number => {
    const points = use.flatMap((m) => sheetPoints(m, 1));
    const h = fitHomography(
      points.map((p) => p.local),
      points.map((p) => p.photo),
    );
    if (h === null) return Number.POSITIVE_INFINITY;
    const off = points.map((p) => {
      const s = applyHomography(h, p.local);
      return Math.hypot(s.x - p.photo.x, s.y - p.photo.y);
    });
    return Math.max(...off) / spanOf(points.map((p) => p.photo));
  };
  if (misfit(marks) < 0.01) return marks;
  const choices = marks
    .map((_, i) => marks.filter((_, j) => j !== i))
    .map((use) => ({ use, misfit: misfit(use) }))
    .sort((a, b) => a.misfit - b.misfit);
  return choices[0]!.misfit < 0.01 ? choices[0]!.use : marks;
}

function spanOf(points: readonly PhotoPoint[]): number {
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  return Math.hypot(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
}

/** The page on the board, mm, as a polygon: nothing is measured through it. */
export function pageOutline(sheet: SheetPlace): readonly BoardPoint[] {
  const turn = ((sheet.turnDeg ?? 0) * Math.PI) / 180;
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  return [
    [-1, 1],
    [1, 1],
    [1, -1],
    [-1, -1],
  ].map(([a, b]) => {
    const X = a! * HALF_PAGE.X * sheet.scale;
    const Y = b! * HALF_PAGE.Y * sheet.scale;
    return { X: sheet.at!.X.mm + c * X - s * Y, Y: sheet.at!.Y.mm + s * X + c * Y };
  });
}

function listOf(numbers: readonly number[]): string {
  return [...new Set(numbers)].sort((a, b) => a - b).join(', ');
}

function refusal(why: RegistrationRefusal['why'], detail: string, advice: string): RegistrationRefusal {
  return { found: false, why, detail, advice, points: [] };
}
