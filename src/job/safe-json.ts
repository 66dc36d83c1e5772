import { JobFileError } from './problems.ts';

/** A job of 16 lamps and 400 shots is below 200 kB. */
const MAX_CHARACTERS = 2_000_000;
const MAX_DEPTH = 24;
const MAX_VALUES = 100_000;
const HOSTILE = new Set(['__proto__', 'constructor', 'prototype']);

/**
 * JSON text to a value, refusing what no job file holds: over 2 million characters, nesting deeper than 24, over
 * 100,000 values, names that could reach an object's own machinery.
 * @throws JobFileError with line and column for broken JSON.
 */
export function parseJsonSafely(text: string): unknown {
  if (text.length > MAX_CHARACTERS) {
    throw new JobFileError('job file', 'at most 2 million characters', `${text.length} characters`);
  }
  // Some editors put an invisible mark first.
  const body = text.replace(/^\ufeff/, '');
  const depth = deepest(body);
  if (depth > MAX_DEPTH) {
    throw new JobFileError('job file', `nesting of at most ${MAX_DEPTH} levels`, `${depth} levels`);
  }
  let value: unknown;
  try {
    value = JSON.parse(body);
  } catch (e) {
    throw brokenJson(body, e);
  }
  refuseHostile(value);
  return value;
}

/** Greatest depth of brackets outside texts: known before anything recursive looks at the file. */
function deepest(text: string): number {
  let depth = 0;
  let most = 0;
  let inText = false;
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (inText) {
      if (c === 92) i++;
      else if (c === 34) inText = false;
    } else if (c === 34) inText = true;
    else if (c === 91 || c === 123) most = Math.max(most, ++depth);
    else if (c === 93 || c === 125) depth--;
  }
  return most;
}

function brokenJson(text: string, e: unknown): JobFileError {
  const said = e instanceof Error ? e.message : String(e);
  const position = /position (\d+)/.exec(said);
  if (text.trim() === '') return new JobFileError('job file', 'a job in JSON', 'an empty file');
  const before = position ? text.slice(0, Number(position[1])) : text;
  const lines = before.split('\n');
  const line = lines.length;
  const column = lines.at(-1)!.length + 1;
  const there = (text.split('\n')[line - 1] ?? '').trim();
  return new JobFileError(
    `line ${line}, column ${column}`,
    'JSON: look for a missing comma, quote or bracket',
    there,
  );
}

function refuseHostile(root: unknown): void {
  const todo: { readonly value: unknown; readonly path: string }[] = [{ value: root, path: '' }];
  let seen = 0;
  for (let at = todo.pop(); at !== undefined; at = todo.pop()) {
    if (++seen > MAX_VALUES) {
      throw new JobFileError('job file', `at most ${MAX_VALUES} values`, 'more');
    }
    if (typeof at.value !== 'object' || at.value === null) continue;
    for (const key of Object.keys(at.value)) {
      const path = at.path === '' ? key : `${at.path}.${key}`;
      if (HOSTILE.has(key)) throw new JobFileError(path, 'another name', key);
      todo.push({ value: (at.value as Record<string, unknown>)[key], path });
    }
  }
}
