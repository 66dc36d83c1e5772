import { z } from 'zod';
import { TOOLS } from '../core/bay-plan/facts.ts';
import { LENS_MARKINGS } from '../core/rules/scheme.ts';
import { COUNTRIES, type Country, LAMP_SETS, type LampSet } from '../job/new-job.ts';
import { lampSchema, VEHICLE_KINDS } from '../job/schema.ts';

/** What a person can say of the place and the vehicle, as a small file or as flags. Lengths as in a job file. */

export const BAY_VERSION = 1;

const length = z.union([z.number().finite(), z.string().min(1).max(40)], {
  error: 'expected a length such as 5500 (mm), "5.5 m" or "18 ft"',
});
const slope = z.union([z.number().finite(), z.string().min(1).max(40)], {
  error: 'expected a slope such as 5 (per cent), "5 % down" or "3 deg up"',
});
/** Floor out of one plane: mm per m (k = 1), or in words. */
const flatness = z.union([z.number().nonnegative().max(50), z.enum(['flat', 'ordinary', 'unknown'])], {
  error: 'expected flat, ordinary, unknown or a number of mm per m',
});

export const LAMP_KINDS = ['round', 'lens', 'strip', 'unknown'] as const;
const COUNTRY_NAMES = Object.keys(COUNTRIES) as [Country, ...Country[]];
const SET_NAMES = Object.keys(LAMP_SETS) as [LampSet, ...LampSet[]];

export const bayFileSchema = z.strictObject({
  dipcardBay: z.literal(BAY_VERSION),
  title: z.string().min(1).max(80).default('My bay'),
  garage: z
    .strictObject({
      /** End wall to the inside of the door. */
      length,
      width: length.optional(),
      doorWidth: length.optional(),
      doorHeight: length.optional(),
      /** + falls towards the door. */
      slope: slope.optional(),
      flatness: flatness.default('unknown'),
    })
    .nullable()
    .default(null),
  drive: z
    .strictObject({
      /** Private ground in front of the door or house wall. */
      length,
      /** + falls away from the door. */
      slope: slope.optional(),
      flatness: flatness.default('unknown'),
    })
    .nullable()
    .default(null),
  /** A yard or car park can be reached. */
  elsewhere: z.boolean().default(true),
  elsewhereFlatness: flatness.default('unknown'),
  vehicle: z.strictObject({
    kind: z.enum(VEHICLE_KINDS).default('car'),
    length,
    width: length.optional(),
    wheelbase: length.optional(),
    /** Foremost point ahead of the front axle. */
    nose: length.optional(),
    /** Lamp centres behind the foremost point. */
    lampBehindNose: length.optional(),
  }),
  lamps: z
    .strictObject({
      set: z.enum(SET_NAMES).default('dipped-pair'),
      /** Centres over the floor. */
      height: length.optional(),
      lowerEdge: length.optional(),
      /** Centre to centre. */
      spacing: length.optional(),
      kind: z.enum(LAMP_KINDS).default('unknown'),
      litHeight: length.optional(),
      litWidth: length.optional(),
      /** How the light fills the lit part, where it is known. */
      filling: lampSchema.shape.filling,
      marking: z.enum(LENS_MARKINGS).default('unknown'),
      /** Left out: as the country and the lens marking make likely. */
      beam: z.enum(['rise', 'flat', 'step', 'no-cut-off']).optional(),
    })
    .prefault({}),
  tools: z.array(z.enum(TOOLS)).default(['tape', 'spirit-level']),
  /** The lamps burn only with the engine running. */
  engineNeeded: z.boolean().default(false),
  /** Whose rules count; left out with `schemes`: none. */
  country: z.enum(COUNTRY_NAMES).optional(),
  approval: z.boolean().default(false),
  /** Scheme ids; left out: those usual in the country. */
  schemes: z.array(z.string().min(1).max(60)).max(12).optional(),
  units: z.enum(['mm', 'cm', 'in']).optional(),
  words: z.enum(['gb', 'us']).optional(),
});

export type BayFile = z.input<typeof bayFileSchema>;
export type ParsedBayFile = z.output<typeof bayFileSchema>;

/** JSON Schema of the bay file. */
export function bayFileJsonSchema(): object {
  return { ...z.toJSONSchema(bayFileSchema, { io: 'input' }), title: 'Dipcard bay file' };
}
