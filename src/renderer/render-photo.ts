import { InputError } from '../core/errors.ts';
import type { BoardPoint, PhotoPoint } from '../core/frames.ts';
import { readyCamera } from './camera.ts';
import { develop, type ExposureUsed, exposureOf, whiteBalance } from './develop.ts';
import { readyLamp } from './lamp.ts';
import { blurPlane, glareOf } from './lens.ts';
import { Random } from './random.ts';
import type { Scene } from './scene.ts';
import { sceneLight } from './scene-light.ts';
import { type BoardPlace, boardPlace } from './space.ts';
import { type BeamTruth, beamTruth, edgeDropAt } from './truth.ts';

/** An upright photograph as levels; fits core's Raster. */
export interface PhotoRaster {
  readonly width: number;
  readonly height: number;
  readonly channels: 3;
  readonly maxLevel: 255;
  readonly data: Uint8Array;
}

/** What is known about a rendered photograph. Readers must never see it. */
export interface PhotoTruth {
  readonly onBoard: BeamTruth;
  readonly far: BeamTruth;
  readonly exposure: ExposureUsed;
}

export interface RenderedPhoto {
  readonly raster: PhotoRaster;
  readonly truth: PhotoTruth;
}

/** Where things lie in a photo, for whoever changes its light or its levels. */
export interface PhotoPlaces {
  readonly width: number;
  readonly height: number;
  readonly photoOf: (X: number, Y: number) => PhotoPoint;
  /** Null where the line of sight never meets the board's plane. */
  readonly boardOf: (x: number, y: number) => BoardPoint | null;
}

/** What else happens to a photo on its way from light to levels (bad-*.ts); each step may be left out. */
export interface PhotoEdits {
  /** Luminance before the lens, cd/m2, one value per pixel, changed in place. */
  readonly light?: (plane: Float32Array, places: PhotoPlaces) => void;
  /** The same behind the lens: already blurred. */
  readonly sensor?: (plane: Float32Array, places: PhotoPlaces) => void;
  /** The finished picture; another one may be returned, also of another size. */
  readonly levels?: (raster: PhotoRaster, places: PhotoPlaces) => PhotoRaster;
}

function placeOf(scene: Scene): BoardPlace {
  const { stand, left, right, bowMm } = scene.board;
  const bow =
    bowMm === 0 ? null : { sagMm: bowMm, centreX: (left + right) / 2, halfWidthMm: (right - left) / 2 };
  return boardPlace(stand, bow);
}

/**
 * Draws a photograph. Light is formed in the order of nature: lamps and ambient on the board, blur, glare, vignetting,
 * noise, white balance, clipping, tone, eight bits.
 *
 * @param seed of the noise; with the same scene and seed every level is the same.
 * @throws InputError when a part of the scene makes no sense.
 */
export function renderPhoto(scene: Scene, seed: number): RenderedPhoto {
  const raster = renderRaster(scene, seed);
  return { raster: raster.raster, truth: { ...sceneTruth(scene), exposure: raster.exposure } };
}

/** The photograph alone, without its truth; `edits` for photographs that went wrong. */
export function renderRaster(
  scene: Scene,
  seed: number,
  edits: PhotoEdits = {},
): { readonly raster: PhotoRaster; readonly exposure: ExposureUsed } {
  if (scene.lamps.length === 0) throw new InputError('scene.lamps', 'at least one lamp', scene.lamps);
  const board = placeOf(scene);
  const camera = readyCamera(scene.camera, board);
  const lamps = scene.lamps.filter((lamp) => lamp.lit).map(readyLamp);
  const light = sceneLight(scene, lamps, board, camera);
  const { widthPx: width, heightPx: height } = scene.camera;
  const places: PhotoPlaces = {
    width,
    height,
    photoOf: (X, Y) => camera.project(board.place(X, Y)),
    boardOf: (x, y) => board.meet(scene.camera.place, camera.wayOf(x, y)),
  };
  edits.light?.(light.luminance, places);
  blurPlane(light.luminance, width, height, scene.lens);
  edits.sensor?.(light.luminance, places);
  const glare = glareOf(light.luminance, width, height, scene.lens);
  const gains = whiteBalance(scene);
  const exposure = exposureOf(scene, light, glare, gains);
  const data = develop(scene, camera, light, glare, exposure, gains, new Random(seed));
  const raster: PhotoRaster = { width, height, channels: 3, maxLevel: 255, data };
  return { raster: edits.levels?.(raster, places) ?? raster, exposure };
}

/** What the first lamp's beam truly shows on this board and far away, lit or not. */
export function sceneTruth(scene: Scene): { readonly onBoard: BeamTruth; readonly far: BeamTruth } {
  const first = scene.lamps[0];
  if (!first) throw new InputError('scene.lamps', 'at least one lamp', scene.lamps);
  return beamTruth(readyLamp(first), placeOf(scene));
}

/** Drop of the first lamp's cut-off on the vertical line at `offsetPct` from its reference centre, per cent, + down. */
export function edgeTruthAt(
  scene: Scene,
  offsetPct: number,
): { readonly onBoardPct: number; readonly farPct: number } {
  const first = scene.lamps[0];
  if (!first) throw new InputError('scene.lamps', 'at least one lamp', scene.lamps);
  return edgeDropAt(readyLamp(first), placeOf(scene), offsetPct);
}

/** Where a board point truly lies in the upright photo, px (pixel centres at whole numbers). */
export function boardToPhoto(scene: Scene, X: number, Y: number): PhotoPoint {
  const board = placeOf(scene);
  return readyCamera(scene.camera, board).project(board.place(X, Y));
}
