import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

/** The project's top folder: the nearest one above this file with a package.json, run from source or built. */
export function projectRoot(): string {
  let folder = path.dirname(fileURLToPath(import.meta.url));
  while (!existsSync(path.join(folder, 'package.json'))) {
    const above = path.dirname(folder);
    if (above === folder) throw new Error('package.json not found above the program');
    folder = above;
  }
  return folder;
}

/** The program's version. */
export function version(): string {
  const text = readFileSync(path.join(projectRoot(), 'package.json'), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}
