import { DEFAULT_U } from '../../src/job/defaults.ts';
import { type BoardStand, Random } from '../../src/renderer/index.ts';
import type { HungSheet } from './prints.ts';

/**
 * The yard as it truly is. Every number that the job states is wrong here by a draw from the standard uncertainty that
 * the job gives it (or that the program assumes): nobody tapes without error, and the reader is told none of it.
 */

/** What the tape said: the numbers of the job file, mm. */
export const TYPED = {
  distance: 8000,
  marks: { left: { X: -523, Y: 673 }, right: { X: 517, Y: 681 } },
  sheets: [
    { number: 1, X: -1045, Y: 122 },
    { number: 2, X: -330, Y: 118 },
    { number: 3, X: 270, Y: 118 },
    { number: 4, X: 1040, Y: 122 },
  ],
  /** What the printed 100 mm line measures. */
  ruler: 99.5,
  crosses: [
    { name: 'A', X: -1120, Y: 330 },
    { name: 'B', X: -1085, Y: 85 },
    { name: 'C', X: -300, Y: 95 },
    { name: 'D', X: 215, Y: 80 },
    { name: 'E', X: 1060, Y: 90 },
    { name: 'F', X: 1130, Y: 345 },
  ],
  board: { left: -1220, right: 1220, bottom: 0, top: 1220 },
} as const;

export type SideName = 'left' | 'right';

/** The lens centres above the ground, mm: only the floor in the picture needs them. */
export const LAMP_HEIGHT = { left: 704, right: 711 } as const;

export interface World {
  /** How each lamp truly looks at the board. */
  readonly stands: Readonly<Record<SideName, BoardStand>>;
  readonly sheets: readonly HungSheet[];
  readonly crosses: readonly { readonly name: string; readonly X: number; readonly Y: number }[];
}

/** Draws the yard. @param seed the same one gives the same yard. */
export function drawWorld(seed: number): World {
  const random = new Random(seed);
  const [bay, left, right, sheets, crosses] = [1, 2, 3, 4, 5].map((purpose) => random.fork(purpose)) as [
    Random,
    Random,
    Random,
    Random,
    Random,
  ];
  // Shared by both lamps: distance, floor, springs, direction of rolling back, the board's stance.
  const distanceMm = bay.normal(TYPED.distance, DEFAULT_U.distance.u);
  const slope = bay.normal(0, DEFAULT_U.floorFlatness.u / 1000) + bay.normal(0, DEFAULT_U.loadCar.u);
  const axis = bay.normal(0, DEFAULT_U.noseMarks.u);
  const stance = {
    outOfPlumbDeg: bay.normal(0, DEFAULT_U.outOfPlumb.u),
    yawDeg: bay.normal(0, DEFAULT_U.boardYaw.u),
    rollDeg: bay.normal(0, Math.hypot(DEFAULT_U.levelLine.u, DEFAULT_U.crossFall.u)),
  };
  const stand = (mark: { readonly X: number; readonly Y: number }, own: Random): BoardStand => ({
    distanceMm,
    axisFoot: {
      X: own.normal(mark.X, DEFAULT_U.lampMark.u) + axis * distanceMm,
      Y: own.normal(mark.Y, DEFAULT_U.lampMark.u) + slope * distanceMm,
    },
    ...stance,
  });
  return {
    stands: { left: stand(TYPED.marks.left, left), right: stand(TYPED.marks.right, right) },
    sheets: TYPED.sheets.map(({ number, X, Y }) => ({
      number,
      X: sheets.normal(X, DEFAULT_U.sheetPlace.u),
      Y: sheets.normal(Y, DEFAULT_U.sheetPlace.u),
      turnDeg: sheets.normal(0, DEFAULT_U.sheetTurn.u),
      scale: TYPED.ruler / 100,
    })),
    crosses: TYPED.crosses.map(({ name, X, Y }) => ({
      name,
      X: crosses.normal(X, DEFAULT_U.crossPlace.u),
      Y: crosses.normal(Y, DEFAULT_U.crossPlace.u),
    })),
  };
}
