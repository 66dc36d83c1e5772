import path from 'node:path';
import { z } from 'zod';
import { loadJob } from '../../job/load-job.ts';
import { resultCsv } from '../../report/data/csv.ts';
import { checked } from '../args.ts';
import { CliError } from '../errors.ts';
import type { ExitCode } from '../exit.ts';
import { nextCommand } from '../hints.ts';
import { type Io, printJson } from '../io.ts';
import { progressLine } from '../progress.ts';
import { quickJob, quickOptions } from '../quick-job.ts';

const optionsSchema = z.object({
  shot: z.array(z.string()).optional(),
  photo: z.array(z.string()).optional(),
  out: z.string().min(1).optional(),
  csv: z.boolean().default(false),
  json: z.boolean().default(false),
});

/** Reads a job, or the photos of one lamp with flags; prints the report and writes it where it is wanted. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  const [file] = names;
  if ((file === undefined) === (o.photo === undefined))
    throw new CliError(
      'read: name a job (npx dipcard read marigold/job.json), or one photo with --photo, not both.',
    );
  const job = file === undefined ? quickJob(checked(quickOptions, options)) : await loadJob(file);
  const folder = path.dirname(file ?? o.photo![0]!);
  for (const id of o.shot ?? [])
    if (!job.shots.some((s) => s.id === id))
      throw new CliError(
        `--shot: there is no "${id}" in this job. There are: ${job.shots.map((s) => s.id).join(', ')}.`,
      );
  if (job.shots.length === 0)
    throw new CliError(`${file}: this job has no shots yet. Add one photo per lamp under "shots".`);
  // Loaded only now: a mistake in the job is told without waiting for decoders.
  const { readAndReport } = await import('../reading.ts');
  const line = progressLine(io);
  const reading = await readAndReport(job, {
    folder,
    ...(o.shot === undefined ? {} : { shots: o.shot }),
    out: o.out ?? null,
    onProgress: line.show,
  }).finally(line.end);
  if (o.json) printJson(io, reading.data);
  else if (o.csv) io.out(resultCsv(reading.data));
  else {
    io.out(reading.text);
    const next = file === undefined ? null : nextCommand(file, reading.result);
    if (next !== null) io.out(`\n${next}\n`);
    if (reading.files.length > 0) io.out(`\nWritten: ${reading.files.join('\n         ')}\n`);
  }
  return reading.exit;
}
