import { randomUUID } from 'node:crypto';
import { copyFile, open, rename, unlink } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { jobFromFile } from './load-job.ts';
import type { JobFile } from './schema.ts';

/**
 * Writes a job so that the file is always either the old one or the new one, whole: a new file beside it, flushed to
 * the disk, then renamed over it. The one before stays as `<name>.bak`: a garage laptop's only undo.
 *
 * @param file checked first; what can't be loaded again is never written.
 * @throws JobFileError when the job is wrong; Node's own error when the folder can't be written.
 */
export async function saveJob(
  path: string,
  file: JobFile,
  options: { readonly keepBackup?: boolean } = {},
): Promise<void> {
  jobFromFile(file);
  const folder = dirname(path);
  const temporary = join(folder, `.${basename(path)}.${randomUUID()}.tmp`);
  try {
    const handle = await open(temporary, 'wx');
    try {
      await handle.writeFile(`${JSON.stringify(file, null, 2)}\n`, 'utf8');
      await handle.sync();
    } finally {
      await handle.close();
    }
    if (options.keepBackup !== false) await copyFile(path, `${path}.bak`).catch(ignoreMissing);
    await rename(temporary, path);
  } catch (e) {
    await unlink(temporary).catch(ignoreMissing);
    throw e;
  }
  await flushFolder(folder);
}

function ignoreMissing(e: unknown): void {
  if ((e as NodeJS.ErrnoException).code !== 'ENOENT') throw e;
}

/** The rename itself must reach the disk too; some systems can't flush a folder, and then there is nothing to do. */
async function flushFolder(folder: string): Promise<void> {
  try {
    const handle = await open(folder, 'r');
    try {
      await handle.sync();
    } finally {
      await handle.close();
    }
  } catch {
    // Windows refuses to open folders.
  }
}
