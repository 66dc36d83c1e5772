import type { z } from 'zod';
import { InputError } from '../core/errors.ts';

/** One thing wrong in a job file: where, and what was expected there. */
export interface Problem {
  readonly path: string;
  readonly message: string;
}

/** A job file that can't be used: every problem found, the first as the error itself. */
export class JobFileError extends InputError {
  readonly problems: readonly Problem[];

  constructor(field: string, expected: string, got: unknown, others: readonly Problem[] = []) {
    super(field, expected, got);
    this.name = 'JobFileError';
    this.problems = [{ path: field, message: this.message }, ...others];
  }

  /** The same complaint as a problem of the job file. */
  static from(error: InputError): JobFileError {
    const out = new JobFileError(error.field, error.expected, null);
    return Object.assign(out, {
      message: error.message,
      got: error.got,
      problems: [{ path: error.field, message: error.message }],
    });
  }
}

/** Turns what zod found into problems with the value that was there. At most 20: more helps nobody. */
export function jobFileError(error: z.ZodError, input: unknown): JobFileError {
  const found = error.issues.slice(0, 20).map((issue) => describe(issue, input));
  const [first, ...others] = found;
  const asProblems = others.map((o) => ({
    path: o.path,
    message: new InputError(o.path, o.expected, o.got).message,
  }));
  return new JobFileError(first!.path, first!.expected, first!.got, asProblems);
}

interface Described {
  readonly path: string;
  readonly expected: string;
  readonly got: unknown;
}

function describe(issue: z.core.$ZodIssue, input: unknown): Described {
  const path = issue.path.map(String).join('.');
  const got = valueAt(input, issue.path);
  const at = path === '' ? 'job file' : path;
  switch (issue.code) {
    case 'unrecognized_keys':
      return {
        path: [path, issue.keys[0]].filter(Boolean).join('.'),
        expected: 'no field of this name (check the spelling, or remove it)',
        got: issue.keys.join(', '),
      };
    case 'invalid_type':
      return got === undefined
        ? { path: at, expected: `${kindOf(issue.expected)} (it is missing)`, got }
        : { path: at, expected: kindOf(issue.expected), got };
    case 'invalid_value':
      return { path: at, expected: `one of ${issue.values.map(String).join(', ')}`, got };
    case 'too_big':
      return {
        path: at,
        expected: `at most ${String(issue.maximum)}${unitOf(issue.origin)}`,
        got: sizeOf(got),
      };
    case 'too_small':
      return {
        path: at,
        expected: `at least ${String(issue.minimum)}${unitOf(issue.origin)}`,
        got: sizeOf(got),
      };
    case 'invalid_key':
      return { path: at, expected: issue.issues[0]?.message ?? 'another name', got: issue.path.at(-1) };
    case 'invalid_union':
      // A choice by `kind` names its options; the plain unions carry their own words.
      return {
        path: at,
        expected: issue.message === 'Invalid input' ? 'one of the known kinds' : issue.message,
        got,
      };
    default:
      return { path: at, expected: issue.message, got };
  }
}

function kindOf(expected: string): string {
  const words: Record<string, string> = {
    string: 'a text',
    number: 'a finite number',
    boolean: 'true or false',
    object: 'an object { }',
    record: 'an object { }',
    array: 'a list [ ]',
  };
  return words[expected] ?? expected;
}

function unitOf(origin: string): string {
  if (origin === 'array') return ' entries';
  return origin === 'string' ? ' characters' : '';
}

function sizeOf(got: unknown): unknown {
  return Array.isArray(got) ? `${got.length} entries` : got;
}

function valueAt(input: unknown, path: readonly PropertyKey[]): unknown {
  let value = input;
  for (const key of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}

/** Two things of one name would silently be taken for each other. */
export function refuseTwins<T>(
  things: readonly T[],
  nameOf: (thing: T) => string,
  field: string,
  key: string,
): void {
  const seen = new Set<string>();
  things.forEach((thing, i) => {
    const name = nameOf(thing);
    if (seen.has(name)) throw new JobFileError(`${field}.${i}.${key}`, 'a name that no other has', name);
    seen.add(name);
  });
}
