import { mkdir } from 'node:fs/promises';
import path from 'node:path';
import { z } from 'zod';
import { InputError } from '../../core/errors.ts';
import { LENS_MARKINGS } from '../../core/rules/scheme.ts';
import {
  COUNTRIES,
  type Country,
  LAMP_SETS,
  type LampSet,
  type NewJobAnswers,
  newJob,
} from '../../job/new-job.ts';
import { lengthMm } from '../../job/quantity.ts';
import { saveJob } from '../../job/save-job.ts';
import { VEHICLE_KINDS } from '../../job/schema.ts';
import { cautionsFor } from '../../report/cautions.ts';
import { wrapColumns } from '../../report/terminal.ts';
import type { Answer } from '../answers.ts';
import { checked } from '../args.ts';
import { asker } from '../ask.ts';
import { CliError } from '../errors.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';
import { exists } from '../write-file.ts';

const COUNTRY_NAMES = Object.keys(COUNTRIES) as [Country, ...Country[]];
const SET_NAMES = Object.keys(LAMP_SETS) as [LampSet, ...LampSet[]];

const optionsSchema = z.object({
  title: z.string().min(1).max(80).optional(),
  kind: z.enum(VEHICLE_KINDS).optional(),
  country: z.enum(COUNTRY_NAMES).optional(),
  approval: z.boolean().default(false),
  lamps: z.enum(SET_NAMES).optional(),
  height: z.string().optional(),
  rightHeight: z.string().optional(),
  mark: z.array(z.string()).optional(),
  distance: z.string().optional(),
  lit: z.string().optional(),
  lens: z.enum(LENS_MARKINGS).optional(),
  replace: z.boolean().default(false),
  json: z.boolean().default(false),
});
type Options = z.output<typeof optionsSchema>;

/** Starts a job from flags; what is missing is asked for when a person sits there. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const o = checked(optionsSchema, options);
  const file = names[0]!;
  if (!o.replace && (await exists(file)))
    throw new CliError(
      `${file}: there is already a job of that name. Choose another, or add --replace (the old one is kept as .bak).`,
    );
  const answers = io.interactive && !o.json ? await askMissing(o) : o;
  const job = newJob(complete(answers));
  await mkdir(path.dirname(path.resolve(file)), { recursive: true });
  await saveJob(file, job);
  const photos = (job.shots ?? []).flatMap((s) => s.photos);
  const notes = [
    `npx dipcard sheets --numbers 1-3 (print three coded sheets at 100 %)`,
    `npx dipcard plan ${file} (shows where marks, sheets and lines go on the board)`,
    `Put one photo per lamp beside the job: ${photos.join(', ')}`,
    `npx dipcard read ${file} --out ${path.join(path.dirname(file), 'report')}`,
  ];
  if (o.json) {
    const answer: Answer<'written'> = { written: [file], notes };
    printJson(io, answer);
    return EXIT.ok;
  }
  const cautions = cautionsFor({
    words: job.words ?? 'gb',
    motorcycle: job.vehicle.kind === 'motorcycle',
    adjusting: false,
  });
  print(io, `${file}: written. Next:`);
  for (const n of notes) print(io, ...wrapColumns(n, 80, '  - ', '    '));
  print(io, '', ...cautions.flatMap((c) => wrapColumns(c, 80, '  ! ', '    ')));
  return EXIT.ok;
}

/** The six questions, those without a flag. */
async function askMissing(o: Options): Promise<Options> {
  const ask = asker();
  try {
    const answers = { ...o };
    if (o.kind === undefined || o.country === undefined) {
      const said = await ask('1. What is it, and whose rules count? E.g. "van gb"', (text) => {
        const words = text.toLowerCase().split(/[\s,]+/);
        const kind = VEHICLE_KINDS.find((k) => words.includes(k)) ?? o.kind;
        const country = COUNTRY_NAMES.find((c) => words.includes(c)) ?? o.country;
        return kind !== undefined && country !== undefined
          ? { ok: { kind, country } }
          : { retry: `One of ${VEHICLE_KINDS.join(', ')} and one of ${COUNTRY_NAMES.join(', ')}.` };
      });
      Object.assign(answers, said);
    }
    if (o.lamps === undefined)
      answers.lamps = await ask(`2. Which lamps? ${SET_NAMES.join(', ')}`, oneOf(SET_NAMES));
    if (o.height === undefined && o.mark === undefined)
      answers.height = await ask("3. How high are the lamps' centres over the floor? E.g. 65 cm", aLength);
    if (o.distance === undefined)
      answers.distance = await ask('4. How far is the board from the lamps? E.g. 5 m', aLength);
    if (o.lit === undefined)
      answers.lit = await ask(
        '5. How large is the lit part of a lamp? E.g. 170 mm, or 60 mm x 180 mm; empty: not measured',
        aSize,
      );
    if (o.lens === undefined)
      answers.lens = await ask(
        `6. What does the lens say? ${LENS_MARKINGS.join(', ')}`,
        oneOf(LENS_MARKINGS),
      );
    return answers;
  } finally {
    ask.close();
  }
}

