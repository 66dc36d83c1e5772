import type { PlacedPrint } from '../../src/renderer/index.ts';
import { PAPER_REFLECTANCE, sheetDesign } from '../../src/vision/mark-design.ts';

/** A printed sheet as it truly hangs. `scale` is what the printer made of 1 mm. */
export interface HungSheet {
  readonly number: number;
  readonly X: number;
  readonly Y: number;
  readonly turnDeg: number;
  readonly scale: number;
}

/** An A4 sheet on the board: the page first, then everything printed on it. */
export function sheetPrints(sheet: HungSheet): readonly PlacedPrint[] {
  const design = sheetDesign(sheet.number, 'a4');
  const c = Math.cos((sheet.turnDeg * Math.PI) / 180);
  const s = Math.sin((sheet.turnDeg * Math.PI) / 180);
  const place = (p: { readonly X: number; readonly Y: number }, scale: number) => ({
    X: sheet.X + scale * (c * p.X - s * p.Y),
    Y: sheet.Y + scale * (s * p.X + c * p.Y),
  });
  const [w, h] = [design.widthMm / 2, design.heightMm / 2];
  // The page keeps its size whatever the printer does to the print.
  const corners = [
    { X: -w, Y: -h },
    { X: w, Y: -h },
    { X: w, Y: h },
    { X: -w, Y: h },
  ].map((p) => place(p, 1));
  return [
    { shape: { kind: 'polygon', points: corners }, reflectance: PAPER_REFLECTANCE },
    ...design.shapes.map(({ reflectance, ...shape }): PlacedPrint => {
      if (shape.kind === 'polygon') {
        return {
          shape: { kind: 'polygon', points: shape.points.map((p) => place(p, sheet.scale)) },
          reflectance,
        };
      }
      const centre = place(shape.centre, sheet.scale);
      return { shape: { kind: 'disc', centre, radiusMm: sheet.scale * shape.radiusMm }, reflectance };
    }),
  ];
}
