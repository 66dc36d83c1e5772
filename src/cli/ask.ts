import { createInterface } from 'node:readline/promises';

type Parsed<T> = { readonly ok: T } | { readonly retry: string };

/** Asks until the answer can be used. */
export interface Asker {
  <T>(question: string, parse: (text: string) => Parsed<T>): Promise<T>;
  close(): void;
}

/** Questions on the terminal. */
export function asker(): Asker {
  const lines = createInterface({ input: process.stdin, output: process.stdout });
  const ask = async <T>(question: string, parse: (text: string) => Parsed<T>): Promise<T> => {
    for (;;) {
      const parsed = parse(await lines.question(`${question}\n> `));
      if ('ok' in parsed) return parsed.ok;
      process.stdout.write(`${parsed.retry}\n`);
    }
  };
  return Object.assign(ask, { close: () => lines.close() });
}
