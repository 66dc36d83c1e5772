import path from 'node:path';
import { z } from 'zod';
import { loadJob } from '../../job/load-job.ts';
import { planForJob } from '../../report/plan-for-job.ts';
import { boardPlanPdf } from '../../report/sheets/board-plan-pdf.ts';
import { wrapColumns } from '../../report/terminal.ts';
import type { Answer } from '../answers.ts';
import { checked } from '../args.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';
import { writeWhole } from '../write-file.ts';

const optionsSchema = z.object({
  paper: z.enum(['a4', 'letter']),
  out: z.string().min(1).optional(),
  replace: z.boolean().default(false),
  json: z.boolean().default(false),
});

/** Draws the board plan of a job as a PDF. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  const file = names[0]!;
  const plan = planForJob(await loadJob(file), o.paper);
  const out = o.out ?? path.join(path.dirname(file), 'plan.pdf');
  await writeWhole(out, boardPlanPdf(plan), { replace: o.replace });
  if (o.json) {
    const answer: Answer<'written'> = { written: [out], notes: [...plan.warnings] };
    printJson(io, answer);
  } else {
    print(io, `${out}: the board for ${plan.title}`);
    for (const w of plan.warnings) print(io, ...wrapColumns(w, 80, '  - ', '    '));
  }
  return EXIT.ok;
}
