/** What the program's exit code means; the README's table says the same. */
export const EXIT = {
  /** Done; every lamp read is within what was chosen. */
  ok: 0,
  /** Read, but a lamp is over a limit, too close to call, or nothing could be said of it. */
  notWithin: 1,
  /** The command or a file handed to it is wrong. Nothing was read. */
  usage: 2,
  /** A photo could not be read. */
  unread: 3,
  /** A fault of the program itself. */
  fault: 4,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];
