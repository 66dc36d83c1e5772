import { z } from 'zod';
import { TOOLS, type Tool } from '../core/bay-plan/facts.ts';
import { LENS_MARKINGS } from '../core/rules/scheme.ts';
import { COUNTRIES, type Country, LAMP_SETS, type LampSet } from '../job/new-job.ts';
import { VEHICLE_KINDS } from '../job/schema.ts';
import type { BayFile } from '../report/bay-plan-schema.ts';
import { BAY_VERSION, LAMP_KINDS } from '../report/bay-plan-schema.ts';
import { CliError } from './errors.ts';

/** The bay's flags, and how they change a file's answers. */

const FLATNESS = z.union([z.enum(['flat', 'ordinary', 'unknown']), z.string()]);

export const bayOptionsSchema = z.object({
  title: z.string().min(1).max(80).optional(),
  garage: z.string().optional(),
  door: z.string().optional(),
  floorSlope: z.string().optional(),
  floor: FLATNESS.optional(),
  drive: z.string().optional(),
  driveSlope: z.string().optional(),
  driveFloor: FLATNESS.optional(),
  elsewhere: z.boolean().optional(),
  vehicle: z.string().optional(),
  kind: z.enum(VEHICLE_KINDS).optional(),
  wheelbase: z.string().optional(),
  nose: z.string().optional(),
  lamps: z.enum(Object.keys(LAMP_SETS) as [LampSet, ...LampSet[]]).optional(),
  height: z.string().optional(),
  spacing: z.string().optional(),
  lampKind: z.enum(LAMP_KINDS).optional(),
  lit: z.string().optional(),
  filling: z.string().optional(),
  lens: z.enum(LENS_MARKINGS).optional(),
  beam: z.enum(['rise', 'flat', 'step', 'no-cut-off']).optional(),
  tools: z.string().optional(),
  engine: z.boolean().default(false),
  country: z.enum(Object.keys(COUNTRIES) as [Country, ...Country[]]).optional(),
  approval: z.boolean().default(false),
  scheme: z.array(z.string()).optional(),
  units: z.enum(['mm', 'cm', 'in']).optional(),
  words: z.enum(['gb', 'us']).optional(),
  html: z.string().min(1).optional(),
  pdf: z.string().min(1).optional(),
  paper: z.enum(['a4', 'letter']).default('a4'),
  replace: z.boolean().default(false),
  json: z.boolean().default(false),
});
export type BayOptions = z.output<typeof bayOptionsSchema>;

/** A file's answers with the flags laid over them; without a file, the flags alone. */
export function bayFileOf(o: BayOptions, file: Readonly<Record<string, unknown>> | null): unknown {
  const from = (file ?? {}) as Partial<BayFile>;
  const garage = o.garage === undefined ? undefined : sides(o.garage, 'garage', '"5.5 m x 2.6 m"');
  const door = o.door === undefined ? undefined : sides(o.door, 'door', '"2.1 m x 2 m"');
  const vehicle = o.vehicle === undefined ? undefined : sides(o.vehicle, 'vehicle', '"3.9 m x 1.6 m"');
  const lit = o.lit === undefined ? undefined : sides(o.lit, 'lit', '"170 mm" or "60 mm x 180 mm"');
  return {
    dipcardBay: BAY_VERSION,
    ...from,
    ...given({
      title: o.title,
      // The program says true unless --no-elsewhere was typed.
      elsewhere: o.elsewhere === false ? false : undefined,
      country: o.country,
      schemes: o.scheme,
      units: o.units,
      words: o.words,
      tools: o.tools === undefined ? undefined : toolsOf(o.tools),
    }),
    ...(o.engine ? { engineNeeded: true } : {}),
    ...(o.approval ? { approval: true } : {}),
    garage: laid(from.garage, {
      length: garage?.[0],
      width: garage?.[1],
      doorWidth: door?.[0],
      doorHeight: door?.[1],
      slope: o.floorSlope,
      flatness: flatness(o.floor),
    }),
    drive: laid(from.drive, {
      length: o.drive,
      slope: o.driveSlope,
      flatness: flatness(o.driveFloor),
    }),
    vehicle: laid(from.vehicle, {
      kind: o.kind,
      length: vehicle?.[0],
      width: vehicle?.[1],
      wheelbase: o.wheelbase,
      nose: o.nose,
    }),
    lamps:
      laid(from.lamps, {
        set: o.lamps,
        height: o.height,
        spacing: o.spacing,
        kind: o.lampKind,
        litHeight: lit?.[0],
        litWidth: lit === undefined ? undefined : (lit[1] ?? lit[0]),
        filling: o.filling,
        marking: o.lens,
        beam: o.beam,
      }) ?? {},
  };
}

/** Whether a floor was said in words or as mm per m. */
function flatness(text: string | undefined): string | number | undefined {
  if (text === undefined || /^[a-z]/i.test(text)) return text;
  const value = Number(text.replace(',', '.').replace(/ ?mm(?: ?(?:per|\/) ?m)?$/i, ''));
  return Number.isFinite(value) ? value : text;
}

/** What was given, over what the file says; null when neither says anything. */
function laid(
  from: object | null | undefined,
  over: Readonly<Record<string, unknown>>,
): Record<string, unknown> | null {
  const both = { ...(from ?? {}), ...given(over) };
  return Object.keys(both).length === 0 ? null : both;
}

function given(of: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(of).filter(([, value]) => value !== undefined));
}

/** "5.5 m x 2.6 m": one length, or two with an x between. */
function sides(text: string, flag: string, example: string): readonly [string, string?] {
  const parts = text.split(/\s*[x×]\s*/i).map((p) => p.trim());
  if (parts.length > 2 || parts.some((p) => p === ''))
    throw new CliError(`--${flag}: expected a length, or two such as ${example}, got "${text}".`);
  return parts.length === 1 ? [parts[0]!] : [parts[0]!, parts[1]!];
}

function toolsOf(text: string): readonly Tool[] {
  return text
    .split(/[,;]/)
    .map((t) => t.trim().toLowerCase().replace(/\s+/g, '-'))
    .filter((t) => t !== '')
    .map((t) => {
      const tool = TOOLS.find((known) => known === t);
      if (tool === undefined)
        throw new CliError(`--tools: there is none called "${t}". There are: ${TOOLS.join(', ')}.`);
      return tool;
    });
}
