import path from 'node:path';
import { z } from 'zod';
import { RENDERED } from '../../report/cautions.ts';
import { wrapColumns } from '../../report/terminal.ts';
import type { Answer } from '../answers.ts';
import { checked, lengthArg, numberArg } from '../args.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';
import { LEAST_WIDTH_PX, practiceJob, practiceScene } from '../practice-scene.ts';
import { writeWhole } from '../write-file.ts';

const optionsSchema = z.object({
  drop: numberArg.pipe(z.number().min(-3).max(6)),
  offset: numberArg.pipe(z.number().min(-6).max(6)),
  distance: lengthArg('distance').pipe(z.number().min(2500).max(12000)),
  traffic: z.enum(['left', 'right']),
  litHeight: lengthArg('lit-height').pipe(z.number().min(5).max(300)),
  seed: numberArg.pipe(
    z
      .number()
      .int()
      .min(0)
      .max(2 ** 31),
  ),
  width: numberArg.pipe(z.number().int().min(LEAST_WIDTH_PX).max(8000)),
  replace: z.boolean().default(false),
  json: z.boolean().default(false),
});

/** Draws a photo, writes the job to read it, and puts the true answer where the reader never looks. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  const folder = names[0]!;
  const { renderPhoto, encodePhoto } = await import('../../renderer/index.ts');
  const practice = {
    dropPct: o.drop,
    offsetPct: o.offset,
    distanceMm: o.distance,
    trafficSide: o.traffic,
    litHeightMm: o.litHeight,
    seed: o.seed,
    widthPx: o.width,
  };
  const scene = practiceScene(practice);
  const { raster, truth } = renderPhoto(scene, o.seed);
  const bytes = await encodePhoto(
    raster,
    {
      exposureS: truth.exposure.exposureS,
      fNumber: scene.sensor.fNumber,
      iso: scene.sensor.iso,
      focal35Mm: Math.round(scene.camera.focal35Mm),
    },
    { format: 'jpeg', quality: 93 },
  );
  const job = path.join(folder, 'job.json');
  const photo = path.join(folder, 'practice.jpg');
  const answer = path.join(folder, 'answer.json');
  const options_ = { replace: o.replace };
  await writeWhole(job, `${JSON.stringify(practiceJob(practice, 'practice.jpg'), null, 2)}\n`, options_);
  await writeWhole(photo, bytes, options_);
  await writeWhole(
    answer,
    `${JSON.stringify({ seen_on_board: truth.onBoard, seen_from_far: truth.far }, null, 2)}\n`,
    options_,
  );
  const written = [job, photo, answer];
  const notes = [
    RENDERED,
    `Read it with: npx dipcard read ${job}`,
    'answer.json holds the true figures: look last.',
  ];
  if (o.json) {
    const said: Answer<'written'> = { written, notes };
    printJson(io, said);
  } else print(io, ...written, '', ...notes.flatMap((n) => wrapColumns(n)));
  return EXIT.ok;
}
