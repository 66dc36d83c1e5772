export { type Beam, type BeamSpec, buildBeam, DEFAULT_BEAM } from './beam.ts';
export type { CameraSpec } from './camera.ts';
export type { BeamKind } from './cut-off-shape.ts';
export { type EdgeFamily, HELD_BACK_FAMILY, TUNING_FAMILIES } from './edge-profile.ts';
export { encodePhoto, type PhotoEncoding, type PhotoExif } from './encode-photo.ts';
export { FILLINGS, type Filling, type Opening } from './filling.ts';
export type { Aim, LampSpec } from './lamp.ts';
export { type Lm63, readLm63, writeLm63 } from './lm63.ts';
export { lm63Beam } from './lm63-beam.ts';
export { penCross, tapeCross } from './prints.ts';
export { Random } from './random.ts';
export { exifOf, randomScene } from './random-scene.ts';
export {
  boardToPhoto,
  edgeTruthAt,
  type PhotoEdits,
  type PhotoPlaces,
  type PhotoRaster,
  type PhotoTruth,
  type RenderedPhoto,
  renderPhoto,
  renderRaster,
  sceneTruth,
} from './render-photo.ts';
export { DEFAULT_SCENE, makeScene, type PlacedPrint, type Scene, type SceneParts } from './scene.ts';
export { cornerCrosses, DEFAULT_RANGES, type SceneLabel, type SceneRanges } from './scene-ranges.ts';
export type { BoardStand, LampPoint } from './space.ts';
export { type BeamTruth, beamTruth } from './truth.ts';
