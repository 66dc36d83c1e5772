import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { type Lettering, letteringFrom } from '../report/picture/lettering.ts';

const FAMILY = '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin';

let loaded: Promise<Lettering> | null = null;

/** The pictures' lettering, from the bundled font files; read once. A failed load may be tried again. */
export function loadLettering(): Promise<Lettering> {
  loaded ??= load().catch((error: unknown) => {
    loaded = null;
    throw error;
  });
  return loaded;
}

async function load(): Promise<Lettering> {
  const require = createRequire(import.meta.url);
  const bytes = async (weight: number): Promise<ArrayBuffer> => {
    const file = await readFile(require.resolve(`${FAMILY}-${weight}-normal.woff`));
    // A copy: small Buffers share one pool, whose other bytes are none of the font's.
    return new Uint8Array(file).buffer;
  };
  const [regular, bold] = await Promise.all([bytes(400), bytes(700)]);
  return letteringFrom(regular, bold);
}
