import { InputError } from '../core/errors.ts';
import type { BoardPoint } from '../core/frames.ts';
import { FIELD_CELLS, fieldOf, IDENTITY_COUNT } from './mark-codes.ts';

/**
 * The printed sheet: four coded marks as one rigid body around a centre cross, laid out across the page (landscape).
 * Sheet frame, mm: origin at the centre cross, X right, Y up as the arrow says. The marks stand at the same places
 * on A4 and on US Letter, so a photo need not know which paper was used.
 */

/** Marks on a sheet; mark place 0 upper left, 1 upper right, 2 lower right, 3 lower left. */
export const MARKS_PER_SHEET = 4;
/** Sheets are numbered from 1 to this. */
export const SHEET_COUNT = Math.floor(IDENTITY_COUNT / MARKS_PER_SHEET);
/** A mark's outer side, mm: black border one cell wide round the field, all cells 10 mm. */
export const MARK_SIZE_MM = 80;
/** Cells along one side of a mark, its border included. */
export const MARK_CELLS = FIELD_CELLS + 2;
/** Where a mark's nearer edges stand: from the sheet's vertical and horizontal centre lines, mm. */
const MARK_INNER = { X: 46, Y: 12.5 } as const;
const CELL_MM = MARK_SIZE_MM / MARK_CELLS;

/** Reflectance of office paper and of black toner or ink on it: nominal, common practice, no source. */
export const PAPER_REFLECTANCE = 0.85;
export const BLACK_REFLECTANCE = 0.05;

export type Paper = 'a4' | 'letter';
const PAGE_MM = {
  a4: { widthMm: 297, heightMm: 210 },
  letter: { widthMm: 279.4, heightMm: 215.9 },
} as const;

/** Something printed. Later shapes cover earlier ones. Diffuse reflectance 0 to 1; the page is PAPER_REFLECTANCE. */
export type PrintedShape =
  | { readonly kind: 'polygon'; readonly points: readonly BoardPoint[]; readonly reflectance: number }
  | {
      readonly kind: 'disc';
      readonly centre: BoardPoint;
      readonly radiusMm: number;
      readonly reflectance: number;
    };

/** A line of print: `at` is the left or middle end of its base line, in black. */
export interface PrintedText {
  readonly text: string;
  readonly at: BoardPoint;
  /** Height of a capital letter, mm. */
  readonly capHeightMm: number;
  readonly anchor: 'left' | 'middle';
}

export interface PrintedMark {
  readonly identity: number;
  /** 0 upper left, 1 upper right, 2 lower right, 3 lower left of the sheet. */
  readonly place: number;
  readonly centre: BoardPoint;
  /** Outer corners of the black border: upper left, upper right, lower right, lower left. */
  readonly corners: readonly [BoardPoint, BoardPoint, BoardPoint, BoardPoint];
}

/** One step of the grey ladder: an upright rectangle. */
export interface GreyPatch {
  readonly centre: BoardPoint;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly reflectance: number;
}

export interface SheetDesign {
  readonly number: number;
  readonly paper: Paper;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly shapes: readonly PrintedShape[];
  readonly texts: readonly PrintedText[];
  readonly marks: readonly PrintedMark[];
  /** Printed size check: the long ticks at both ends of each line stand `lengthMm` apart. */
  readonly ruler: {
    readonly lengthMm: number;
    readonly across: { readonly from: BoardPoint; readonly to: BoardPoint };
    readonly upwards: { readonly from: BoardPoint; readonly to: BoardPoint };
  };
  readonly greyPatches: readonly GreyPatch[];
}

/** Nominal reflectances of the ladder's steps, dark to light; paper and mark border are two more. */
export const GREY_STEPS = [0.08, 0.15, 0.25, 0.4, 0.6] as const;

/** The sheet and the place on it that an identity belongs to. */
export function sheetOfIdentity(identity: number): { readonly sheet: number; readonly place: number } {
  return { sheet: Math.floor(identity / MARKS_PER_SHEET) + 1, place: identity % MARKS_PER_SHEET };
}

/**
 * The four marks of a sheet, sheet frame, mm.
 * @throws InputError when there is no sheet of that number.
 */
export function sheetMarks(number: number): readonly PrintedMark[] {
  if (!(Number.isInteger(number) && number >= 1 && number <= SHEET_COUNT)) {
    throw new InputError('sheet number', `a whole number from 1 to ${SHEET_COUNT}`, number);
  }
  const half = MARK_SIZE_MM / 2;
  return Array.from({ length: MARKS_PER_SHEET }, (_, place) => {
    const X = (place === 0 || place === 3 ? -1 : 1) * (MARK_INNER.X + half);
    const Y = (place < 2 ? 1 : -1) * (MARK_INNER.Y + half);
    return {
      identity: (number - 1) * MARKS_PER_SHEET + place,
      place,
      centre: { X, Y },
      corners: [
        { X: X - half, Y: Y + half },
        { X: X + half, Y: Y + half },
        { X: X + half, Y: Y - half },
        { X: X - half, Y: Y - half },
      ],
    } as const;
  });
}

/**
 * Everything printed on a sheet, as plain data for the printer's page and for drawn photographs.
 * @param number 1 to SHEET_COUNT. @param paper the page, always used sideways (landscape).
 * @throws InputError when there is no sheet of that number.
 */
