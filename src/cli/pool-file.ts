import { existsSync } from 'node:fs';
import path from 'node:path';
import { projectRoot } from './project.ts';

/** The worker's file: the built one; run from source, the same through tsx. */
export function poolWorker(): { readonly filename: string; readonly execArgv: string[] } {
  const built = path.join(projectRoot(), 'dist', 'cli', 'pool-worker.js');
  const fromSource = import.meta.url.endsWith('.ts');
  if (fromSource)
    return {
      filename: path.join(projectRoot(), 'src', 'cli', 'pool-worker.ts'),
      execArgv: ['--import', 'tsx'],
    };
  const beside = path.join(path.dirname(new URL(import.meta.url).pathname), 'pool-worker.js');
  return { filename: existsSync(beside) ? beside : built, execArgv: [] };
}
