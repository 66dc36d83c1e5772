import { existsSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { CliError } from './errors.ts';

/** The worker's file: built, it lies beside the program or one folder up; run from source, it goes through tsx. */
export function poolWorker(): { readonly filename: string; readonly execArgv: string[] } {
  const own = fileURLToPath(import.meta.url);
  const folder = path.dirname(own);
  if (own.endsWith('.ts'))
    return { filename: path.join(folder, 'pool-worker.ts'), execArgv: ['--import', 'tsx'] };
  const found = [folder, path.dirname(folder)]
    .map((f) => path.join(f, 'pool-worker.js'))
    .find((f) => existsSync(f));
  if (found === undefined)
    throw new CliError('pool-worker.js is missing beside the program. Build it again: npm run build.');
  return { filename: found, execArgv: [] };
}