export function sheetDesign(number: number, paper: Paper): SheetDesign {
  const marks = sheetMarks(number);
  const page = PAGE_MM[paper];
  const greyPatches = ladder();
  const ruler = {
    lengthMm: 100,
    across: { from: { X: -50, Y: 0 }, to: { X: 50, Y: 0 } },
    upwards: { from: { X: 0, Y: -50 }, to: { X: 0, Y: 50 } },
  };
  return {
    number,
    paper,
    ...page,
    shapes: [
      ...marks.flatMap(markShapes),
      ...crossShapes(page.widthMm, page.heightMm),
      ...greyPatches.map((p): PrintedShape => box(p.centre, p.widthMm, p.heightMm, p.reflectance)),
      arrow(),
    ],
    texts: [
      { text: `${number}`, at: { X: 23, Y: 30 }, capHeightMm: 16, anchor: 'middle' },
      { text: `sheet ${number}`, at: { X: -22, Y: -32 }, capHeightMm: 5, anchor: 'middle' },
      { text: 'UP', at: { X: 23, Y: 60 }, capHeightMm: 5, anchor: 'middle' },
      { text: 'Print at 100 %.', at: { X: -40, Y: -46 }, capHeightMm: 2.6, anchor: 'left' },
      { text: 'The long ticks', at: { X: -40, Y: -52 }, capHeightMm: 2.6, anchor: 'left' },
      { text: 'are 100 mm apart.', at: { X: -40, Y: -57 }, capHeightMm: 2.6, anchor: 'left' },
      { text: 'Measure them.', at: { X: -40, Y: -62 }, capHeightMm: 2.6, anchor: 'left' },
      { text: 'Put this line', at: { X: -40, Y: -74 }, capHeightMm: 2.6, anchor: 'left' },
      { text: 'on the level line.', at: { X: -40, Y: -79 }, capHeightMm: 2.6, anchor: 'left' },
    ],
    marks,
    ruler,
    greyPatches,
  };
}

function box(centre: BoardPoint, widthMm: number, heightMm: number, reflectance: number): PrintedShape {
  const { X, Y } = centre;
  const w = widthMm / 2;
  const h = heightMm / 2;
  return {
    kind: 'polygon',
    points: [
      { X: X - w, Y: Y + h },
      { X: X + w, Y: Y + h },
      { X: X + w, Y: Y - h },
      { X: X - w, Y: Y - h },
    ],
    reflectance,
  };
}

/** A black square, then its white cells. */
function markShapes(mark: PrintedMark): PrintedShape[] {
  const field = fieldOf(mark.identity);
  const left = mark.corners[0].X + CELL_MM;
  const top = mark.corners[0].Y - CELL_MM;
  const shapes = [box(mark.centre, MARK_SIZE_MM, MARK_SIZE_MM, BLACK_REFLECTANCE)];
  // Runs both ways, so that touching white cells overlap and no hairline of black shows where they meet.
  for (const along of ['row', 'column'] as const) {
    for (let line = 0; line < FIELD_CELLS; line++) {
      for (let i = 0; i < FIELD_CELLS; ) {
        const white = (k: number): boolean =>
          k < FIELD_CELLS && field[along === 'row' ? line * FIELD_CELLS + k : k * FIELD_CELLS + line] === 1;
        let n = 0;
        while (white(i + n)) n++;
        if (n > (along === 'row' ? 0 : 1)) {
          const mid = (i + n / 2) * CELL_MM;
          const across = (line + 0.5) * CELL_MM;
          const centre =
            along === 'row' ? { X: left + mid, Y: top - across } : { X: left + across, Y: top - mid };
          const [w, h] = along === 'row' ? [n * CELL_MM, CELL_MM] : [CELL_MM, n * CELL_MM];
          shapes.push(box(centre, w, h, PAPER_REFLECTANCE));
        }
        i += Math.max(n, 1);
      }
    }
  }
  return shapes;
}

/** Arms to the page's edges, with ticks every 10 mm that make them rulers too. */
function crossShapes(widthMm: number, heightMm: number): PrintedShape[] {
  const shapes = [
    box({ X: 0, Y: 0 }, widthMm, 0.6, BLACK_REFLECTANCE),
    box({ X: 0, Y: 0 }, 0.6, heightMm, BLACK_REFLECTANCE),
  ];
  for (let mm = -50; mm <= 50; mm += 10) {
    if (mm === 0) continue;
    const long = Math.abs(mm) === 50 ? 7 : 3;
    shapes.push(box({ X: mm, Y: 0 }, 0.3, long, BLACK_REFLECTANCE));
    shapes.push(box({ X: 0, Y: mm }, long, 0.3, BLACK_REFLECTANCE));
  }
  return shapes;
}

/** Five steps left of the upper arm, the same five turned end for end right of the lower: uneven light cancels. */
function ladder(): GreyPatch[] {
  const size = { widthMm: 20, heightMm: 13 };
  return GREY_STEPS.flatMap((reflectance, i) => {
    const Y = 20 + 15 * i;
    return [
      { centre: { X: -22, Y }, ...size, reflectance },
      { centre: { X: 22, Y: -Y }, ...size, reflectance },
    ];
  });
}

function arrow(): PrintedShape {
  return {
    kind: 'polygon',
    points: [
      { X: 23, Y: 90 },
      { X: 32, Y: 78 },
      { X: 26, Y: 78 },
      { X: 26, Y: 69 },
      { X: 20, Y: 69 },
      { X: 20, Y: 78 },
      { X: 14, Y: 78 },
    ],
    reflectance: BLACK_REFLECTANCE,
  };
}
