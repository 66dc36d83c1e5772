import {
  makeScene,
  type PhotoExif,
  type PlacedPrint,
  Random,
  type Scene,
  type SceneParts,
  tapeCross,
} from '../../src/renderer/index.ts';
import { sheetPrints } from './prints.ts';
import { drawWorld, LAMP_HEIGHT, type SideName, TYPED, type World } from './world.ts';

/** Seeds of everything that is drawn; kept in truth.json too. */
export const SEEDS = { world: 1975, board: 61, crosses: 29, taps: 5 } as const;

/** One photograph to make. */
export interface SamplePhoto {
  readonly file: string;
  readonly scene: Scene;
  readonly noiseSeed: number;
  readonly quality: number;
  readonly exif: Pick<PhotoExif, 'focal35Mm' | 'focalLengthMm' | 'takenAt' | 'orientation'>;
}

/** A person's own white board in the yard, and what little light the sky still gives. */
const DUSK = [0.8, 1.0, 1.59] as const;

/** The two lamps: one bowl each, two filaments, none like the other after fifty years. */
const DIPPED: Readonly<Record<SideName, SceneParts>> = {
  left: {
    beam: {
      kind: 'rise',
      traffic: 'left',
      family: 'erf',
      sharpnessG: 0.22,
      strayShare: 0.009,
      peakCd: 21000,
    },
    aim: { dropPct: 1.86, offsetPct: -0.35, tiltDeg: -0.3 },
    opening: { filling: 'centre-weighted', widthMm: 165, heightMm: 165 },
  },
  right: {
    beam: {
      kind: 'rise',
      traffic: 'left',
      family: 'logistic',
      sharpnessG: 0.19,
      strayShare: 0.012,
      peakCd: 18500,
      hotSpot: { asideDeg: 1.7, belowDeg: 0.95, widthDeg: 2.5, heightDeg: 1.2 },
    },
    aim: { dropPct: -0.1, offsetPct: 0.4, tiltDeg: 0.9 },
    opening: { filling: 'lower-half-dim', widthMm: 165, heightMm: 165 },
  },
};
const MAIN: SceneParts = {
  beam: { kind: 'driving', traffic: 'left', peakCd: 30000, strayShare: 0.008 },
  aim: { dropPct: 0.85, offsetPct: -1.0, tiltDeg: 0 },
  opening: { filling: 'disc', widthMm: 165, heightMm: 165 },
};

/** Tripod places, mm from the vehicle's middle, its lamps' plane and the ground. */
const TRIPOD = {
  left: { right: -1180, forward: -620, up: 1310 },
  right: { right: 1240, forward: -540, up: 1270 },
} as const;

/** Lens centres from the vehicle's middle, mm. */
const LAMP_RIGHT = { left: -520, right: 520 } as const;

/** A phone's long lens, zoomed in a little: 96 mm by the 35 mm count, f/2.8. */
const LENS = { focal35Mm: 96, focalLengthMm: 9 } as const;

interface Setup {
  readonly widthPx: number;
  readonly world: World;
}

function scene(
  setup: Setup,
  side: SideName,
  prints: readonly PlacedPrint[],
  tripod: SideName,
  parts: SceneParts,
): Scene {
  const { widthPx, world } = setup;
  const small = widthPx / 4000;
  const at = TRIPOD[tripod];
  return makeScene({
    ...parts,
    stand: world.stands[side],
    board: {
      ...TYPED.board,
      prints,
      seed: SEEDS.board,
      albedo: 0.78,
      unevenness: 0.02,
      ...parts.board,
    },
    ambient: { lux: 0.3, perMetreX: -0.06, perMetreY: 0.2, colour: DUSK, ...parts.ambient },
    surroundings: { lampHeightMm: LAMP_HEIGHT[side], wallAlbedo: 0.13, floorAlbedo: 0.12 },
    camera: {
      widthPx,
      heightPx: Math.round(widthPx * 0.75),
      place: {
        right: at.right - LAMP_RIGHT[side],
        forward: at.forward,
        up: at.up - LAMP_HEIGHT[side],
      },
      lookAt: { X: 40, Y: 520 },
      rollDeg: tripod === 'left' ? 0.7 : -0.4,
      focal35Mm: LENS.focal35Mm,
      k1: 0.006,
      ...parts.camera,
    },
    lens: { blurPx: 1.1 * small, vignetting: 0.18, veil: 0.003, bloom: 0.012, ...parts.lens },
    sensor: { fNumber: 2.8, fullWell: 3000, whiteBalance: 0.75, ...parts.sensor },
  });
}

