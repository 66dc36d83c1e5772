import type { BoardPoint } from '../../src/core/frames.ts';
import { applyHomography, type Homography } from '../../src/core/geometry/homography.ts';
import type { FoundMark } from '../../src/vision/find-marks.ts';
import { sheetMarks } from '../../src/vision/mark-design.ts';
import { generator, sheetToBoard } from './draw-board.ts';

/** Where a sheet really hangs. */
export interface Hung {
  readonly number: number;
  readonly at: BoardPoint;
  readonly turnDeg: number;
  readonly scale?: number;
}

/** Normal deviates from a seed. */
export function gauss(seed: number): () => number {
  const next = generator(seed);
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
}

/** Marks as a finder would report them, without drawing: true corners plus noise of `noisePx`. */
export function marksSeen(
  sheets: readonly Hung[],
  view: Homography,
  noisePx = 0,
  deviate: () => number = gauss(1),
): FoundMark[] {
  return sheets.flatMap((s) =>
    sheetMarks(s.number).map((m): FoundMark => {
      const corners = m.corners.map((c) => {
        const k = s.scale ?? 1;
        const p = applyHomography(view, sheetToBoard(s.at, s.turnDeg, { X: k * c.X, Y: k * c.Y }));
        return { x: p.x + noisePx * deviate(), y: p.y + noisePx * deviate() };
      });
      return {
        identity: m.identity,
        sheet: s.number,
        place: m.place,
        mirrored: false,
        corners: corners as unknown as FoundMark['corners'],
        uPx: Math.max(noisePx, 0.02),
        contrastLevels: 60,
        blurPx: 1,
        wrongCells: 0,
      };
    }),
  );
}
