import type { Registration } from '../core/board-view.ts';
import type { LampView } from '../core/lamp-view.ts';
import { ratioU } from '../core/photometry/merge-ratios.ts';
import { fitTone, type ToneFit } from '../core/photometry/tone-fit.ts';
import type { LightGrid } from '../core/sampling/light-grid.ts';
import { type LinearFrame, type MergedLight, mergeFrames } from '../core/sampling/merge-frames.ts';
import { codedPairs, fitResponse, rereadGrid } from '../core/sampling/merge-response.ts';
import { type BoardExtent, defaultGridSpec, sampleLightGrid } from '../core/sampling/sample-grid.ts';
import { shiftedView } from '../vision/camera-shift.ts';
import { addVariance, followCamera, type MoveVariance, moveVariance } from './camera-moves.ts';
import { type FrameLight, frameLight, frameToShow } from './frames.ts';
import type { PhotoShelf } from './photo-shelf.ts';
import { cardOf, exposureOf, type ShotPhotos } from './shot-photos.ts';
import { subtractRoom } from './shot-room.ts';

/** The light of a shot: one grid from all its frames, room light out where a photo with the lamps off allows. */
export type ShotLight =
  | {
      readonly ok: true;
      readonly grid: LightGrid;
      readonly tone: ToneFit;
      readonly roomLightOut: boolean;
      /** Standard uncertainty of room light that is left after subtraction, in the grid's units. */
      readonly uRoomLeft: number;
      /** With the camera's movement between the frames in its doubt. */
      readonly registration: Registration;
      /** The frame to show the person. */
      readonly show: string;
      readonly warnings: readonly string[];
    }
  | {
      readonly ok: false;
      readonly why: 'camera-moved' | 'light-changed';
      readonly detail: string;
      readonly advice: string;
    };

export interface LightRun {
  readonly shelf: PhotoShelf;
  readonly extent: BoardExtent | null;
  readonly view: LampView;
  readonly signal?: AbortSignal | undefined;
}

interface SampledFrame extends LinearFrame {
  readonly path: string;
  readonly move: MoveVariance | null;
}

const STILL: MoveVariance = { xVarMm2: [0, 0, 0], yVarMm2: [0, 0, 0] };

/**
 * Samples every frame where the camera then stood, one photo's pixels at a time, and merges them in linear light.
 * A frame whose camera moved away, or whose light does not fit the others', is left out with a warning; when that leaves
 * one frame of several, nothing tells which of them is right, and the shot is refused.
 */
export async function lightOfShot(
  run: LightRun,
  photos: Extract<ShotPhotos, { ok: true }>,
  registration: Registration,
): Promise<ShotLight> {
  const warnings: string[] = [];
  const marksTone = fitTone(photos.pairs);
  const alone = photos.frames.length === 1;
  const sampled = await sampleFrames(run, photos, registration, alone ? marksTone : null);
  warnings.push(...sampled.warnings);
  if (sampled.moved !== null && sampled.frames.length === 1) {
    return {
      ok: false,
      why: 'camera-moved',
      detail: `The photos of this bracket were not taken from one place: ${sampled.moved}.`,
      advice: 'Take the bracket again from a tripod, with the timer, without touching the camera in between.',
    };
  }
  const { frames } = sampled;
  let tone = marksTone;
  let merged: MergedLight | null = null;
  let first = frames[0]!.grid;
  if (frames.length > 1) {
    const joined = joinFrames(frames, photos, marksTone);
    for (const odd of joined.odd) warnings.push(odd);
    if (joined.left === 1) {
      return {
        ok: false,
        why: 'light-changed',
        detail: `The photos of this bracket do not show the same light: ${joined.odd.join(' ')}`,
        advice:
          'Take the bracket again with the engine and lamps settled, nobody in the beam, and night mode, HDR and filters off.',
      };
    }
    tone = joined.tone;
    merged = joined.merged;
  } else if (!alone) {
    // Other frames could not be opened or used: what is left was sampled as plain sRGB.
    first = rereadGrid(first, PLAIN, tone.params);
  }
  const shares = merged?.shares ?? [1];
  const moved = frames.reduce(
    (s, f, k) => addVariance(s, f.move ?? STILL, shares[k]! ** 2),
    registration.foundVar,
  );
  const lit = merged?.grid ?? first;
  const room = await subtractRoom(run, photos, registration, tone, {
    grid: lit,
    unitLn: merged?.unitLn ?? 0,
    frame: frames[0]!,
    uLn:
      merged === null || photos.lampsOff === null
        ? null
        : Math.min(...frames.map((_, k) => ratioU(merged.gains, k, frames.length))),
    offLn: merged === null ? null : (merged.gains.ln[frames.length] ?? null),
  });
  warnings.push(...room.warnings);
  return {
    ok: true,
    grid: room.grid,
    tone,
    roomLightOut: room.out,
    uRoomLeft: room.uLeft,
    registration: { ...registration, foundVar: moved },
    show: frameToShow(sampled.lights).path,
    warnings,
  };
}

