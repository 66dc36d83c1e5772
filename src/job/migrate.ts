import { JobFileError } from './problems.ts';
import { JOB_VERSION } from './schema.ts';

type Step = (file: Readonly<Record<string, unknown>>) => Record<string, unknown>;

/** From version n to n + 1. A new version adds one line here and one file of that age to the tests. */
const STEPS: Readonly<Record<number, Step>> = {};

/**
 * Brings a file of any known age to this version, one step at a time. Its shape is checked afterwards.
 * @throws JobFileError when it is no job file, or one of a later version.
 */
export function migrate(
  value: unknown,
  steps: Readonly<Record<number, Step>> = STEPS,
  current: number = JOB_VERSION,
): unknown {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new JobFileError('job file', 'an object that begins with "dipcard": 1', value);
  }
  const version = Object.hasOwn(value, 'dipcard') ? (value as Record<string, unknown>)['dipcard'] : undefined;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    throw new JobFileError('dipcard', `the version of the job file, ${current} or older`, version);
  }
  if (version > current) {
    throw new JobFileError(
      'dipcard',
      `version ${current} or older: this file was written by a newer Dipcard, so bring Dipcard up to date`,
      version,
    );
  }
  let file = value as Record<string, unknown>;
  for (let v = version; v < current; v++) {
    const step = steps[v];
    if (step === undefined)
      throw new JobFileError('dipcard', `a version that can be brought to ${current}`, v);
    file = { ...step(file), dipcard: v + 1 };
  }
  return file;
}
