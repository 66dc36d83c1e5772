import { readFile, stat } from 'node:fs/promises';
import type { Job } from './job.ts';
import { migrate } from './migrate.ts';
import { JobFileError, jobFileError } from './problems.ts';
import { parseJsonSafely } from './safe-json.ts';
import { type JobFile, jobSchema } from './schema.ts';
import { toJob } from './to-job.ts';

/** Larger files are refused before they are read. */
const MAX_BYTES = 4_000_000;

/**
 * A job from the text of its file: JSON, then any older version brought up to date, then checked, then in mm.
 * @throws JobFileError naming path, what was expected and what was there; `problems` lists every one found.
 */
export function parseJob(text: string): Job {
  return jobFromValue(parseJsonSafely(text));
}

/** The same checks for a job made in the program. @throws JobFileError */
export function jobFromFile(file: JobFile): Job {
  return jobFromValue(file);
}

/**
 * A job from its file. Photo paths stay as written, relative to the file's folder.
 * @throws JobFileError for what is wrong in it; Node's own error when it can't be read.
 */
export async function loadJob(path: string): Promise<Job> {
  const { size } = await stat(path);
  if (size > MAX_BYTES) throw new JobFileError('job file', 'at most 4 MB', `${size} bytes`);
  return parseJob(await readFile(path, 'utf8'));
}

function jobFromValue(value: unknown): Job {
  const current = migrate(value);
  const parsed = jobSchema.safeParse(current);
  if (!parsed.success) throw jobFileError(parsed.error, current);
  return toJob(parsed.data);
}
