import { z } from 'zod';
import { sheetsJson, sheetsSvg } from '../../report/sheets/sheets-data.ts';
import type { Answer } from '../answers.ts';
import { checked, numbersArg } from '../args.ts';
import { CliError } from '../errors.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';
import { writeWhole } from '../write-file.ts';

const optionsSchema = z.object({
  paper: z.enum(['a4', 'letter']),
  numbers: numbersArg,
  format: z.enum(['pdf', 'svg', 'json']),
  title: z.string().min(1).max(80),
  units: z.enum(['mm', 'cm', 'in']),
  words: z.enum(['gb', 'us']),
  out: z.string().min(1).optional(),
  replace: z.boolean().default(false),
  json: z.boolean().default(false),
});

/** Writes coded sheets as PDF, one as SVG, or their design as open data. */
export async function command(io: Io, options: Readonly<Record<string, unknown>>): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  if (o.format === 'json') {
    const text = `${JSON.stringify(sheetsJson({ paper: o.paper, numbers: o.numbers }), null, 1)}\n`;
    if (o.out === undefined) io.out(text);
    else await done(io, o, o.out, text);
    return EXIT.ok;
  }
  const [first] = o.numbers;
  if (o.format === 'svg') {
    if (o.numbers.length !== 1 || first === undefined)
      throw new CliError('--format svg: one sheet at a time. Add --numbers 3, for instance.');
    await done(io, o, o.out ?? `sheet-${first}.svg`, sheetsSvg({ paper: o.paper, number: first }));
    return EXIT.ok;
  }
  const { sheetsPdf } = await import('../../report/sheets/sheets-pdf.ts');
  const { paper, numbers, title, units, words } = o;
  await done(io, o, o.out ?? 'sheets.pdf', sheetsPdf({ paper, numbers, title, units, words }));
  return EXIT.ok;
}

async function done(
  io: Io,
  o: z.output<typeof optionsSchema>,
  file: string,
  content: string | Uint8Array,
): Promise<void> {
  await writeWhole(file, content, { replace: o.replace });
  const notes = [
    'Print at 100 % ("actual size"), then lay a steel rule on the printed ruler: it must read 100 mm.',
  ];
  if (o.json) {
    const answer: Answer<'written'> = { written: [file], notes };
    printJson(io, answer);
  } else
    print(io, `${file}: ${o.numbers.length === 1 ? 'sheet' : 'sheets'} ${o.numbers.join(', ')}`, ...notes);
}