const PLAIN: readonly number[] = [];

/** Every frame that can be used, sampled where its camera stood. */
async function sampleFrames(
  run: LightRun,
  photos: Extract<ShotPhotos, { ok: true }>,
  registration: Registration,
  tone: ToneFit | null,
): Promise<{
  readonly frames: readonly SampledFrame[];
  readonly lights: readonly FrameLight[];
  readonly moved: string | null;
  readonly warnings: readonly string[];
}> {
  const { reference } = photos;
  const spec = defaultGridSpec(reference.size, registration, run.view, run.extent);
  const card = cardOf(run.shelf, reference);
  const frames: SampledFrame[] = [];
  const lights: FrameLight[] = [];
  const warnings: string[] = [];
  let moved: string | null = null;
  for (const frame of photos.frames) {
    run.signal?.throwIfAborted();
    const open = await run.shelf.open(frame.path);
    let view = registration.view;
    let move: MoveVariance | null = null;
    if (frame.path !== reference.path) {
      const went = await followCamera(reference, open, card, true);
      if (!went.found) {
        if (went.why === 'moved') moved = went.detail;
        warnings.push(
          `${frame.path} was left out: ${went.why === 'size' ? `it has another size; ${went.detail}` : went.detail}.`,
        );
        continue;
      }
      view = shiftedView(view, went);
      move = moveVariance(registration, went);
    }
    const grid = sampleLightGrid(
      open.photo.raster,
      { view, printedAreas: registration.printedAreas },
      run.view,
      {
        extent: run.extent,
        spec,
        ...(tone === null ? {} : { tone: tone.params }),
      },
    );
    frames.push({ path: frame.path, grid, exposure: exposureOf(frame.facts), iso: frame.facts.iso, move });
    lights.push(frameLight(frame.path, grid));
  }
  return { frames, lights, moved, warnings };
}

/** Merges frames; what they say together of the camera's response is used before they are merged for good. */
function joinFrames(
  frames: readonly SampledFrame[],
  photos: Extract<ShotPhotos, { ok: true }>,
  marksTone: ToneFit,
): {
  readonly merged: MergedLight;
  readonly tone: ToneFit;
  readonly odd: readonly string[];
  readonly left: number;
} {
  const read = (tone: ToneFit) => frames.map((f) => ({ ...f, grid: rereadGrid(f.grid, PLAIN, tone.params) }));
  const { lampsOff } = photos;
  const others = lampsOff === null ? [] : [{ exposure: exposureOf(lampsOff.facts) }];
  // Levels are judged by the response that the frames show together: marks alone may have told it badly, or not at all.
  const rough = mergeFrames(read(marksTone)).odd.filter((o) => o.kind === 'pattern');
  let good = frames.filter((_, k) => !rough.some((o) => o.frame === k));
  let tone = fitResponse(codedPairs(good), good, marksTone);
  let merged = mergeFrames(read(tone), others);
  const left = good.filter((f) => !merged.odd.some((o) => frames[o.frame] === f));
  if (left.length < good.length && left.length > 1) {
    good = left;
    tone = fitResponse(codedPairs(good), good, marksTone);
    merged = mergeFrames(read(tone), others);
  }
  const odd = merged.odd.map(({ frame, lnOff, kind }) => {
    const { path } = frames[frame]!;
    return kind === 'level'
      ? `${path} was left out: its light is ${Math.round(100 * Math.expm1(Math.abs(lnOff)))} % off what its exposure says.`
      : `${path} was left out: its light is spread over the board otherwise than in the other photos.`;
  });
  return { merged, tone, odd, left: frames.length - odd.length };
}
