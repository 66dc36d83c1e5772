import type { BoardPoint } from '../core/frames.ts';
import { DEFAULT_BEAM } from './beam.ts';
import type { PhotoExif } from './encode-photo.ts';
import type { Random } from './random.ts';
import { DEFAULT_SCENE, makeScene, type Scene } from './scene.ts';
import { DEFAULT_RANGES, type Range, type SceneLabel, type SceneRanges } from './scene-ranges.ts';

/**
 * One scene for an accuracy run.
 * @param random all draws come from it, always in the same order. @param changes ranges that differ from the default.
 */
export function randomScene(
  random: Random,
  changes: Partial<SceneRanges> = {},
): { readonly scene: Scene; readonly label: SceneLabel } {
  const ranges: SceneRanges = { ...DEFAULT_RANGES, ...changes };
  const draw = (range: Range): number => random.uniform(range[0], range[1]);
  const { board, pixels } = ranges;
  const family = random.pick(ranges.families);
  const kind = random.pick(ranges.kinds);
  const traffic = random.pick(ranges.traffic);
  const sharpnessG = draw(ranges.sharpnessG);
  const picked = random.pick(ranges.fillings);
  // Sub-beams aimed apart behind patches aimed apart make several edges of equal right: no elbow to be true about.
  const filling = family === 'facets' && picked === 'facets' ? 'disc' : picked;
  const tall = draw(ranges.litMm);
  const strip = filling === 'strip' || filling === 'lens-strip';
  const litHeightMm = strip ? Math.min(28, tall / 4) : tall;
  const litWidthMm = strip ? litHeightMm * random.uniform(4, 7) : tall * random.uniform(1, 1.6);
  const distanceMm = draw(ranges.distanceMm);
  const lampHeightMm = draw(ranges.lampHeightMm);
  const tone = random.pick(ranges.tones);
  const ambientLux = draw(ranges.ambientLux);
  const stops = draw(ranges.stops);
  const finish = random.pick(ranges.finishes);
  const foot: BoardPoint = { X: random.uniform(-250, 250), Y: lampHeightMm + random.uniform(-15, 15) };
  const camera = randomCamera(random, ranges, distanceMm, lampHeightMm);
  const scene = makeScene({
    beam: {
      kind,
      traffic,
      family,
      sharpnessG,
      strayShare: draw(ranges.strayShare),
      rampDeg: random.uniform(20, 45),
      shelfPct: random.uniform(0.6, 1.1),
      elbowRoundDeg: random.uniform(0.05, 0.25),
      hotSpot: {
        ...DEFAULT_BEAM.hotSpot,
        asideDeg: random.uniform(0.7, 1.8),
        belowDeg: random.uniform(0.7, 1.1),
        widthDeg: random.uniform(2.1, 3.4),
      },
      spread: { ...DEFAULT_BEAM.spread, share: random.uniform(0.18, 0.32) },
      fringe: random.pick([0, 0, 0.5, 1]),
      seed: random.bits(),
    },
    aim: { dropPct: draw(ranges.dropPct), offsetPct: draw(ranges.offsetPct), tiltDeg: draw(ranges.tiltDeg) },
    opening: { filling, widthMm: litWidthMm, heightMm: litHeightMm, seed: random.bits() },
    stand: {
      distanceMm,
      axisFoot: foot,
      outOfPlumbDeg: draw(ranges.outOfPlumbDeg),
      yawDeg: draw(ranges.yawDeg),
      rollDeg: draw(ranges.rollDeg),
    },
    board: {
      ...board,
      albedo: random.uniform(0.6, 0.88),
      unevenness: random.uniform(0.005, 0.025),
      finish,
      bowMm: draw(ranges.bowMm),
      prints: ranges.prints(board),
      seed: random.bits(),
    },
    surroundings: { lampHeightMm },
    ambient: { lux: ambientLux, perMetreX: random.uniform(-0.2, 0.2), perMetreY: random.uniform(-0.1, 0.3) },
    camera: { ...camera, ...pixels },
    lens: { blurPx: draw(ranges.blurPx), veil: draw(ranges.veil), vignetting: random.uniform(0.1, 0.4) },
    sensor: {
      iso: random.pick(ranges.iso),
      exposure: { auto: 'hot-spot', stops },
      whiteBalance: random.uniform(0.6, 1),
      denoise: random.pick([0, 0.3, 0.6]),
    },
    tone,
  });
  const label: SceneLabel = {
    family,
    kind,
    traffic,
    sharpnessG,
    filling,
    litWidthMm,
    litHeightMm,
    distanceMm,
    ambientLux,
    stops,
    tone: tone.curve,
    finish,
    megapixels: (pixels.widthPx * pixels.heightPx) / 1e6,
  };
  return { scene, label };
}

/** A camera on a tripod behind the lamp, above or beside it, that sees the whole board. */
function randomCamera(
  random: Random,
  ranges: SceneRanges,
  distanceMm: number,
  lampHeightMm: number,
): Scene['camera'] {
  const { board, pixels } = ranges;
  const behind = random.uniform(100, 1200);
  const wide = board.right - board.left;
  const high = board.top - board.bottom;
  const fill = random.uniform(ranges.fill[0], ranges.fill[1]);
  const reach = distanceMm + behind;
  const focalPx = fill * reach * Math.min(pixels.widthPx / wide, pixels.heightPx / high);
  const aside = random.uniform(250, 900) * random.pick([-1, 1]);
  return {
    ...DEFAULT_SCENE.camera,
    ...pixels,
    place: { right: aside, forward: -behind, up: random.uniform(900, 1600) - lampHeightMm },
    // Nobody aims a camera to the millimetre.
    lookAt: {
      X: (board.left + board.right) / 2 + random.uniform(-0.03, 0.03) * wide,
      Y: (board.bottom + board.top) / 2 + random.uniform(-0.03, 0.03) * high,
    },
    rollDeg: random.uniform(-2, 2),
    focal35Mm: (focalPx * Math.hypot(36, 24)) / Math.hypot(pixels.widthPx, pixels.heightPx),
    k1: random.uniform(ranges.k1[0], ranges.k1[1]),
    principalPx: {
      x: random.uniform(-0.003, 0.003) * pixels.widthPx,
      y: random.uniform(-0.003, 0.003) * pixels.heightPx,
    },
  };
}

/** What a phone would write into the file of this scene's photo. Its sensor's diagonal is a sixth of a 24 x 36 mm one's. */
export function exifOf(
  scene: Scene,
  exposure: { readonly exposureS: number; readonly fNumber: number; readonly iso: number },
  takenAt = '2026-01-10T18:30:00',
): PhotoExif {
  const focal35Mm = Math.round(scene.camera.focal35Mm);
  return {
    exposureS: exposure.exposureS,
    fNumber: exposure.fNumber,
    iso: exposure.iso,
    focal35Mm,
    focalLengthMm: scene.camera.focal35Mm / 6,
    takenAt,
  };
}
