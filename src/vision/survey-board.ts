import type { BoardPoint } from '../core/frames.ts';
import type { FoundMark } from './find-marks.ts';
import { type SheetPlace, seenSheets, sheetPoints } from './sheet-bodies.ts';
import type { PhotoSize } from './solve-view.ts';
import { distanceBetween, type Network, solveNetwork, type View } from './survey-network.ts';
import { nearestPose, posed, type RoughPose, roughPoses } from './survey-start.ts';

/** What a survey of the board gave, or why it gave nothing. */
export type Survey =
  | {
      readonly found: true;
      /** Every sheet of the board: surveyed ones with place, turn, scale and their uncertainties, others as they were. */
      readonly sheets: readonly SheetPlace[];
      /** Sheet whose centre cross was made (0, 0), or null when places were given. */
      readonly originSheet: number | null;
      /** Root mean square of the corner residuals, mm on the board. */
      readonly rmsMm: number;
      readonly checkDistance: CheckedDistance | null;
      readonly warnings: readonly string[];
    }
  | {
      readonly found: false;
      readonly why: 'no-marks' | 'not-linked' | 'no-level' | 'anchors-disagree' | 'not-a-plane' | 'mirrored';
      readonly detail: string;
      readonly advice: string;
    };

/** The long taped distance against the marks. */
export interface CheckedDistance {
  readonly statedMm: number;
  /** What the sheets say without it, and its standard uncertainty. */
  readonly measuredMm: number;
  readonly uMeasuredMm: number;
  readonly agrees: boolean;
}

export interface SurveyInput {
  /** One or more photos with the lights on: marks found, size and EXIF focal length. */
  readonly photos: readonly { readonly found: readonly FoundMark[]; readonly photo: PhotoSize }[];
  readonly sheets: readonly SheetPlace[];
  /** Sheets whose centre crosses lie on one level line: 'sheet 3' or '3'. */
  readonly levelLine: readonly string[];
  readonly checkDistance: {
    readonly from: string;
    readonly to: string;
    readonly length: { readonly mm: number; readonly uMm: number };
  } | null;
}

/** Anchors that contradict the marks by more than this many uncertainties are named, not fitted. */
const MOST_OFF = 3.5;
/** Corner residuals over their uncertainty, root mean square, above which the sheets are not on one plane. */
const MOST_MISFIT = 4;

/**
 * Places sheets that were taped up anywhere on one flat board: cameras and rigid sheets are solved together, anchored
 * by the level line through named centre crosses, sheets with known places, the printed size, and one long taped distance.
 * The taped distance is first predicted without itself; if it contradicts the marks it is reported and not used.
 *
 * @returns all sheets with places in board mm: origin at the first level-line sheet unless places were given.
 */
export function surveyBoard(input: SurveyInput): Survey {
  const warnings = new Set<string>();
  const views: View[] = [];
  for (const { found, photo } of input.photos) {
    const seen = seenSheets(found, input.sheets);
    if (!seen.found) {
      if (seen.why === 'mirrored') return refused('mirrored', seen.detail, seen.advice);
      warnings.add(seen.detail);
      continue;
    }
    for (const w of seen.warnings) warnings.add(w);
    views.push({
      photo,
      sheets: seen.sheets.map(({ sheet, marks }) => ({
        number: sheet.number,
        points: marks.flatMap((m) => sheetPoints(m, sheet.scale)),
      })),
    });
  }
  if (views.length === 0) {
    return refused(
      'no-marks',
      'No sheet of this board is in the photos.',
      'Light the board and take the photo again.',
    );
  }
  const rough = roughPoses(
    views.map((v) =>
      v.sheets.map((s) => ({
        sheet: s.number,
        local: s.points.map((p) => p.local),
        photo: s.points.map((p) => p.photo),
      })),
    ),
  );
  const seenNumbers = [...new Set(views.flatMap((v) => v.sheets.map((s) => s.number)))];
  const loose = seenNumbers.filter((n) => !rough.has(n));
  if (loose.length > 0) {
    return refused(
      'not-linked',
      `No photo shows sheet ${loose.join(', ')} together with the others.`,
      'Take one photo with all sheets, or overlapping photos that share at least one sheet.',
    );
  }
  const level = sheetNumbers(input.levelLine).filter((n) => rough.has(n));
  const known = input.sheets.filter((s) => s.at !== null && rough.has(s.number));
  const aligned = alignToAnchors(rough, level, known);
  if (aligned === null) {
    return refused(
      'no-level',
      'Nothing says which way is level.',
      'Put the centre crosses of two sheets on one level line, or give the places of two sheets.',
    );
  }
  const network: Network = {
    views,
    sheets: input.sheets.filter((s) => rough.has(s.number)),
    level,
    start: aligned.poses,
    originSheet: aligned.originSheet,
  };
  const free = solveNetwork(network, null);
  if (free === null) return notAPlane();
  const ends =
    input.checkDistance === null ? [] : sheetNumbers([input.checkDistance.from, input.checkDistance.to]);
  let solved = free;
  let check: CheckedDistance | null = null;
  if (
    input.checkDistance !== null &&
    ends.length === 2 &&
    ends.every((n) => rough.has(n)) &&
    ends[0] !== ends[1]
  ) {
    const { mm, uMm } = input.checkDistance.length;
    const predicted = distanceBetween(free, ends[0]!, ends[1]!);
    const agrees = Math.abs(predicted.mm - mm) <= MOST_OFF * Math.hypot(predicted.uMm, uMm);
    check = { statedMm: mm, measuredMm: predicted.mm, uMeasuredMm: predicted.uMm, agrees };
    if (agrees) solved = solveNetwork(network, { from: ends[0]!, to: ends[1]!, mm, uMm }) ?? free;
    else {
      warnings.add(
        `The taped distance from ${input.checkDistance.from} to ${input.checkDistance.to} contradicts the marks and was not used: ${mm.toFixed(0)} mm was given, the marks say ${predicted.mm.toFixed(0)} mm. Measure it again, and measure the printed ruler.`,
      );
    }
  } else if (input.checkDistance !== null) {
    warnings.add('The taped distance names something that is not among the sheets found, and was not used.');
  }
  if (check === null && known.length < 2) {
    warnings.add('No long taped distance: the size of the board rests on the printed sheets alone.');
  }
  if (solved.misfit > MOST_MISFIT) return notAPlane();
  const off = solved.anchors.filter((a) => Math.abs(a.off) > MOST_OFF);
  if (off.length > 0) {
    const worst = off.reduce((a, b) => (Math.abs(b.off) > Math.abs(a.off) ? b : a));
    return refused(
      'anchors-disagree',
      `${worst.name} contradicts the marks.`,
      'Check the level line, the places given, and that no two sheets are swapped.',
    );
  }
  return {
    found: true,
    sheets: input.sheets.map((s) => solved.places.get(s.number) ?? s),
    originSheet: aligned.originSheet,
    rmsMm: solved.rmsMm,
    checkDistance: check,
    warnings: [...warnings],
  };
}

