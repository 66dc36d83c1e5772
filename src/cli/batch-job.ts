import { createHash } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import path from 'node:path';
import type { Job } from '../job/job.ts';
import { loadJob } from '../job/load-job.ts';
import type { ResultData } from '../report/data/result-schema.ts';
import { resultSchema } from '../report/data/result-schema.ts';
import type { Answer } from './answers.ts';
import { complaintOf } from './errors.ts';
import type { ExitCode } from './exit.ts';
import { readAndReport } from './reading.ts';
import { writeWhole } from './write-file.ts';

export interface BatchTask {
  readonly job: string;
  readonly out: string;
  readonly again: boolean;
  readonly version: string;
}

/** Marks a folder as holding the finished reading of exactly this job, these photos and this version. */
const DONE = 'done.json';

/** Reads one job of a batch into its own folder, unless that was done before; never throws. */
export async function batchJob(task: BatchTask): Promise<Answer<'batch'>> {
  try {
    const job = await loadJob(task.job);
    const key = await keyOf(task, job);
    const before = task.again ? null : await doneBefore(task.out, key);
    if (before !== null) return summary(task, 'unchanged', before.exit, before.data);
    const { data, exit } = await readAndReport(job, { folder: path.dirname(task.job), out: task.out });
    // Last of all: a folder without it was cut off half-way and is read again.
    await writeWhole(path.join(task.out, DONE), `${JSON.stringify({ key, exit })}\n`);
    return summary(task, 'read', exit, data);
  } catch (error) {
    const { lines, exit } = complaintOf(error);
    return {
      job: task.job,
      title: null,
      state: 'failed',
      exit,
      out: null,
      lamps: [],
      error: lines.join(' '),
    };
  }
}

/** Changes when job file, any photo's size or time, or the program's version changes. */
async function keyOf(task: BatchTask, job: Job): Promise<string> {
  const hash = createHash('sha256')
    .update(task.version)
    .update(await readFile(task.job));
  for (const shot of job.shots)
    for (const photo of [...shot.photos, shot.lampsOff, shot.marksShot]) {
      if (photo === null) continue;
      const facts = await stat(path.join(path.dirname(task.job), photo)).catch(() => null);
      hash.update(`${photo}|${facts?.size ?? 'none'}|${facts?.mtimeMs ?? 0}\n`);
    }
  return hash.digest('hex');
}

async function doneBefore(
  out: string,
  key: string,
): Promise<{ readonly exit: ExitCode; readonly data: ResultData } | null> {
  try {
    const done = JSON.parse(await readFile(path.join(out, DONE), 'utf8')) as {
      key?: unknown;
      exit?: unknown;
    };
    if (done.key !== key || typeof done.exit !== 'number') return null;
    const data = resultSchema.parse(JSON.parse(await readFile(path.join(out, 'result.json'), 'utf8')));
    return { exit: done.exit as ExitCode, data };
  } catch {
    return null;
  }
}

function summary(
  task: BatchTask,
  state: 'read' | 'unchanged',
  exit: ExitCode,
  data: ResultData,
): Answer<'batch'> {
  return {
    job: task.job,
    title: data.title,
    state,
    exit,
    out: task.out,
    lamps: data.shots.map((s) => ({
      shot: s.shot,
      text:
        s.state === 'read' ? (s.drop_pct?.text ?? s.hot_spot?.drop_pct.text ?? 'nothing found') : s.detail,
      verdicts: s.state === 'read' ? s.verdicts.map((v) => `${v.scheme}: ${v.text}`) : [],
    })),
    error: null,
  };
}
