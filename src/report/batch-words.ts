/** One line per job of a batch. */
export function batchLine(answer: {
  readonly job: string;
  readonly title: string | null;
  readonly state: 'read' | 'unchanged' | 'failed';
  readonly lamps: readonly { readonly shot: string; readonly text: string }[];
  readonly error: string | null;
}): string {
  if (answer.state === 'failed') return `${answer.job}: not read. ${answer.error ?? ''}`;
  const lamps = answer.lamps.map((l) => `${l.shot} ${l.text}`).join('; ');
  return `${answer.title ?? answer.job}${answer.state === 'unchanged' ? ' (read before, unchanged)' : ''}: ${lamps}`;
}
