/**
 * How often faulty lamps are told, and how often sound ones are blamed: seeded photos of the accuracy run's kind, rendered,
 * stored as JPEG and read as any photo is. `--n` photos per fault, `--sound` of sound lamps, `--seed` the first.
 */
import { readJob } from '../../src/job/read-job.ts';
import { decodePhoto } from '../../src/photo/node/decode.ts';
import { encodePhoto, renderRaster, type Scene } from '../../src/renderer/index.ts';
import { drawCase } from '../accuracy/draw-case.ts';
import { FAULTS, withFault } from './faults.ts';

const option = (name: string, usual: number): number => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? usual : Number(process.argv[at + 1]);
};

/** Signs that speak of the photo or of the measurement, not of a lamp. */
const NOT_OF_THE_LAMP = ['hot-spot-burnt-out', 'two-ways-differ', 'uneven-edge', 'bright-patch'];

/** Codes that speak of the lamp, of one photo of the scene; and whether it was refused. */
async function codesOf(scene: Scene, seed: number): Promise<{ codes: string[]; refused: boolean }> {
  const { raster, exposure } = renderRaster(scene, seed);
  const facts = {
    exposureS: exposure.exposureS,
    fNumber: scene.sensor.fNumber,
    iso: scene.sensor.iso,
    focal35Mm: Math.round(scene.camera.focal35Mm),
    focalLengthMm: 6.8,
    takenAt: '2026-01-10T19:00:00',
  };
  const photo = await decodePhoto(await encodePhoto(raster, facts, { format: 'jpeg', quality: 92 }), 'photo');
  const result = await readJob(drawCase(seed, 3).exact, { decode: async () => photo });
  const shot = result.shots[0]!;
  const signs = shot.state === 'read' ? shot.beam.signs : (shot.signs ?? []);
  return {
    codes: signs.map((s) => s.code).filter((c) => !NOT_OF_THE_LAMP.includes(c)),
    refused: shot.state === 'unread',
  };
}

const seed = option('seed', 9100);
const sound = option('sound', 60);
let blamed = 0;
for (let k = 0; k < sound; k++) {
  const { scene } = drawCase(seed + k, 3);
  const { codes } = await codesOf(scene, seed + k);
  if (codes.length > 0) {
    blamed++;
    console.log(`sound lamp, seed ${seed + k}: ${codes.join(', ')}`);
  }
}
console.log(`sound lamps blamed: ${blamed} of ${sound}`);
const n = option('n', 8);
for (const fault of FAULTS) {
  let told = 0;
  let refused = 0;
  const beside: string[] = [];
  for (let k = 0; k < n; k++) {
    const at = seed + 1000 + k;
    const outcome = await codesOf(withFault(drawCase(at, 3).scene, fault, at), at);
    if (outcome.codes.some((c) => fault.tellsBy.includes(c))) told++;
    if (outcome.refused) refused++;
    beside.push(...outcome.codes.filter((c) => !fault.tellsBy.includes(c) && !fault.may.includes(c)));
  }
  console.log(
    `${fault.name}: told ${told} of ${n}, refused ${refused}, blamed for something else ${beside.length}${beside.length > 0 ? ` (${beside.join(', ')})` : ''}`,
  );
}
