import type { MatchedPoint, Registration, RegistrationRefusal } from '../core/board-view.ts';
import type { BoardPoint, PhotoPoint } from '../core/frames.ts';
import { boardPointOf } from '../core/geometry/board-projection.ts';
import { homographyJacobian } from '../core/geometry/homography.ts';
import { agreeOnView, facesCamera, unnoticedMm } from './agreement.ts';
import type { FoundMark } from './find-marks.ts';
import { type BoardArea, placeVariance } from './place-variance.ts';
import { markedSheets, pageOutline, type SheetPlace } from './sheet-bodies.ts';
import { type Body, bodyPoint, type PhotoSize, type SolvedView } from './solve-view.ts';

export type { BoardArea, PhotoSize, SheetPlace };

/** A cross that the person tapped, snapped to its crossing. */
export interface SeenCross {
  readonly name: string;
  readonly at: PhotoPoint;
  readonly uPx: number;
}

/** Where a drawn or taped cross stands. */
export interface CrossPlace {
  readonly name: string;
  readonly at: BoardPoint;
  readonly uMm: number;
}

/** Board seen so slantwise that 1 px across is worth this many along: 72 degrees off square. */
const LEAST_ASPECT = 0.31;
/** A mistake in one place that could hide must be smaller than this to go without a warning, mm. */
const BLIND_MM = 30;
/** Nothing contradicts four crosses when the focal length is not known: uncertainties are doubled. */
const UNCHECKED_FACTOR = 4;

/**
 * The board in a photo, from coded sheets with known places.
 *
 * @param input `found`: marks of this photo. `sheets`: the board's sheets; those without a place are left out (survey
 *   them first). `photo`: size and EXIF focal length. `area`: where the variances shall hold, board mm; by default
 *   twice the marks' box.
 * @returns the registration, or a refusal with advice: no marks, only other jobs' marks, a mirrored photo, sheets that
 *   contradict each other (swapped, moved, mistyped), too slantwise a view.
 */
export function registerSheets(input: {
  readonly found: readonly FoundMark[];
  readonly sheets: readonly SheetPlace[];
  readonly photo: PhotoSize;
  readonly area?: BoardArea | null | undefined;
}): Registration | RegistrationRefusal {
  const { photo, sheets } = input;
  const marked = markedSheets(input.found, sheets);
  if (!marked.found) return marked;
  const { bodies, warnings } = marked;
  const result = register(bodies, photo, 'sheets', input.area);
  if (!result.found) return result;
  const used = bodies.filter((b) => result.points.some((p) => p.used && p.name.startsWith(`${b.name} `)));
  const alone =
    used.length === 1
      ? [`Only ${used[0]!.name} was used: nothing could contradict its place. A second sheet would check it.`]
      : [];
  return {
    ...result,
    check: used.length > 1 ? 'checked' : 'unchecked',
    printedAreas: sheets.flatMap((s) => (s.at === null ? [] : [pageOutline(s)])),
    warnings: [...warnings, ...result.warnings, ...alone],
  };
}

/**
 * The board in a photo, from drawn or taped crosses that the person named.
 *
 * @param input `points`: crosses seen; `crosses`: where they stand. At least four must match by name.
 * @returns the registration, 'unchecked' with doubled uncertainty when there are only four and no EXIF focal length;
 *   or a refusal: too few, in one line, mirrored, upside down, or not the view of any camera (swapped, mistyped).
 */
export function registerCrosses(input: {
  readonly points: readonly SeenCross[];
  readonly crosses: readonly CrossPlace[];
  readonly photo: PhotoSize;
  readonly area?: BoardArea | null | undefined;
}): Registration | RegistrationRefusal {
  const { photo } = input;
  const warnings: string[] = [];
  const bodies: Body[] = [];
  for (const p of input.points) {
    const cross = input.crosses.find((c) => c.name === p.name);
    if (cross === undefined) {
      warnings.push(`Cross ${p.name} is not on the board's list and was left out.`);
      continue;
    }
    if (bodies.some((b) => b.name === p.name)) {
      warnings.push(`Cross ${p.name} was tapped twice; only the first tap counts.`);
      continue;
    }
    bodies.push({
      name: p.name,
      at: cross.at,
      turnDeg: 0,
      uXMm: Math.max(cross.uMm, 0.1),
      uYMm: Math.max(cross.uMm, 0.1),
      uTurnDeg: 1,
      points: [{ name: `cross ${p.name}`, local: { X: 0, Y: 0 }, photo: p.at, uPx: p.uPx }],
    });
  }
  if (bodies.length < 4) {
    return refusal(
      'too-few-marks',
      `${bodies.length} crosses can be used; at least 4 are needed.`,
      'Tap at least four crosses, spread over the board and not in one line.',
    );
  }
  if (inOneLine(bodies)) {
    return refusal(
      'marks-in-one-line',
      'The crosses lie almost in one line, or three of the four do.',
      'Add a cross well above or below the others.',
    );
  }
  const result = register(bodies, photo, 'crosses', input.area);
  if (!result.found) return result;
  const used = result.points.filter((p) => p.used).length;
  const checked = used > 4 || photo.focal35Mm !== null;
  if (checked)
    return {
      ...result,
      printedAreas: input.crosses.flatMap(crossArms),
      warnings: [...warnings, ...result.warnings],
    };
  return {
    ...result,
    check: 'unchecked',
    foundVar: widened(result.foundVar),
    placedVar: widened(result.placedVar),
    warnings: [
      ...warnings,
      ...result.warnings,
      'Four crosses and no focal length in the photo: nothing could contradict a wrong cross. Add a fifth cross.',
    ],
  };
}

