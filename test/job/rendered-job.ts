import type { DecodedPhoto, PhotoFacts } from '../../src/core/raster.ts';
import type { JobFile } from '../../src/job/schema.ts';
import {
  makeScene,
  type PhotoTruth,
  type PlacedPrint,
  renderPhoto,
  type Scene,
  type SceneParts,
  tapeCross,
} from '../../src/renderer/index.ts';
import { sheetDesign } from '../../src/vision/mark-design.ts';

/** Where the sheets of the rendered jobs hang; no two alike. */
export const SHEETS = [
  { number: 3, X: -850, Y: 300, turnDeg: 0.6 },
  { number: 5, X: 210, Y: 260, turnDeg: -0.4 },
  { number: 8, X: 880, Y: 330, turnDeg: 0 },
] as const;

export const CROSSES = [
  { name: 'A', X: -900, Y: 480 },
  { name: 'B', X: 905, Y: 470 },
  { name: 'C', X: 860, Y: 150 },
  { name: 'D', X: -840, Y: 170 },
  { name: 'E', X: -60, Y: 140 },
] as const;

/** A printed sheet on the board. */
export function sheetPrints(sheet: {
  readonly number: number;
  readonly X: number;
  readonly Y: number;
  readonly turnDeg: number;
}): PlacedPrint[] {
  const design = sheetDesign(sheet.number, 'a4');
  const c = Math.cos((sheet.turnDeg * Math.PI) / 180);
  const s = Math.sin((sheet.turnDeg * Math.PI) / 180);
  const place = (p: { X: number; Y: number }) => ({
    X: sheet.X + c * p.X - s * p.Y,
    Y: sheet.Y + s * p.X + c * p.Y,
  });
  const half = { X: design.widthMm / 2, Y: design.heightMm / 2 };
  const page: PlacedPrint = {
    shape: {
      kind: 'polygon',
      points: [
        { X: -half.X, Y: -half.Y },
        { X: half.X, Y: -half.Y },
        { X: half.X, Y: half.Y },
        { X: -half.X, Y: half.Y },
      ].map(place),
    },
    reflectance: 0.85,
  };
  return [
    page,
    ...design.shapes.map(
      (shape): PlacedPrint =>
        shape.kind === 'polygon'
          ? { shape: { kind: 'polygon', points: shape.points.map(place) }, reflectance: shape.reflectance }
          : {
              shape: { kind: 'disc', centre: place(shape.centre), radiusMm: shape.radiusMm },
              reflectance: shape.reflectance,
            },
    ),
  ];
}

export function crossPrints(): PlacedPrint[] {
  return CROSSES.flatMap((cross) => tapeCross({ X: cross.X, Y: cross.Y }));
}

/** The facts that a photo file of the scene would state. */
export function factsOf(scene: Scene, truth: PhotoTruth | null, focal35Mm: number | null = 52): PhotoFacts {
  return {
    format: 'raw',
    width: scene.camera.widthPx,
    height: scene.camera.heightPx,
    bitDepth: 8,
    orientation: 1,
    colourSpace: 'srgb',
    exposureS: truth?.exposure.exposureS ?? null,
    fNumber: scene.sensor.fNumber,
    iso: scene.sensor.iso,
    focalLengthMm: null,
    focal35Mm,
    takenAt: null,
    flashFired: false,
  };
}

export interface RenderedShot {
  readonly scene: Scene;
  readonly photo: DecodedPhoto;
  readonly truth: PhotoTruth;
}

export const LAMP = { right: 120, up: 655 } as const;

/** One rendered photo of the left lamp's beam, 5 m from a board with sheets. */
export function renderShot(
  parts: SceneParts,
  seed: number,
  prints = SHEETS.flatMap(sheetPrints),
): RenderedShot {
  const scene = makeScene({
    beam: { kind: 'rise', traffic: 'left', family: 'erf', sharpnessG: 0.25 },
    aim: { dropPct: 1.37, offsetPct: -0.42, tiltDeg: 0 },
    opening: { filling: 'lens', widthMm: 70, heightMm: 60 },
    stand: {
      distanceMm: 5000,
      axisFoot: { X: LAMP.right, Y: LAMP.up },
      outOfPlumbDeg: 0,
      yawDeg: 0,
      rollDeg: 0,
    },
    ...parts,
    board: { left: -1200, right: 1200, bottom: 0, top: 1400, prints, seed: 7, ...parts.board },
  });
  const { raster, truth } = renderPhoto(scene, seed);
  return { scene, truth, photo: { raster, facts: factsOf(scene, truth) } };
}

/** The job that fits renderShot, with every number as it truly is and the usual uncertainties. */
export function jobFor(change: Partial<JobFile> = {}): JobFile {
  return {
    dipcard: 1,
    title: 'Rendered lamp',
    rendered: true,
    vehicle: {
      kind: 'car',
      trafficSide: 'left',
      lamps: [
        {
          id: 'left-dip',
          function: 'passing',
          side: 'left',
          centre: { right: LAMP.right, up: LAMP.up },
          litHeight: 60,
          litWidth: 70,
          mechanics: {
            kind: 'supports',
            supports: [
              { kind: 'fixed', right: 0, up: 0 },
              { kind: 'screw', name: 'top', right: 0, up: 150, pitch: 0.8, clockwise: 'forward' },
              { kind: 'screw', name: 'side', right: 140, up: 0, pitch: 0.8, clockwise: 'back' },
            ],
          },
        },
      ],
    },
    bay: {
      distance: 5000,
      method: { kind: 'floor', originAboveFoot: 0, footAboveTyrePlane: 0, axis: 'sighting', axisX: 0 },
    },
    board: {
      sheets: SHEETS.map(({ number, X, Y, turnDeg }) => ({ number, at: { X, Y }, turnDeg })),
      extent: { left: -1200, right: 1200, bottom: 0, top: 1400 },
    },
    shots: [{ id: 'one', lamp: 'left-dip', photos: ['one.jpg'] }],
    schemes: ['gb-inspection-car', 'gb-lighting-default'],
    ...change,
  };
}
