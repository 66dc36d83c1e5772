/** Why a photo could not be opened: stable codes, for programs. */
export type PhotoErrorCode =
  | 'empty'
  | 'not-a-photo'
  | 'unsupported-format'
  | 'camera-raw'
  | 'several-pictures'
  | 'cmyk'
  | 'unsupported-colour'
  | 'high-dynamic-range'
  | 'cut-short'
  | 'damaged'
  | 'file-too-big'
  | 'too-many-pixels';

/** A photo file that cannot be used: which file, what is wrong with it, what to do. */
export class PhotoError extends Error {
  readonly code: PhotoErrorCode;
  readonly fileName: string;
  /** What is wrong, as a sentence without its stop. */
  readonly problem: string;
  /** What the person can do, as a whole sentence. */
  readonly advice: string;

  constructor(code: PhotoErrorCode, fileName: string, problem: string, advice: string) {
    const name = printable(fileName);
    super(`${name}: ${problem}. ${advice}`);
    this.name = 'PhotoError';
    this.code = code;
    this.fileName = name;
    this.problem = problem;
    this.advice = advice;
  }
}

/** A file name is foreign text: no control characters (they can rewrite a terminal), and not endless. */
function printable(name: string): string {
  const clean = name.replace(/[\p{Cc}\p{Cf}\u2028\u2029]/gu, '?');
  if (clean === '') return '(no name)';
  return clean.length > 160 ? `...${clean.slice(-157)}` : clean;
}
