/**
 * `npm run samples`: draws the Marigold photographs into samples/marigold, with the job files that go with them and the
 * truth beside them. `-- --out <folder> --width <px>` draws small ones elsewhere, to look at.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { boardToPhoto, encodePhoto, Random, renderRaster, sceneTruth } from '../../src/renderer/index.ts';
import { crossesJob, marigoldJob } from './job-files.ts';
import { type SamplePhoto, SEEDS, samplePhotos } from './shots.ts';
import { truthFile } from './truth-file.ts';

const { values } = parseArgs({
  options: {
    out: { type: 'string', default: join(import.meta.dirname, '../../samples/marigold') },
    width: { type: 'string', default: '4000' },
    only: { type: 'string', default: '' },
  },
});
const { world, photos } = samplePhotos(Number(values.width));
mkdirSync(values.out, { recursive: true });

/** A thumb on a zoomed-in screen lands up to 9 px from where the tape crosses. */
function tapsOn(photo: SamplePhoto) {
  const thumb = new Random(SEEDS.taps);
  return world.crosses.map(({ name, X, Y }) => {
    const { x, y } = boardToPhoto(photo.scene, X, Y);
    const [reach, way] = [thumb.uniform(2, 9), thumb.uniform(0, 2 * Math.PI)];
    return {
      cross: name,
      x: Math.round(x + reach * Math.cos(way)),
      y: Math.round(y + reach * Math.sin(way)),
    };
  });
}

function writeJson(name: string, content: unknown): void {
  writeFileSync(join(values.out, name), `${JSON.stringify(content, null, 2)}\n`);
}

let total = 0;
for (const photo of photos) {
  if (!photo.file.includes(values.only)) continue;
  const { raster, exposure } = renderRaster(photo.scene, photo.noiseSeed);
  const { exposureS, fNumber, iso } = exposure;
  const bytes = await encodePhoto(
    raster,
    { exposureS, fNumber, iso, ...photo.exif },
    { format: 'jpeg', quality: photo.quality },
  );
  writeFileSync(join(values.out, photo.file), bytes);
  total += bytes.length;
  console.log(`${photo.file}  ${(bytes.length / 1e6).toFixed(2)} MB  1/${(1 / exposureS).toFixed(1)} s`);
}
console.log(`${(total / 1e6).toFixed(2)} MB in all`);

const crosses = photos.find((photo) => photo.file === 'left-crosses.jpg')!;
writeJson('job.json', marigoldJob());
writeJson('crosses.job.json', crossesJob(tapsOn(crosses)));
writeJson(
  'truth.json',
  truthFile(
    world,
    photos.map((photo) => ({ photo, ...sceneTruth(photo.scene) })),
  ),
);
