import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { z } from 'zod';
import { loadJob } from '../../job/load-job.ts';
import { AT_THE_SCREWS } from '../../report/cautions.ts';
import { wrapColumns } from '../../report/terminal.ts';
import { adviceFromTrials, type Trial } from '../../report/trials.ts';
import { turnWords } from '../../report/turn-words.ts';
import type { Answer } from '../answers.ts';
import { checked } from '../args.ts';
import { CliError } from '../errors.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';
import { progressLine } from '../progress.ts';

const optionsSchema = z.object({
  lamp: z.string({ error: 'is missing: which lamp of the job' }),
  trial: z
    .array(z.string(), {
      error: 'is missing, e.g. --trial "up-down screw; 1 clockwise; left-dip; left-dip-2"',
    })
    .min(1),
  json: z.boolean().default(false),
});

/** Learns the screws from trial turns and says what to turn next. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  const file = names[0]!;
  const trials = o.trial.map(trialOf);
  const job = await loadJob(file);
  const lamp = job.lamps.find((l) => l.id === o.lamp);
  if (lamp === undefined)
    throw new CliError(
      `--lamp: there is no "${o.lamp}" in this job. There are: ${job.lamps.map((l) => l.id).join(', ')}.`,
    );
  const shots = [...new Set(trials.flatMap((t) => [t.before, t.after]))];
  for (const id of shots)
    if (!job.shots.some((s) => s.id === id))
      throw new CliError(
        `--trial: there is no shot "${id}" in this job. There are: ${job.shots.map((s) => s.id).join(', ')}.`,
      );
  const [{ readJob }, { decodePhoto }] = await Promise.all([
    import('../../job/read-job.ts'),
    import('../../photo/node/decode.ts'),
  ]);
  const line = progressLine(io);
  const result = await readJob(job, {
    decode: async (photo) => decodePhoto(await readFile(path.join(path.dirname(file), photo)), photo),
    shots,
    onProgress: (p) => line.show(p.done, p.of, p.shot),
  }).finally(line.end);
  const { learnt, advice } = adviceFromTrials(lamp, result, trials);
  const words = turnWords(advice);
  if (o.json) {
    const answer: Answer<'turned'> = {
      learnt: [...learnt],
      kind: advice.kind,
      steps: [...words.steps],
      expect: words.expect,
      notes: [...words.notes],
    };
    printJson(io, answer);
    return EXIT.ok;
  }
  for (const l of learnt) print(io, ...wrapColumns(l));
  words.steps.forEach((s, i) => {
    print(io, ...wrapColumns(s, 80, `  ${i + 1}. `, '     '));
  });
  if (words.expect !== null) print(io, ...wrapColumns(words.expect));
  for (const n of words.notes) print(io, ...wrapColumns(n, 80, '  - ', '    '));
  if (words.steps.length > 0) print(io, ...wrapColumns(AT_THE_SCREWS, 80, '  - ', '    '));
  return EXIT.ok;
}

/** "up-down screw; 1 1/2 anticlockwise; left-dip; left-dip-2". */
function trialOf(text: string): Trial {
  const wrong = (): CliError =>
    new CliError(
      `--trial: expected "screw; turns; shot before; shot after" such as "up-down screw; 1 clockwise; left-dip; left-dip-2", got "${text}".`,
    );
  const parts = text.split(';').map((p) => p.trim());
  const [screw, amount, before, after] = parts;
  if (parts.length !== 4 || !screw || !amount || !before || !after) throw wrong();
  const m = /^(?:(\d+(?:[.,]\d+)?)(?:\s+(\d+)\/(\d+))?|(\d+)\/(\d+))\s+(anti)?clockwise$/.exec(amount);
  if (m === null) throw wrong();
  const whole = Number((m[1] ?? '0').replace(',', '.'));
  const top = Number(m[2] ?? m[4] ?? 0);
  const bottom = Number(m[3] ?? m[5] ?? 1);
  const turns = whole + top / bottom;
  if (!(turns > 0) || !Number.isFinite(turns)) throw wrong();
  return { screw, turns: m[6] === undefined ? turns : -turns, before, after };
}
