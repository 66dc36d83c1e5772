import { availableParallelism } from 'node:os';
import path from 'node:path';
import { z } from 'zod';
import { batchLine } from '../../report/batch-words.ts';
import type { Answer } from '../answers.ts';
import { checked, numberArg } from '../args.ts';
import type { BatchTask } from '../batch-job.ts';
import { CliError } from '../errors.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print } from '../io.ts';
import { poolWorker } from '../pool-file.ts';
import { version } from '../project.ts';

const optionsSchema = z.object({
  out: z.string().min(1),
  workers: numberArg.pipe(z.number().int().min(1).max(256)).optional(),
  again: z.boolean().default(false),
  json: z.boolean().default(false),
});

/** Reads many jobs in a pool of workers; one line per job, in the order they finish. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  const tasks = tasksOf([...new Set(names.map((n) => path.resolve(n)))], o);
  const [{ Piscina }, { default: progress }] = await Promise.all([import('piscina'), import('cli-progress')]);
  const workers = Math.min(o.workers ?? availableParallelism(), tasks.length);
  const pool = new Piscina({ ...poolWorker(), maxThreads: workers, minThreads: 1, idleTimeout: 2000 });
  const bar = io.progress
    ? new progress.SingleBar(
        {
          format: 'reading {value} of {total} {bar} {eta_formatted} left',
          clearOnComplete: true,
          hideCursor: true,
        },
        progress.Presets.rect,
      )
    : null;
  bar?.start(tasks.length, 0);
  const exits: number[] = [];
  try {
    await Promise.all(
      tasks.map(async (task) => {
        const answer = (await pool.run(task)) as Answer<'batch'>;
        exits.push(answer.exit);
        bar?.increment();
        if (o.json) io.out(`${JSON.stringify(answer)}\n`);
        else print(io, batchLine(answer));
      }),
    );
  } finally {
    bar?.stop();
    await pool.destroy();
  }
  // The gravest of all: a fault, a wrong file, an unread photo, a lamp not within.
  const order = [EXIT.fault, EXIT.usage, EXIT.unread, EXIT.notWithin];
  return order.find((code) => exits.includes(code)) ?? EXIT.ok;
}

/** One folder per job, named after the job's own folder (and file, unless that is job.json). */
function tasksOf(jobs: readonly string[], o: z.output<typeof optionsSchema>): BatchTask[] {
  const taken = new Map<string, string>();
  return jobs.map((job) => {
    const file = path.basename(job, '.json');
    const folder = path.basename(path.dirname(job));
    const name = file === 'job' ? folder : `${folder}-${file}`;
    const other = taken.get(name);
    if (other !== undefined)
      throw new CliError(
        `${job} and ${other} would both write to ${path.join(o.out, name)}. Read them in two batches with different --out.`,
      );
    taken.set(name, job);
    return { job, out: path.join(o.out, name), again: o.again, version: version() };
  });
}
