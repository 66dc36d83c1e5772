import { z } from 'zod';
import { type CalledOutContext, calledOutChange, calledOutTurns } from '../../core/adjusters/called-out.ts';
import type { BoardAim } from '../../core/adjusters/target-line.ts';
import type { Job, JobLamp } from '../../job/job.ts';
import { loadJob } from '../../job/load-job.ts';
import { dropPct } from '../../job/quantity.ts';
import { calledWords } from '../../report/called-words.ts';
import { AT_THE_SCREWS, NO_CERTIFICATE } from '../../report/cautions.ts';
import { type ExpectedAim, expectedAim } from '../../report/expected-aim.ts';
import { wrapColumns } from '../../report/terminal.ts';
import { turnWords } from '../../report/turn-words.ts';
import type { Answer } from '../answers.ts';
import { checked, lengthArg } from '../args.ts';
import { calledFigure } from '../called-figure.ts';
import { CliError } from '../errors.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';

const optionsSchema = z.object({
  from: z.enum(['target', 'limit', 'level']),
  job: z.string().optional(),
  lamp: z.string().optional(),
  target: z.string().optional(),
  distance: lengthArg('distance').optional(),
  units: z.enum(['mm', 'cm', 'in']),
  json: z.boolean().default(false),
});

const FROM = { target: 'target', limit: 'nearest-limit', level: 'level-line' } as const;

/** A called-out figure as per cent, mm on the board and turns. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  const figure = calledFigure(names.join(' '), FROM[o.from]);
  const known = o.job === undefined ? null : lampInJob(await loadJob(o.job), o.lamp);
  const context = contextOf(known?.expected ?? null, o.target);
  const change = calledOutChange(figure, context);
  const distanceMm = o.distance ?? known?.expected.view.distanceMm ?? null;
  const mechanics = known?.lamp.mechanics ?? null;
  const turns = mechanics === null ? null : turnWords(calledOutTurns(mechanics, figure, context));
  const said = calledWords(change, distanceMm, known === null ? o.units : known.job.units);
  if (o.json) {
    const answer: Answer<'called'> = {
      axis: change.axis,
      now_pct: change.nowPct,
      target_pct: change.targetPct,
      change_pct: change.changePct,
      on_board_mm: said.onBoardMm,
      distance_mm: distanceMm,
      steps: [...(turns?.steps ?? [])],
      notes: [...(turns?.notes ?? [])],
      text: said.text,
    };
    printJson(io, answer);
    return EXIT.ok;
  }
  print(io, ...wrapColumns(said.text));
  if (turns !== null) {
    turns.steps.forEach((s, i) => {
      print(io, ...wrapColumns(s, 80, `  ${i + 1}. `, '     '));
    });
    for (const n of turns.notes) print(io, ...wrapColumns(n, 80, '  - ', '    '));
    if (turns.steps.length > 0) print(io, ...wrapColumns(AT_THE_SCREWS, 80, '  - ', '    '));
  } else
    print(
      io,
      ...wrapColumns('For turns, name a job that knows the screws: --job marigold/job.json --lamp left-dip.'),
    );
  print(io, '', ...wrapColumns(`Adjust only where the tester allows it. ${NO_CERTIFICATE}`));
  return EXIT.ok;
}

function lampInJob(
  job: Job,
  id: string | undefined,
): { readonly job: Job; readonly lamp: JobLamp; readonly expected: ExpectedAim } {
  const ids = job.lamps.map((l) => l.id).join(', ');
  const only = job.lamps.length === 1 ? job.lamps[0] : undefined;
  const lamp = id === undefined ? only : job.lamps.find((l) => l.id === id);
  if (lamp === undefined)
    throw new CliError(
      id === undefined
        ? `--lamp: say which one: ${ids}.`
        : `--lamp: there is no "${id}" in this job. There are: ${ids}.`,
    );
  return { job, lamp, expected: expectedAim(job, lamp) };
}

/** Target and limits: from the flag, else from the job's schemes, on the board in both cases. */
function contextOf(expected: ExpectedAim | null, target: string | undefined): CalledOutContext {
  const shared = expected?.aim.kind === 'shared' ? expected.aim : null;
  const onBoard: BoardAim | null = expected?.onBoard ?? null;
  const typed = target === undefined ? null : dropPct(target, '--target');
  return {
    targetDropPct: typed ?? onBoard?.dropPct ?? 0,
    targetOffsetPct: onBoard?.offsetPct ?? 0,
    dropBand: shared?.dropBand ?? null,
    offsetBand: shared?.lateralBand ?? null,
  };
}
