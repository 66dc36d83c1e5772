import { InputError } from '../core/errors.ts';
import { radFromDeg } from '../core/units.ts';
import type { ExposureUsed } from './develop.ts';
import { type PhotoRaster, renderRaster } from './render-photo.ts';
import type { AmbientSpec, Scene } from './scene.ts';

/** One photo of a series from one tripod: how it differs from the scene's own. */
export interface SeriesFrame {
  /** Stops from the scene's own exposure, as the file states them. */
  readonly stops: number;
  /** By how much the true exposure differs from the stated one, as a share (0.03: 3 % more light). */
  readonly ratioError?: number;
  /** How far the picture's content moved since the scene's own view: right and down at the middle, px; + clockwise, deg. */
  readonly moved?: { readonly rightPx: number; readonly downPx: number; readonly clockwiseDeg: number };
  readonly lampsLit?: boolean;
  /** Room light, where it is another than the scene's (a marks shot with the lights on). */
  readonly ambient?: Partial<AmbientSpec>;
}

export interface SeriesPhoto {
  readonly raster: PhotoRaster;
  /** As the camera would write it into the file: without the ratio's error. */
  readonly stated: ExposureUsed;
}

/**
 * Photos of one scene: a bracket, lamps off, lights on. Each has noise of its own; the board stays what it is.
 *
 * @param scene its exposure is what `stops` are counted from ('auto' is worked out once, with the scene's lamps lit).
 * @param seed of the noise; frame k draws from seed + k.
 * @throws InputError when the scene's lamps are all off, since nothing tells its exposure then.
 */
export function* renderSeries(
  scene: Scene,
  frames: readonly SeriesFrame[],
  seed: number,
): Generator<SeriesPhoto> {
  if (!scene.lamps.some((lamp) => lamp.lit))
    throw new InputError('scene.lamps', 'a lamp that is lit, to expose for', scene.lamps);
  let base: number | null = 'auto' in scene.sensor.exposure ? null : scene.sensor.exposure.s;
  base ??= autoExposure(scene);
  for (const [k, frame] of frames.entries()) {
    const statedS = base * 2 ** frame.stops;
    const { raster, exposure } = renderRaster(
      frameScene(scene, frame, statedS * (1 + (frame.ratioError ?? 0))),
      seed + k,
    );
    yield { raster, stated: { ...exposure, exposureS: statedS } };
  }
}

/** The exposure time that 'auto' comes to: worked out on a small copy, since only light counts. */
function autoExposure(scene: Scene): number {
  const small = 8;
  const camera = {
    ...scene.camera,
    widthPx: Math.round(scene.camera.widthPx / small),
    heightPx: Math.round(scene.camera.heightPx / small),
    principalPx: { x: scene.camera.principalPx.x / small, y: scene.camera.principalPx.y / small },
  };
  const lens = { ...scene.lens, blurPx: scene.lens.blurPx / small, motionPx: scene.lens.motionPx / small };
  return renderRaster({ ...scene, camera, lens }, 1).exposure.exposureS;
}

/** The scene as one frame of the series sees it. */
export function frameScene(scene: Scene, frame: SeriesFrame, exposureS: number): Scene {
  return {
    ...scene,
    lamps: scene.lamps.map((lamp) => ({ ...lamp, lit: lamp.lit && (frame.lampsLit ?? true) })),
    ambient: { ...scene.ambient, ...frame.ambient },
    camera: movedCamera(scene, frame),
    sensor: { ...scene.sensor, exposure: { s: exposureS } },
  };
}

function movedCamera(scene: Scene, frame: SeriesFrame): Scene['camera'] {
  const { camera, board } = scene;
  if (!frame.moved) return camera;
  const { rightPx, downPx, clockwiseDeg } = frame.moved;
  const focalPx = (camera.focal35Mm * Math.hypot(camera.widthPx, camera.heightPx)) / Math.hypot(36, 24);
  const mmPerPx = (board.stand.distanceMm - camera.place.forward) / focalPx;
  const c = Math.cos(radFromDeg(camera.rollDeg));
  const s = Math.sin(radFromDeg(camera.rollDeg));
  // Content that moves right is a camera turned left; its roll leans the picture's axes against the board's.
  const right = -rightPx * mmPerPx;
  const up = downPx * mmPerPx;
  return {
    ...camera,
    lookAt: { X: camera.lookAt.X + right * c + up * s, Y: camera.lookAt.Y + up * c - right * s },
    rollDeg: camera.rollDeg - clockwiseDeg,
  };
}
