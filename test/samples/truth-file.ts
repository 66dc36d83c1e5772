import type { BeamTruth } from '../../src/renderer/index.ts';
import { type SamplePhoto, SEEDS } from './shots.ts';
import type { World } from './world.ts';

/** What one photograph truly shows. Per cent, drops + down, offsets + right; nought for a main beam's cut-off. */
export interface TrueAim {
  readonly dropPct: number | null;
  readonly elbow: { readonly offsetPct: number; readonly dropPct: number } | null;
  readonly tiltDeg: number | null;
  readonly hotSpot: { readonly offsetPct: number; readonly dropPct: number };
}

export interface TrueShot {
  /** As the board shows it from the lamp's true place, and as an instrument far away would see it. */
  readonly board: TrueAim;
  readonly far: TrueAim;
}

/** samples/marigold/truth.json: tests read it, no reader may. */
export interface TruthFile {
  readonly about: string;
  readonly seeds: typeof SEEDS;
  readonly world: World;
  readonly photos: Readonly<Record<string, TrueShot & { readonly noiseSeed: number }>>;
}

const SAME_BEAM: readonly (keyof TrueAim)[] = ['dropPct', 'elbow', 'tiltDeg', 'hotSpot'];

export function truthFile(
  world: World,
  shots: readonly { readonly photo: SamplePhoto; readonly onBoard: BeamTruth; readonly far: BeamTruth }[],
): TruthFile {
  return {
    about:
      'What the rendered photographs truly show: per cent, drop + down, offset + right. For tests only: nothing that reads photographs may open this file.',
    seeds: SEEDS,
    world: rounded(world) as World,
    photos: Object.fromEntries(
      shots.map(({ photo, onBoard, far }) => [
        photo.file,
        { noiseSeed: photo.noiseSeed, board: aimOf(onBoard), far: aimOf(far) },
      ]),
    ),
  };
}

function aimOf(truth: BeamTruth): TrueAim {
  return rounded(Object.fromEntries(SAME_BEAM.map((key) => [key, truth[key as keyof BeamTruth]]))) as TrueAim;
}

/** To 0.0001 of each unit: a thousandth of what any reading can tell, and free of other processors' last bits. */
function rounded(value: unknown): unknown {
  if (typeof value === 'number') return Math.round(value * 1e4) / 1e4;
  if (Array.isArray(value)) return value.map(rounded);
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, rounded(one)]));
  }
  return value;
}
