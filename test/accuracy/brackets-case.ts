import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { DecodedPhoto } from '../../src/core/raster.ts';
import type { Job } from '../../src/job/job.ts';
import { decodePhoto } from '../../src/photo/node/decode.ts';
import { encodePhoto, exifOf, Random } from '../../src/renderer/index.ts';
import type { Scene } from '../../src/renderer/scene.ts';
import { renderSeries, type SeriesFrame, type SeriesPhoto } from '../../src/renderer/series.ts';
import { type CaseLabel, drawCase } from './draw-case.ts';

/** Which photos a shot is read from. */
export type SeriesKind = 'bracket' | 'bracket-and-off' | 'one-and-off' | 'one';

export interface SeriesCase {
  readonly label: CaseLabel & { readonly series: SeriesKind; readonly frames: number };
  readonly scene: Scene;
  readonly photos: Readonly<Record<string, DecodedPhoto>>;
  readonly typed: Job;
  readonly exact: Job;
}

/**
 * Draws the photos of one seeded lamp as a person would take them: a bracket of 3 to 5 frames from two stops under to two
 * over, exposures up to 5 % off what the files say, the camera nudged by up to 3 px between them, and a photo with the
 * lamps off.
 *
 * @param ambient room light in lx; left out: 0 to 10.
 * @param keep a folder for the drawn photos, so that a second run need not draw them again.
 */
export async function drawSeries(
  seed: number,
  kind: SeriesKind,
  ambient?: readonly [number, number],
  keep?: string,
): Promise<SeriesCase> {
  const drawn = drawCase(seed, 3);
  const random = new Random(Math.imul(seed, 40503) ^ 0x5bd1e995);
  const lux = ambient ? random.uniform(...ambient) : random.uniform(0, 10);
  const scene: Scene = {
    ...drawn.scene,
    ambient: { ...drawn.scene.ambient, lux },
    // A bracket is counted from the hot spot just burnt out; one photo keeps the exposure that was drawn for it.
    sensor: kind.startsWith('bracket')
      ? { ...drawn.scene.sensor, exposure: { auto: 'hot-spot', stops: 0 } }
      : drawn.scene.sensor,
  };
  const stops = kind.startsWith('bracket')
    ? random.pick([
        [-2, 0, 2],
        [-2, -1, 0, 1, 2],
        [-1, 0, 1, 2],
        [-2, 0, 1, 2],
      ] as const)
    : [0];
  const nudge = random.uniform(0, 3);
  const moved = (): NonNullable<SeriesFrame['moved']> => {
    const way = random.uniform(0, 2 * Math.PI);
    return {
      rightPx: nudge * Math.cos(way),
      downPx: nudge * Math.sin(way),
      clockwiseDeg: random.uniform(-0.01, 0.01),
    };
  };
  const frames: SeriesFrame[] = stops.map((s, k) => ({
    stops: s,
    ratioError: random.uniform(-0.05, 0.05),
    ...(k === 0 ? {} : { moved: moved() }),
  }));
  const names = frames.map((_, k) => `frame-${k}.jpg`);
  const off = kind.endsWith('off');
  if (off) {
    // The same setting as one of the lit photos, or a longer one where the room is dark.
    const longer = random.pick([0, 0, 1, 2]);
    const base = frames[frames.length - 1]!;
    frames.push({
      stops: base.stops + longer,
      ratioError: longer === 0 ? (base.ratioError ?? 0) : random.uniform(-0.05, 0.05),
      lampsLit: false,
      moved: moved(),
    });
    names.push('off.jpg');
  }
  const photos: Record<string, DecodedPhoto> = {};
  const kept = (name: string): string =>
    join(keep ?? '', `${kind}-${ambient?.join('-') ?? 'any'}-${seed}-${name}`);
  const drawnAgain = keep === undefined || !names.every((name) => existsSync(kept(name)));
  const series = drawnAgain ? renderSeries(scene, frames, seed) : null;
  for (const name of names) {
    let bytes: Uint8Array;
    if (series === null) bytes = readFileSync(kept(name));
    else {
      const { raster, stated } = series.next().value as SeriesPhoto;
      const exif = { ...exifOf(scene, stated), takenAt: '2026-01-10T19:00:00' };
      bytes = await encodePhoto(raster, exif, { format: 'jpeg', quality: 92 });
      if (keep !== undefined) writeFileSync(kept(name), bytes);
    }
    photos[name] = await decodePhoto(bytes, name);
  }
  const withPhotos = (job: Job): Job => ({
    ...job,
    shots: job.shots.map((s) => ({
      ...s,
      photos: names.filter((n) => n !== 'off.jpg'),
      lampsOff: off ? 'off.jpg' : null,
    })),
  });
  return {
    label: { ...drawn.label, ambientLux: lux, series: kind, frames: stops.length },
    scene,
    photos,
    typed: withPhotos(drawn.typed),
    exact: withPhotos(drawn.exact),
  };
}
