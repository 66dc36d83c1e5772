import { InputError } from '../core/errors.ts';
import { DEFAULT_U } from './defaults.ts';
import type { JobBoard } from './job.ts';
import { angleKnown, measured } from './measured.ts';
import { refuseTwins } from './problems.ts';
import { lengthMm } from './quantity.ts';
import type { ParsedJobFile } from './schema.ts';

/** The printed ruler across each sheet's centre cross, mm. */
const RULER_MM = 100;

/** The board's marks in mm, names checked. @throws InputError naming the field. */
export function boardOf(file: ParsedJobFile): JobBoard {
  const { board } = file;
  refuseTwins(board.sheets, (sheet) => String(sheet.number), 'board.sheets', 'number');
  refuseTwins(board.crosses, (cross) => cross.name, 'board.crosses', 'name');
  const known = new Set([
    ...board.sheets.flatMap((sheet) => [String(sheet.number), `sheet ${sheet.number}`]),
    ...board.crosses.map((cross) => cross.name),
  ]);
  const checkName = (name: string, field: string): string => {
    if (!known.has(name)) {
      throw new InputError(
        field,
        `a sheet ("sheet 3") or cross of the board: ${[...known].join(', ')}`,
        name,
      );
    }
    return name;
  };
  return {
    sheets: board.sheets.map((sheet, i) => sheetOf(sheet, `board.sheets.${i}`)),
    crosses: board.crosses.map((cross, i) => {
      const X = measured(cross.at.X, `board.crosses.${i}.at.X`, DEFAULT_U.crossPlace);
      const Y = measured(cross.at.Y, `board.crosses.${i}.at.Y`, DEFAULT_U.crossPlace);
      return { name: cross.name, at: { X: X.mm, Y: Y.mm }, uMm: Math.max(X.uMm, Y.uMm) };
    }),
    levelLine: (board.levelLine ?? []).map((name, i) => checkName(name, `board.levelLine.${i}`)),
    checkDistance:
      board.checkDistance === undefined
        ? null
        : {
            from: checkName(board.checkDistance.from, 'board.checkDistance.from'),
            to: checkName(board.checkDistance.to, 'board.checkDistance.to'),
            length: measured(board.checkDistance.length, 'board.checkDistance.length', DEFAULT_U.checkLength),
          },
    surface: board.surface,
    extent: extentOf(board.extent),
  };
}

function sheetOf(sheet: ParsedJobFile['board']['sheets'][number], field: string): JobBoard['sheets'][number] {
  const turn = angleKnown(sheet.turnDeg, `${field}.turnDeg`, 180, DEFAULT_U.sheetTurn, DEFAULT_U.sheetTurn);
  const ruler =
    sheet.rulerMeasures === undefined ? RULER_MM : lengthMm(sheet.rulerMeasures, `${field}.rulerMeasures`);
  if (!(ruler > 80 && ruler < 125)) {
    throw new InputError(
      `${field}.rulerMeasures`,
      'what the 100 mm ruler printed on the sheet measures with a steel rule, 80 to 125 mm',
      sheet.rulerMeasures,
    );
  }
  return {
    number: sheet.number,
    at:
      sheet.at === undefined
        ? null
        : {
            X: measured(sheet.at.X, `${field}.at.X`, DEFAULT_U.sheetPlace),
            Y: measured(sheet.at.Y, `${field}.at.Y`, DEFAULT_U.sheetPlace),
          },
    turnDeg: sheet.turnDeg === undefined ? null : turn.value,
    uTurnDeg: turn.u,
    scale: ruler / RULER_MM,
  };
}

function extentOf(extent: ParsedJobFile['board']['extent']): JobBoard['extent'] {
  if (extent === undefined) return null;
  const mm = {
    left: lengthMm(extent.left, 'board.extent.left'),
    right: lengthMm(extent.right, 'board.extent.right'),
    bottom: lengthMm(extent.bottom, 'board.extent.bottom'),
    top: lengthMm(extent.top, 'board.extent.top'),
  };
  if (!(mm.left < mm.right))
    throw new InputError('board.extent.right', `more than left (${mm.left})`, mm.right);
  if (!(mm.bottom < mm.top))
    throw new InputError('board.extent.top', `more than bottom (${mm.bottom})`, mm.top);
  return mm;
}
