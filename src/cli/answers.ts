import { z } from 'zod';
import { bayPlanDataSchema } from '../report/bay-plan-data.ts';

/**
 * What the commands answer with `--json`, apart from a job's result (report/data/result-schema.ts). Every answer is
 * checked against these in the tests, and they are published by `dipcard schema`.
 */
export const ANSWERS = {
  error: z.strictObject({
    error: z.strictObject({ message: z.string(), more: z.array(z.string()), exit: z.number().int() }),
  }),
  written: z
    .strictObject({ written: z.array(z.string()), notes: z.array(z.string()) })
    .describe('files that a command made: new, sheets, plan, practice'),
  bay: bayPlanDataSchema,
  check: z.strictObject({
    job: z.string(),
    ok: z.boolean(),
    title: z.string(),
    lamps: z.number().int(),
    shots: z.number().int(),
    oddities: z.array(z.string()),
    missing_photos: z.array(z.string()),
  }),
  called: z.strictObject({
    axis: z.enum(['drop', 'offset']),
    now_pct: z.number().describe('the aim that the figure stands for: drop + down, offset + right'),
    target_pct: z.number(),
    change_pct: z.number().describe('what mends it: drop + lower, offset + further right'),
    on_board_mm: z.number().nullable().describe('how far the edge has to move on the board: + up, + right'),
    distance_mm: z.number().nullable(),
    steps: z.array(z.string()),
    notes: z.array(z.string()),
    text: z.string(),
  }),
  turned: z.strictObject({
    learnt: z.array(z.string()).describe('what one turn of each screw does'),
    kind: z.enum(['turn', 'try', 'tilt', 'leave', 'refused']),
    steps: z.array(z.string()),
    expect: z.string().nullable(),
    notes: z.array(z.string()),
  }),
  schemes: z.strictObject({
    schemes: z.array(
      z.strictObject({
        id: z.string(),
        title: z.string(),
        region: z.string(),
        note: z.string().nullable(),
        rows: z.array(
          z.strictObject({
            id: z.string(),
            lamp: z.string(),
            feature: z.string(),
            place: z.string(),
            min_drop_pct: z.number().nullable(),
            max_drop_pct: z.number().nullable(),
            aim_drop_pct: z.number().nullable(),
            min_offset_pct: z.number().nullable(),
            max_offset_pct: z.number().nullable(),
            heights_mm: z.strictObject({ over: z.number().nullable(), up_to: z.number().nullable() }),
            source: z.string(),
            edition: z.string(),
            seen: z.string(),
            where: z.string().nullable(),
            note: z.string().nullable(),
          }),
        ),
      }),
    ),
  }),
  batch: z
    .strictObject({
      job: z.string(),
      title: z.string().nullable(),
      state: z.enum(['read', 'unchanged', 'failed']),
      exit: z.number().int(),
      out: z.string().nullable(),
      lamps: z.array(z.strictObject({ shot: z.string(), text: z.string(), verdicts: z.array(z.string()) })),
      error: z.string().nullable(),
    })
    .describe('one line per job'),
} as const;

export type AnswerName = keyof typeof ANSWERS;
export type Answer<N extends AnswerName> = z.output<(typeof ANSWERS)[N]>;

/** JSON Schemas of the answers, by name. */
export function answerSchemas(): Record<AnswerName, object> {
  return Object.fromEntries(
    Object.entries(ANSWERS).map(([name, schema]) => [
      name,
      { ...z.toJSONSchema(schema), title: `Dipcard ${name}` },
    ]),
  ) as Record<AnswerName, object>;
}
