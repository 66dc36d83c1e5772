import { InputError } from '../core/errors.ts';
import { EXIT, type ExitCode } from './exit.ts';

/** A message for the person with the exit code that goes with it. */
export class CliError extends Error {
  readonly exit: ExitCode;
  /** Further lines, one complaint each. */
  readonly more: readonly string[];

  constructor(message: string, exit: ExitCode = EXIT.usage, more: readonly string[] = []) {
    super(message);
    this.name = 'CliError';
    this.exit = exit;
    this.more = more;
  }
}

/** What is said of an error: one clear line (what, where, what to do), further lines if there are, and the code. */
export interface Complaint {
  readonly lines: readonly string[];
  readonly exit: ExitCode;
}

/** Turns anything thrown into a complaint without a stack. */
export function complaintOf(error: unknown): Complaint {
  if (error instanceof CliError) return { lines: [error.message, ...error.more], exit: error.exit };
  if (error instanceof InputError) {
    const problems = (error as { problems?: readonly { message: string }[] }).problems ?? [];
    return { lines: [error.message, ...problems.slice(1).map((p) => p.message)], exit: EXIT.usage };
  }
  if (error instanceof Error) {
    if (error.name === 'PhotoError') return { lines: [error.message], exit: EXIT.unread };
    const file = fileComplaint(error as NodeJS.ErrnoException);
    if (file !== null) return { lines: [file], exit: EXIT.usage };
    return {
      lines: [
        `Something went wrong inside the program: ${error.message || error.name}`,
        'This is a fault of the program, not yours. Run it again with --debug to see where.',
      ],
      exit: EXIT.fault,
    };
  }
  return { lines: [`Something went wrong inside the program: ${String(error)}`], exit: EXIT.fault };
}

const FILE_WORDS: Readonly<Record<string, string>> = {
  ENOENT: 'no such file or folder',
  EACCES: 'not allowed to open it',
  EPERM: 'not allowed',
  EISDIR: 'this is a folder, a file was expected',
  ENOTDIR: 'a part of this path is a file, a folder was expected',
  EEXIST: 'there is already something of that name',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk cannot be written',
  ENAMETOOLONG: 'the name is too long',
};

function fileComplaint(error: NodeJS.ErrnoException): string | null {
  const words = error.code === undefined ? undefined : FILE_WORDS[error.code];
  return words === undefined ? null : `${error.path ?? 'file'}: ${words}.`;
}