/** What both ways share: solve, agree, refuse what can't be, fill in variances. */
function register(
  bodies: readonly Body[],
  photo: PhotoSize,
  kind: 'sheets' | 'crosses',
  area: BoardArea | null | undefined,
): Registration | RegistrationRefusal {
  const agreed = agreeOnView(bodies, photo, kind);
  if (!('solved' in agreed)) {
    const hint =
      agreed.swapped !== null
        ? ` It would fit if ${agreed.swapped[0]} and ${agreed.swapped[1]} changed places.`
        : agreed.suspects.length > 0
          ? ` The others would agree without ${agreed.suspects.join(', or without ')}: one of these is wrong.`
          : agreed.worst !== null
            ? ` ${agreed.worst} is farthest off.`
            : '';
    return refusal(
      'marks-disagree',
      `No camera can see the marks at the places given.${hint}`,
      kind === 'sheets'
        ? 'Check that each sheet hangs where the job says, and that no two are swapped.'
        : 'Check that each tap carries the right name, and each place its right figures and signs.',
    );
  }
  const { solved, kept } = agreed;
  const points = matchedPoints(bodies, kept, solved);
  const refused = impossibleView(solved, bodies, kept, points);
  if (refused !== null) return refused;
  const used = points.filter((p) => p.used);
  const rmsMm = Math.sqrt(used.reduce((s, p) => s + p.residualMm ** 2, 0) / used.length);
  // Residuals above what was expected widen the result; below, they do not narrow it (Birge).
  const misfit = Math.max(
    1,
    ...bodies.map((_, i) => (kept[i] && kind === 'sheets' ? solved.bodyMisfit[i]! ** 2 : 1)),
  );
  const within = area ?? boxOf(used.map((p) => p.board));
  return {
    found: true,
    view: solved.view,
    points,
    rmsMm,
    check: 'checked',
    foundVar: placeVariance(solved, 'found', within, misfit),
    placedVar: placeVariance(solved, 'placed', within, 1),
    printedAreas: [],
    warnings: [
      ...bodies
        .filter((_, i) => !kept[i])
        .map(
          (b) =>
            `${kind === 'sheets' ? b.name : `Cross ${b.name}`} does not stand where the job says and was left out: check its place.`,
        ),
      ...blindSpot(solved, bodies, kept, kind),
    ],
  };
}

/** A warning when a gross mistake in one place could hide in the view; one sheet alone is warned of elsewhere. */
function blindSpot(
  solved: SolvedView,
  bodies: readonly Body[],
  kept: readonly boolean[],
  kind: 'sheets' | 'crosses',
): readonly string[] {
  const left = kept.filter(Boolean).length;
  if (kind === 'sheets' && left < 2) return [];
  const blind = unnoticedMm(solved, bodies, kept);
  if (blind === null || blind.mm < BLIND_MM) return [];
  const name = kind === 'sheets' ? blind.name : `cross ${blind.name}`;
  return [
    `A mistake of up to ${Math.ceil(blind.mm / 10) * 10} mm in the place of ${name} would not show. One more ${kind === 'sheets' ? 'sheet' : 'cross'} would show it.`,
  ];
}

