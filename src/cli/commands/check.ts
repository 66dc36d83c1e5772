import path from 'node:path';
import { z } from 'zod';
import { loadJob } from '../../job/load-job.ts';
import { wrapColumns } from '../../report/terminal.ts';
import type { Answer } from '../answers.ts';
import { checked } from '../args.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';
import { exists } from '../write-file.ts';

const optionsSchema = z.object({ json: z.boolean().default(false) });

/** Checks a job file and that its photos are there; reads no photo. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const { json } = checked(optionsSchema, options);
  const file = names[0]!;
  const job = await loadJob(file);
  const folder = path.dirname(file);
  const photos = new Set(
    job.shots.flatMap((s) => [...s.photos, s.lampsOff, s.marksShot]).filter((p) => p !== null),
  );
  const missing: string[] = [];
  for (const photo of photos) if (!(await exists(path.join(folder, photo)))) missing.push(photo);
  const ok = missing.length === 0;
  if (json) {
    const answer: Answer<'check'> = {
      job: file,
      ok,
      title: job.title,
      lamps: job.lamps.length,
      shots: job.shots.length,
      oddities: [...job.oddities],
      missing_photos: missing,
    };
    printJson(io, answer);
    return ok ? EXIT.ok : EXIT.usage;
  }
  print(
    io,
    `${job.title}: ${count(job.lamps.length, 'lamp')}, ${count(job.shots.length, 'shot')}, ${count(job.schemes.length, 'scheme')}.`,
  );
  for (const photo of missing)
    print(io, ...wrapColumns(`${photo}: no such photo beside the job.`, 80, '  - ', '    '));
  for (const odd of job.oddities) print(io, ...wrapColumns(odd, 80, '  - ', '    '));
  if (ok && job.oddities.length === 0) print(io, 'Nothing wrong and nothing odd was found in it.');
  return ok ? EXIT.ok : EXIT.usage;
}

function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? '' : 's'}`;
}
