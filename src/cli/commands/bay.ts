import { readFile } from 'node:fs/promises';
import { TOOLS } from '../../core/bay-plan/facts.ts';
import { bayPlan } from '../../core/bay-plan/plan.ts';
import { InputError } from '../../core/errors.ts';
import { parseJsonSafely } from '../../job/safe-json.ts';
import { bayData } from '../../report/bay-plan-data.ts';
import { bayRequest } from '../../report/bay-plan-facts.ts';
import { bayPage } from '../../report/bay-plan-page.ts';
import { bayFileSchema, type ParsedBayFile } from '../../report/bay-plan-schema.ts';
import { bayText } from '../../report/bay-plan-text.ts';
import type { Answer } from '../answers.ts';
import { checked } from '../args.ts';
import { asker } from '../ask.ts';
import { type BayOptions, bayFileOf, bayOptionsSchema } from '../bay-options.ts';
import { CliError } from '../errors.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';
import { writeWhole } from '../write-file.ts';

/** Plans the place before anything is printed: from a small file, from flags, or by asking. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const o = checked(bayOptionsSchema, options);
  const file = names[0] === undefined ? null : await readBay(names[0]);
  const answers = file === null && io.interactive && !o.json ? await askMissing(o) : o;
  if (file === null && answers.vehicle === undefined)
    throw new CliError('--vehicle is missing: how long is it? E.g. --vehicle "3.9 m" or "3.9 m x 1.6 m".');
  const request = bayRequest(parsed(bayFileOf(answers, file), names[0] ?? 'the flags'));
  const plan = bayPlan(request.facts, request.u);
  const written: string[] = [];
  if (o.html !== undefined) {
    await writeWhole(o.html, bayPage(plan, request), { replace: o.replace });
    written.push(o.html);
  }
  if (o.pdf !== undefined) {
    const { bayPdf } = await import('../../report/bay-plan-pdf.ts');
    await writeWhole(o.pdf, bayPdf(plan, request, o.paper), { replace: o.replace });
    written.push(o.pdf);
  }
  if (o.json) {
    const answer: Answer<'bay'> = bayData(plan, request);
    printJson(io, answer);
  } else {
    io.out(bayText(plan, request));
    for (const name of written) print(io, '', `${name}: written`);
  }
  return EXIT.ok;
}

async function readBay(name: string): Promise<Readonly<Record<string, unknown>>> {
  const text = await readFile(name, 'utf8');
  let value: unknown;
  try {
    value = parseJsonSafely(text);
  } catch (error) {
    if (error instanceof InputError)
      throw new CliError(`${name}: ${error.message.replace(/^job file: /, '')}`);
    throw error;
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new CliError(`${name}: expected an object such as { "dipcardBay": 1, "vehicle": { … } }.`);
  return value as Readonly<Record<string, unknown>>;
}

function parsed(value: unknown, name: string): ParsedBayFile {
  const result = bayFileSchema.safeParse(value);
  if (result.success) return result.data;
  const lines = result.error.issues.map((i) => `${name}: ${i.path.join('.') || 'the file'}: ${i.message}.`);
  throw new CliError(lines[0]!, undefined, lines.slice(1));
}

/** At most six questions, those that the flags leave open; an empty answer is "not known". */
async function askMissing(o: BayOptions): Promise<BayOptions> {
  const ask = asker();
  let asked = 0;
  const numbered = (question: string): string => `${++asked}. ${question}`;
  const maybe = (question: string): Promise<string | undefined> =>
    ask(numbered(question), (text) => ({ ok: text.trim() === '' ? undefined : text.trim() }));
  try {
    const answers: { -readonly [K in keyof BayOptions]: BayOptions[K] } = { ...o };
    answers.vehicle ??= await ask(
      numbered('How long is the vehicle, or length x width? E.g. "3.9 m x 1.6 m"'),
      (text) =>
        text.trim() === '' ? { retry: 'A length, such as "3.9 m" or "12 ft 9 in".' } : { ok: text.trim() },
    );
    answers.garage ??= await maybe('The garage inside, length x width? E.g. "5.5 m x 2.6 m"; empty: none');
    answers.drive ??= await maybe('Private drive in front of it, how long? E.g. "6 m"; empty: none');
    if (answers.drive !== undefined)
      answers.driveSlope ??= await maybe(
        'How does the drive slope, going away from the door? E.g. "6 % down", "2 % up"; empty: level',
      );
    answers.lit ??= await maybe('Lit part of a lamp, height x width? E.g. "170 mm"; empty: not known');
    answers.tools ??= await maybe(`What have you got? ${TOOLS.join(', ')}; empty: tape and spirit level`);
    return answers;
  } finally {
    ask.close();
  }
}
