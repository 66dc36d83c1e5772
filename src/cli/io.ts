/** Where a command speaks: handed in, so that tests can listen. */
export interface Io {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** A person sits at the keyboard and can be asked. */
  readonly interactive: boolean;
  /** Progress may be redrawn on the error stream. */
  readonly progress: boolean;
}

// A reader that has seen enough (`| head`) closes the pipe: that is no fault of anybody.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(process.exitCode ?? 0);
  throw error;
});

/** The process's own streams. */
export const processIo: Io = {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
  interactive: process.stdin.isTTY === true && process.stdout.isTTY === true,
  progress: process.stderr.isTTY === true,
};

/** A value as JSON on the output, one object and a newline. */
export function printJson(io: Io, value: unknown): void {
  io.out(`${JSON.stringify(value, null, 2)}\n`);
}

/** Lines of text on the output. */
export function print(io: Io, ...lines: readonly string[]): void {
  io.out(`${lines.join('\n')}\n`);
}