/** A length that can be understood, kept as typed: better asked again now than refused after the last question. */
function aLength(text: string): { ok: string } | { retry: string } {
  try {
    lengthMm(text, 'this');
    return { ok: text.trim() };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { retry: `Not understood: expected ${error.expected}.` };
  }
}

function aSize(text: string): { ok: string } | { retry: string } {
  if (text.trim() === '') return { ok: '' };
  const wrong = text
    .split(/\s*[x×]\s*/i)
    .map(aLength)
    .find((part) => 'retry' in part);
  return wrong ?? { ok: text.trim() };
}

function oneOf<T extends string>(known: readonly T[]): (text: string) => { ok: T } | { retry: string } {
  return (text) => {
    const found = known.find((k) => k.toLowerCase() === text.trim().toLowerCase());
    return found === undefined ? { retry: `One of ${known.join(', ')}.` } : { ok: found };
  };
}

function complete(o: Options): NewJobAnswers {
  const need = <T>(value: T | undefined, flag: string, example: string): T => {
    if (value === undefined) throw new CliError(`--${flag} is missing, e.g. --${flag} ${example}.`);
    return value;
  };
  const { title } = o;
  return {
    vehicle: {
      kind: need(o.kind, 'kind', 'van'),
      country: need(o.country, 'country', 'gb'),
      approval: o.approval,
      ...(title === undefined ? {} : { title }),
    },
    lamps: need(o.lamps, 'lamps', 'dipped-pair'),
    place: placeOf(o, need),
    distance: need(o.distance, 'distance', '"5 m"'),
    litSize: litSize(o.lit),
    marking: o.lens ?? 'unknown',
  };
}

function placeOf(
  o: Options,
  need: <T>(value: T | undefined, flag: string, example: string) => T,
): NewJobAnswers['place'] {
  if (o.mark === undefined) {
    const height = need(o.height, 'height', '"65 cm"');
    const { rightHeight } = o;
    return { by: 'height', height, ...(rightHeight === undefined ? {} : { rightHeight }) };
  }
  const marks = o.mark.map((text) => {
    const m = /^([a-z0-9-]+)@([^,]+),([^,]+)$/.exec(text.trim());
    if (m === null)
      throw new CliError(`--mark: expected lamp@right,up such as left-dip@-560,20, got "${text}".`);
    return [m[1]!, { X: m[2]!.trim(), Y: m[3]!.trim() }] as const;
  });
  return { by: 'nose-to-board', marks: Object.fromEntries(marks) };
}

function litSize(text: string | undefined): NewJobAnswers['litSize'] {
  if (text === undefined || text.trim() === '') return null;
  const parts = text.split(/\s*[x×]\s*/i);
  if (parts.length === 1) return parts[0]!;
  return { height: parts[0]!, width: parts[1]! };
}
