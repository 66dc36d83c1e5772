/** Builds the program once for the tests of a file, and starts it as a person would. */
import { execFile } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { build } from 'vite';

export const PROJECT = path.resolve(import.meta.dirname, '../..');
/** Inside the project, so that the program finds its package.json, samples and packages. */
const OUT = path.join(
  PROJECT,
  'node_modules',
  '.cache',
  // Test files run side by side: each worker builds into a folder of its own.
  `cli-test-${process.env['VITEST_POOL_ID'] ?? 'alone'}`,
);

/** Builds into a folder of its own; what is in dist is left alone. */
export async function buildCli(): Promise<void> {
  await build({
    configFile: path.join(PROJECT, 'vite.config.ts'),
    mode: 'cli',
    logLevel: 'error',
    build: { outDir: OUT, emptyOutDir: true },
  });
}

export interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Starts the built program in `cwd`. */
export function dipcard(cwd: string, ...args: readonly string[]): Promise<Ran> {
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      [BUILT_PROGRAM, ...args],
      { cwd, maxBuffer: 64e6, env: { ...process.env, NODE_OPTIONS: '' } },
      (error, out, err) => {
        const code = error === null ? 0 : typeof error.code === 'number' ? error.code : -1;
        resolve({ code, out, err });
      },
    );
  });
}

/** The file that `npx dipcard` starts as a program. */
export const BUILT_PROGRAM = path.join(OUT, 'main.js');

/** A folder of its own for one test file. */
export function scratch(): string {
  return mkdtempSync(path.join(tmpdir(), 'dipcard-test-'));
}
