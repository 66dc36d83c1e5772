import type { JobFile } from '../job/schema.ts';
import { JOB_VERSION } from '../job/schema.ts';
import { makeScene, type PlacedPrint, type Scene } from '../renderer/index.ts';
import { MARK_SIZE_MM, sheetDesign } from '../vision/mark-design.ts';

/** What a practice photo shows; lengths mm, aim per cent. */
export interface Practice {
  readonly dropPct: number;
  readonly offsetPct: number;
  readonly distanceMm: number;
  readonly trafficSide: 'left' | 'right';
  readonly litHeightMm: number;
  readonly seed: number;
  readonly widthPx: number;
}

/** Sheets and where their crosses stand, counted from the lamp's centre mark. */
const SHEETS = [
  { number: 1, X: -850, Y: -330 },
  { number: 2, X: -395, Y: -415 },
  { number: 3, X: 405, Y: -405 },
  { number: 4, X: 860, Y: -345 },
] as const;
const SHARPNESS_G = 0.22;

/** A scene to photograph: one lamp, a matt board with four sheets, a dim garage. */
export function practiceScene(p: Practice): Scene {
  return makeScene({
    beam: { kind: 'rise', traffic: p.trafficSide, family: 'logistic', sharpnessG: SHARPNESS_G, seed: p.seed },
    aim: { dropPct: p.dropPct, offsetPct: p.offsetPct, tiltDeg: 0.2 },
    opening: { filling: 'disc', widthMm: p.litHeightMm, heightMm: p.litHeightMm },
    stand: { distanceMm: p.distanceMm, axisFoot: { X: 0, Y: 0 } },
    board: { left: -1250, right: 1250, bottom: -640, top: 560, prints: prints(), seed: p.seed },
    ambient: { lux: 0.4 },
    camera: {
      widthPx: p.widthPx,
      heightPx: Math.round((p.widthPx * 3) / 4),
      place: { right: 620, forward: -500, up: 820 },
      lookAt: { X: 30, Y: -90 },
      rollDeg: 0.7,
      focal35Mm: 26 * Math.max(1, p.distanceMm / 2600),
    },
    surroundings: { lampHeightMm: 660 },
  });
}

function prints(): PlacedPrint[] {
  return SHEETS.flatMap(({ number, X, Y }) => {
    const { widthMm, heightMm, shapes } = sheetDesign(number, 'a4');
    const corner = (sx: number, sy: number): { X: number; Y: number } => ({
      X: X + (sx * widthMm) / 2,
      Y: Y + (sy * heightMm) / 2,
    });
    const paper: PlacedPrint = {
      shape: { kind: 'polygon', points: [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)] },
      reflectance: 0.85,
    };
    return [
      paper,
      ...shapes.map(
        (s): PlacedPrint =>
          s.kind === 'disc'
            ? {
                shape: {
                  kind: 'disc',
                  centre: { X: X + s.centre.X, Y: Y + s.centre.Y },
                  radiusMm: s.radiusMm,
                },
                reflectance: s.reflectance,
              }
            : {
                shape: { kind: 'polygon', points: s.points.map((q) => ({ X: X + q.X, Y: Y + q.Y })) },
                reflectance: s.reflectance,
              },
      ),
    ];
  });
}

/** The job that goes with the scene: what a person would have taped and typed. */
export function practiceJob(p: Practice, photo: string): JobFile {
  return {
    dipcard: JOB_VERSION,
    title: `Practice photo ${p.seed}`,
    rendered: true,
    vehicle: {
      kind: 'car',
      trafficSide: p.trafficSide,
      lamps: [
        {
          id: 'lamp',
          title: 'practice lamp',
          function: 'passing',
          side: p.trafficSide,
          centre: { up: 660 },
          litHeight: p.litHeightMm,
          litWidth: p.litHeightMm,
          mechanics: {
            kind: 'screws',
            screws: [
              { name: 'up-down screw', moves: 'vertical' },
              { name: 'sideways screw', moves: 'horizontal' },
            ],
          },
        },
      ],
    },
    bay: {
      distance: p.distanceMm,
      method: { kind: 'nose-to-board', lampMarks: { lamp: { X: 0, Y: 0 } } },
    },
    board: {
      sheets: SHEETS.map(({ number, X, Y }) => ({ number, at: { X, Y } })),
      surface: 'matt',
    },
    shots: [{ id: 'practice', lamp: 'lamp', photos: [photo] }],
    schemes: [p.trafficSide === 'left' ? 'gb-inspection-car' : 'un-r48'],
  };
}

/** Smallest width at which a mark's shorter side still covers about 36 px. */
export const LEAST_WIDTH_PX = Math.ceil((36 * 2900) / MARK_SIZE_MM);