/** What no honest photo of the board shows. */
function impossibleView(
  solved: SolvedView,
  bodies: readonly Body[],
  kept: readonly boolean[],
  points: readonly MatchedPoint[],
): RegistrationRefusal | null {
  if (!facesCamera(solved)) {
    return refusal(
      'mirrored',
      'Left and right are swapped in this photo, or in the places given.',
      'Use the unmirrored photo (front cameras often mirror), and count X to the right as seen from the vehicle.',
      points,
    );
  }
  // Board up in the photo: anything but upwards means a photo on its side or places with swapped signs.
  const r = solved.pose.rotation;
  const upTurn = Math.abs((Math.atan2(-r[1]!, -r[4]!) * 180) / Math.PI);
  if (upTurn > 60) {
    return refusal(
      'marks-disagree',
      `The board stands turned by ${Math.round(upTurn)} degrees in this photo.`,
      'Turn the photo upright, and check that Y counts upwards and every sheet hangs with its arrow up.',
      points,
    );
  }
  const used = bodies.filter((_, i) => kept[i]);
  const middle = {
    X: used.reduce((s, b) => s + b.at.X, 0) / used.length,
    Y: used.reduce((s, b) => s + b.at.Y, 0) / used.length,
  };
  const [a, b, c, d] = homographyJacobian(solved.view.homography, middle);
  const sum = a * a + b * b + c * c + d * d;
  const det = Math.abs(a * d - b * c);
  // Ratio of the two singular values of the 2 x 2 derivative.
  const big = (sum + Math.sqrt(Math.max(0, sum * sum - 4 * det * det))) / 2;
  if (det / big < LEAST_ASPECT) {
    return refusal(
      'too-oblique',
      'The board is seen too much from the side.',
      'Put the camera more squarely before the board: behind the lamps, above or beside the vehicle.',
      points,
    );
  }
  return null;
}

function matchedPoints(
  bodies: readonly Body[],
  kept: readonly boolean[],
  solved: SolvedView,
): readonly MatchedPoint[] {
  return bodies.flatMap((b, i) =>
    b.points.map((p): MatchedPoint => {
      const board = bodyPoint(b, p.local);
      const seen = boardPointOf(solved.view, p.photo);
      return {
        name: p.name,
        board,
        photo: p.photo,
        residualMm: Math.hypot(seen.X - board.X, seen.Y - board.Y),
        used: kept[i]!,
      };
    }),
  );
}

/** Whether all crosses, or three of four, lie within 4 % of a line. */
function inOneLine(bodies: readonly Body[]): boolean {
  const points = bodies.map((b) => b.at);
  const groups = points.length === 4 ? points.map((_, i) => points.filter((_, j) => j !== i)) : [points];
  return groups.some((g) => flatness(g) < 0.04);
}

/** Least over greatest spread of points: 0 in one line, 1 round. */
function flatness(points: readonly BoardPoint[]): number {
  const n = points.length;
  const mX = points.reduce((s, p) => s + p.X, 0) / n;
  const mY = points.reduce((s, p) => s + p.Y, 0) / n;
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (const p of points) {
    xx += (p.X - mX) ** 2;
    yy += (p.Y - mY) ** 2;
    xy += (p.X - mX) * (p.Y - mY);
  }
  const root = Math.hypot(xx - yy, 2 * xy);
  return xx + yy + root > 0 ? Math.sqrt(Math.max(0, xx + yy - root) / (xx + yy + root)) : 0;
}

/** The points' box, widened by half its size on each side. */
function boxOf(points: readonly BoardPoint[]): BoardArea {
  const xs = points.map((p) => p.X);
  const ys = points.map((p) => p.Y);
  const left = Math.min(...xs);
  const right = Math.max(...xs);
  const bottom = Math.min(...ys);
  const top = Math.max(...ys);
  const dX = Math.max(right - left, 200) / 2;
  const dY = Math.max(top - bottom, 200) / 2;
  return { left: left - dX, right: right + dX, bottom: bottom - dY, top: top + dY };
}

function widened(v: Registration['foundVar']): Registration['foundVar'] {
  const by = (t: readonly [number, number, number]): [number, number, number] => [
    UNCHECKED_FACTOR * t[0],
    UNCHECKED_FACTOR * t[1],
    UNCHECKED_FACTOR * t[2],
  ];
  return { centre: v.centre, xVarMm2: by(v.xVarMm2), yVarMm2: by(v.yVarMm2) };
}

function refusal(
  why: RegistrationRefusal['why'],
  detail: string,
  advice: string,
  points: readonly MatchedPoint[] = [],
): RegistrationRefusal {
  return { found: false, why, detail, advice, points };
}

/** Half the length and half the width that a cross of tape may reasonably have, with the tape's own unevenness, mm. */
const ARM = { half: 75, wide: 18 } as const;

/** Where a cross's two strips lie: light on tape is not light on the board. Its true length is not known. */
function crossArms(cross: CrossPlace): BoardPoint[][] {
  const { X, Y } = cross.at;
  const strip = (x: number, y: number): BoardPoint[] => [
    { X: X - x, Y: Y - y },
    { X: X + x, Y: Y - y },
    { X: X + x, Y: Y + y },
    { X: X - x, Y: Y + y },
  ];
  return [strip(ARM.half, ARM.wide), strip(ARM.wide, ARM.half)];
}