/** What the camera wrote beside each photo; a second or so between the frames of a bracket. */
function exif(takenAt: string, orientation = 1): SamplePhoto['exif'] {
  return { ...LENS, takenAt, orientation };
}

/** Everything that `npm run samples` photographs. @param widthPx of every photo, 4000 for the real ones. */
export function samplePhotos(widthPx: number): {
  readonly world: World;
  readonly photos: readonly SamplePhoto[];
} {
  const world = drawWorld(SEEDS.world);
  const setup = { widthPx, world };
  const hung = world.sheets.flatMap(sheetPrints);
  // Next evening sheets 2 and 3 went up again in each other's places; nobody noticed, and the job was not changed.
  const swapped = world.sheets
    .map((sheet) => ({ ...sheet, number: sheet.number === 2 ? 3 : sheet.number === 3 ? 2 : sheet.number }))
    .flatMap(sheetPrints);
  const tape = new Random(SEEDS.crosses);
  const taped = world.crosses.flatMap((cross) => tapeCross(cross, 130, 19, tape.normal(0, 1.5)));
  const exposed = (stops: number, iso = 200, denoise = 0.25) => ({
    sensor: { iso, denoise, exposure: { auto: 'hot-spot', stops } } as const,
  });
  const bracket = (stops: number) =>
    scene(setup, 'left', hung, 'left', { ...DIPPED.left, ...exposed(stops, 100) });
  return {
    world,
    photos: [
      {
        file: 'left-dipped.jpg',
        scene: scene(setup, 'left', hung, 'left', { ...DIPPED.left, ...exposed(0.3, 400, 0) }),
        noiseSeed: 101,
        quality: 93,
        exif: exif('2026-01-17T17:21:40'),
      },
      {
        file: 'right-dipped.jpg',
        scene: scene(setup, 'right', hung, 'right', { ...DIPPED.right, ...exposed(0.2) }),
        noiseSeed: 102,
        quality: 90,
        // The phone hung upside down on its clamp.
        exif: exif('2026-01-17T17:34:05', 3),
      },
      {
        file: 'left-main.jpg',
        scene: scene(setup, 'left', hung, 'left', { ...MAIN, ...exposed(-0.4) }),
        noiseSeed: 103,
        quality: 90,
        exif: exif('2026-01-17T17:26:12'),
      },
      ...[-2, -0.5, 1].map((stops, i) => ({
        file: `left-dipped-${['dark', 'middle', 'bright'][i]}.jpg`,
        scene: bracket(stops),
        noiseSeed: 104 + i,
        quality: 86,
        exif: exif(`2026-01-17T17:23:0${1 + 2 * i}`),
      })),
      {
        file: 'left-crosses.jpg',
        scene: scene(setup, 'left', taped, 'left', {
          ...DIPPED.left,
          ...exposed(0.4),
          ambient: { lux: 0.6 },
          // An older phone, borrowed: its curve is not quite sRGB.
          tone: { curve: 's-curve', strength: 0.3 },
          camera: { place: { right: -700, forward: -480, up: 640 }, rollDeg: -0.5 },
        }),
        noiseSeed: 107,
        quality: 90,
        exif: exif('2026-01-10T16:58:31'),
      },
      {
        file: 'left-sheets-swapped.jpg',
        scene: scene(setup, 'left', swapped, 'left', { ...DIPPED.left, ...exposed(0.3) }),
        noiseSeed: 108,
        quality: 88,
        exif: exif('2026-01-18T17:30:55'),
      },
    ],
  };
}