/** Turns and shifts the rough frame onto the anchors; null when nothing says what is level. */
function alignToAnchors(
  rough: ReadonlyMap<number, RoughPose>,
  level: readonly number[],
  known: readonly SheetPlace[],
): { poses: ReadonlyMap<number, RoughPose>; originSheet: number | null } | null {
  const moved = (by: RoughPose): ReadonlyMap<number, RoughPose> =>
    new Map([...rough].map(([n, p]) => [n, { ...posed(by, p), turn: p.turn + by.turn }]));
  const placeOf = (s: SheetPlace): BoardPoint => ({ X: s.at!.X.mm, Y: s.at!.Y.mm });
  if (known.length >= 2) {
    const by = nearestPose(
      known.map((s) => rough.get(s.number)!),
      known.map(placeOf),
    );
    return { poses: moved(by), originSheet: null };
  }
  if (level.length < 2) return null;
  // The line's direction, turned so that the arrows point up.
  const ends = level.map((n) => rough.get(n)!);
  let turn = -lineAngle(ends);
  const up = [...rough.values()].reduce((s, p) => s + Math.cos(p.turn + turn), 0);
  if (up < 0) turn += Math.PI;
  const anchor = known[0];
  const originSheet = anchor === undefined ? level[0]! : null;
  const fixed = rough.get(anchor?.number ?? level[0]!)!;
  const target = anchor === undefined ? { X: 0, Y: 0 } : placeOf(anchor);
  const turned = posed({ X: 0, Y: 0, turn }, fixed);
  return { poses: moved({ X: target.X - turned.X, Y: target.Y - turned.Y, turn }), originSheet };
}

/** Direction of the line through points, rad: along the greatest spread. */
function lineAngle(points: readonly BoardPoint[]): number {
  const mX = points.reduce((s, p) => s + p.X, 0) / points.length;
  const mY = points.reduce((s, p) => s + p.Y, 0) / points.length;
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (const p of points) {
    xx += (p.X - mX) ** 2;
    yy += (p.Y - mY) ** 2;
    xy += (p.X - mX) * (p.Y - mY);
  }
  return 0.5 * Math.atan2(2 * xy, xx - yy);
}

/** Sheet numbers in names like 'sheet 3' or '3'; other names (crosses) are skipped. */
function sheetNumbers(names: readonly string[]): readonly number[] {
  return names.flatMap((n) => {
    const m = /^\s*(?:sheet\s*)?(\d+)\s*$/i.exec(n);
    return m === null ? [] : [Number(m[1])];
  });
}

function notAPlane(): Survey {
  return refused(
    'not-a-plane',
    'The sheets do not lie on one flat board, or one moved between the photos.',
    'Press the sheets flat, straighten a bowed board, and take the photos again.',
  );
}

function refused(why: Extract<Survey, { found: false }>['why'], detail: string, advice: string): Survey {
  return { found: false, why, detail, advice };
}
