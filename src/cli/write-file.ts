import { randomUUID } from 'node:crypto';
import { mkdir, open, rename, unlink } from 'node:fs/promises';
import path from 'node:path';
import { CliError } from './errors.ts';

/**
 * Writes a file so that its name always holds either the old content or the new one, whole. The folder is made.
 * @param options.replace false: refuses when something of that name is there.
 * @throws CliError naming the file when it may not be replaced; Node's own error when the disk refuses.
 */
export async function writeWhole(
  file: string,
  content: string | Uint8Array,
  options: { readonly replace: boolean } = { replace: true },
): Promise<void> {
  const folder = path.dirname(file);
  await mkdir(folder, { recursive: true });
  if (!options.replace && (await exists(file)))
    throw new CliError(`${file}: there is already a file of that name. Choose another, or add --replace.`);
  const temporary = path.join(folder, `.${path.basename(file)}.${randomUUID()}.tmp`);
  try {
    const handle = await open(temporary, 'wx');
    try {
      await handle.writeFile(content);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, file);
  } catch (error) {
    await unlink(temporary).catch(() => undefined);
    throw error;
  }
}

/** Whether anything of that name is there. */
export async function exists(file: string): Promise<boolean> {
  try {
    const handle = await open(file, 'r');
    await handle.close();
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ENOENT';
  }
}
