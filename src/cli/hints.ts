import type { JobResult } from '../job/result.ts';
import { turnsOf } from '../report/format.ts';
import { wrapColumns } from '../report/terminal.ts';

/** What to type next, below a report; null when there is nothing to add. */
export function nextCommand(jobFile: string, result: JobResult): string | null {
  for (const shot of result.shots) {
    if (shot.state !== 'read' || shot.turns?.kind !== 'try') continue;
    const { screw, eighths } = shot.turns.step;
    const amount = turnsOf(eighths)
      .replace(/ of a turn$| turns?$/, '')
      .replace('half a turn', '1/2');
    const after = `${shot.shot}-2`;
    const words = wrapColumns(
      `After the trial turn: photograph the lamp again, add the photo to the job as a shot of its own, say "${after}", and type in what you turned:`,
    );
    return [
      ...words,
      `  npx dipcard turned ${jobFile} --lamp ${shot.lamp} --trial "${screw}; ${amount} clockwise; ${shot.shot}; ${after}"`,
    ].join('\n');
  }
  return null;
}
