/** What was wrong with something handed to us: which field, what was expected, what arrived. */
export class InputError extends Error {
  readonly field: string;
  readonly expected: string;
  readonly got: string;

  /**
   * @param field path of the field in the caller's words, e.g. `bay.distanceMm`.
   * @param expected what would have been right, as a noun phrase: 'a length above 0 mm'.
   * @param got what arrived; shown as JSON, cut at 80 characters.
   */
  constructor(field: string, expected: string, got: unknown) {
    const shown = describe(got);
    super(`${field}: expected ${expected}, got ${shown}`);
    this.name = 'InputError';
    this.field = field;
    this.expected = expected;
    this.got = shown;
  }
}

function describe(value: unknown): string {
  const text =
    typeof value === 'string'
      ? `"${value}"`
      : typeof value === 'number'
        ? String(value)
        : JSON.stringify(value);
  return text === undefined ? String(value) : text.length > 80 ? `${text.slice(0, 77)}...` : text;
}
