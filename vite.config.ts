import { chmodSync } from 'node:fs';
import path from 'node:path';
import { defineConfig } from 'vitest/config';

/** `npx dipcard` runs the built file as a program, so every build must leave it executable. */
const executable = {
  name: 'executable-cli',
  writeBundle({ dir }: { readonly dir?: string | undefined }): void {
    chmodSync(path.join(dir ?? 'dist/cli', 'main.js'), 0o755);
  },
};

// One file for every build: `--mode cli` makes the Node programs; tests run from the project's top.
export default defineConfig(({ mode }) => ({
  ...(mode === 'cli'
    ? {
        plugins: [executable],
        build: {
          ssr: true,
          outDir: 'dist/cli',
          emptyOutDir: true,
          target: 'node20',
          rollupOptions: {
            input: { main: 'src/cli/main.ts', 'pool-worker': 'src/cli/pool-worker.ts' },
            output: { entryFileNames: '[name].js' },
          },
        },
      }
    : {}),
  test: {
    root: import.meta.dirname,
    include: ['test/**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    pool: 'threads',
    maxWorkers: 2,
  },
}));
