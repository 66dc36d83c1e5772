import type { BoardPoint } from '../core/frames.ts';
import { type BeamSpec, DEFAULT_BEAM } from './beam.ts';
import type { CameraSpec } from './camera.ts';
import type { Opening } from './filling.ts';
import type { Aim, LampSpec } from './lamp.ts';
import type { BoardStand } from './space.ts';

/** Something printed, taped or drawn on the board, in board mm. */
export interface PlacedPrint {
  readonly shape:
    | { readonly kind: 'polygon'; readonly points: readonly BoardPoint[] }
    | { readonly kind: 'disc'; readonly centre: BoardPoint; readonly radiusMm: number };
  /** Share of light that it sends back, 0 to 1. */
  readonly reflectance: number;
}

/** The board: where it stands, how far it reaches and what it is made of. */
export interface BoardSpec {
  readonly stand: BoardStand;
  /** Its edges in board mm. */
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
  readonly albedo: number;
  /** Slow unevenness of the albedo (standard deviation, share), and fine grain of the same kind. */
  readonly unevenness: number;
  readonly grain: number;
  readonly finish: 'matt' | 'satin' | 'gloss';
  /** How far its middle stands out towards the lamp, mm; 0 for a flat board. */
  readonly bowMm: number;
  readonly prints: readonly PlacedPrint[];
  /** Chooses unevenness and grain: one board keeps its seed over all its photos. */
  readonly seed: number;
}

/** What is around the board. */
export interface SurroundingsSpec {
  readonly wallAlbedo: number;
  readonly floorAlbedo: number;
  /** Height of the (first) lamp's reference centre above the floor, mm. */
  readonly lampHeightMm: number;
}

/** Light that does not come from the lamps: on the board, lx at board (0, 0), and its change per metre as a share. */
export interface AmbientSpec {
  readonly lux: number;
  readonly perMetreX: number;
  readonly perMetreY: number;
  /** Linear sRGB, luminance 1. */
  readonly colour: readonly [number, number, number];
}

/** What the sensor and its electronics do. */
export interface SensorSpec {
  readonly iso: number;
  readonly fNumber: number;
  /** A time in s, or 'auto': the hot spot is just clipped, then `stops` more (+) or fewer (-). */
  readonly exposure: { readonly s: number } | { readonly auto: 'hot-spot'; readonly stops: number };
  /** Electrons at saturation at ISO 100, and read noise in electrons. */
  readonly fullWell: number;
  readonly readNoise: number;
  /** 0 keeps the lamp's colour, 1 makes it neutral. */
  readonly whiteBalance: number;
  /** Smooths noise (and the finest detail) with this strength, 0 to 1. */
  readonly denoise: number;
}

/** What the lens does to the light. */
export interface LensSpec {
  /** Blur by lens and focus: standard deviation of a Gaussian, px. */
  readonly blurPx: number;
  /** Straight smear by movement, px, and its direction (0 = along x). */
  readonly motionPx: number;
  readonly motionDeg: number;
  /** Loss of light in the picture's corners, share. */
  readonly vignetting: number;
  /** Share of all light spread evenly over the picture, and share spread near its source. */
  readonly veil: number;
  readonly bloom: number;
}

/** How linear light becomes levels (tone.ts). All but 'srgb' have a strength from 0 to 1. */
export interface ToneSpec {
  readonly curve: 'srgb' | 's-curve' | 'cubic-s' | 'toe' | 'shoulder' | 'lifted' | 'film' | 'local';
  readonly strength: number;
}

/** Everything that a photograph depends on, apart from the seed of its noise. */
export interface Scene {
  /** The lamp measured comes first: truth speaks of it. */
  readonly lamps: readonly LampSpec[];
  readonly board: BoardSpec;
  readonly surroundings: SurroundingsSpec;
  readonly ambient: AmbientSpec;
  readonly camera: CameraSpec;
  readonly lens: LensSpec;
  readonly sensor: SensorSpec;
  readonly tone: ToneSpec;
}

const HALOGEN: readonly [number, number, number] = [1.33, 0.95, 0.52];

