import path from 'node:path';
import { z } from 'zod';
import { loadJob } from '../../job/load-job.ts';
import { checked } from '../args.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';
import { progressLine } from '../progress.ts';
import { projectRoot } from '../project.ts';
import { readAndReport } from '../reading.ts';

const optionsSchema = z.object({ out: z.string().min(1), json: z.boolean().default(false) });

/** Reads the sample job. Its lamps are badly aimed and one photo is unreadable on purpose: the exit code stays 0. */
export async function command(io: Io, options: Readonly<Record<string, unknown>>): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  const file = path.join(projectRoot(), 'samples', 'marigold', 'job.json');
  const job = await loadJob(file);
  const line = progressLine(io);
  const reading = await readAndReport(job, {
    folder: path.dirname(file),
    out: o.out,
    onProgress: line.show,
  }).finally(line.end);
  if (o.json) printJson(io, reading.data);
  else {
    io.out(reading.text);
    print(io, '', 'Look at these:', ...reading.files.map((f) => `  ${f}`));
  }
  return EXIT.ok;
}
