import type { Io } from './io.ts';

/** One line on the error stream that tells how far a reading is; nothing when nobody watches. */
export function progressLine(io: Io): {
  readonly show: (done: number, of: number, shot: string) => void;
  readonly end: () => void;
} {
  if (!io.progress) return { show: () => undefined, end: () => undefined };
  let shown = false;
  return {
    show: (done, of, shot) => {
      shown = true;
      io.err(`\r\u001b[Kreading ${Math.min(done + 1, of)} of ${of}: ${shot}`);
    },
    end: () => {
      if (shown) io.err('\r\u001b[K');
    },
  };
}