export const DEFAULT_OPENING: Opening = { filling: 'disc', widthMm: 70, heightMm: 64, seed: 1 };

export const DEFAULT_SCENE: Scene = {
  lamps: [
    {
      beam: DEFAULT_BEAM,
      aim: { dropPct: 1.1, offsetPct: 0.2, tiltDeg: 0 },
      opening: DEFAULT_OPENING,
      place: { right: 0, forward: 0, up: 0 },
      colour: HALOGEN,
      lit: true,
    },
  ],
  board: {
    stand: { distanceMm: 5000, axisFoot: { X: 0, Y: 650 }, outOfPlumbDeg: 0, yawDeg: 0, rollDeg: 0 },
    left: -1200,
    right: 1200,
    bottom: 0,
    top: 1400,
    albedo: 0.8,
    unevenness: 0.015,
    grain: 0.006,
    finish: 'matt',
    bowMm: 0,
    prints: [],
    seed: 7,
  },
  surroundings: { wallAlbedo: 0.16, floorAlbedo: 0.2, lampHeightMm: 660 },
  ambient: { lux: 0.3, perMetreX: 0.1, perMetreY: 0.15, colour: [1, 1, 1] },
  camera: {
    widthPx: 2000,
    heightPx: 1500,
    place: { right: 500, forward: -400, up: 750 },
    lookAt: { X: 0, Y: 650 },
    rollDeg: 0,
    focal35Mm: 52,
    k1: 0,
    k2: 0,
    principalPx: { x: 0, y: 0 },
  },
  lens: { blurPx: 0.8, motionPx: 0, motionDeg: 0, vignetting: 0.25, veil: 0.003, bloom: 0.01 },
  sensor: {
    iso: 100,
    fNumber: 1.8,
    exposure: { auto: 'hot-spot', stops: 0 },
    fullWell: 6000,
    readNoise: 3,
    whiteBalance: 0.85,
    denoise: 0,
  },
  tone: { curve: 'srgb', strength: 0 },
};

/** Parts of a scene: whatever is left out keeps its default; `lamp` and `beam` are short for the first lamp. */
export interface SceneParts {
  readonly beam?: Partial<BeamSpec>;
  readonly aim?: Partial<Aim>;
  readonly opening?: Partial<Opening>;
  readonly lamp?: Partial<LampSpec>;
  readonly otherLamps?: readonly LampSpec[];
  readonly stand?: Partial<BoardStand>;
  readonly board?: Partial<Omit<BoardSpec, 'stand'>>;
  readonly surroundings?: Partial<SurroundingsSpec>;
  readonly ambient?: Partial<AmbientSpec>;
  readonly camera?: Partial<CameraSpec>;
  readonly lens?: Partial<LensSpec>;
  readonly sensor?: Partial<SensorSpec>;
  readonly tone?: Partial<ToneSpec>;
}

/** A scene from its parts, the rest by default. */
export function makeScene(parts: SceneParts = {}): Scene {
  const first = DEFAULT_SCENE.lamps[0] as LampSpec;
  const lamp: LampSpec = {
    ...first,
    beam: { ...DEFAULT_BEAM, ...parts.beam },
    aim: { ...first.aim, ...parts.aim },
    opening: { ...first.opening, ...parts.opening },
    ...parts.lamp,
  };
  return {
    lamps: [lamp, ...(parts.otherLamps ?? [])],
    board: {
      ...DEFAULT_SCENE.board,
      ...parts.board,
      stand: { ...DEFAULT_SCENE.board.stand, ...parts.stand },
    },
    surroundings: { ...DEFAULT_SCENE.surroundings, ...parts.surroundings },
    ambient: { ...DEFAULT_SCENE.ambient, ...parts.ambient },
    camera: { ...DEFAULT_SCENE.camera, ...parts.camera },
    lens: { ...DEFAULT_SCENE.lens, ...parts.lens },
    sensor: { ...DEFAULT_SCENE.sensor, ...parts.sensor },
    tone: { ...DEFAULT_SCENE.tone, ...parts.tone },
  };
}
