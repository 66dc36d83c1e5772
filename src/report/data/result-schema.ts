import { z } from 'zod';

/**
 * The result as data, version 1, for other programs. Names end in their unit; drops are + down, offsets and `right`
 * + to the vehicle's right, `above` + up. Numbers are not rounded; `text` is what a person is shown.
 */
export const RESULT_VERSION = 1;

const number = z.number();
const nullableNumber = number.nullable();

const quantity = z.strictObject({
  value: number.describe('in the unit of the name'),
  u: number.describe('combined standard uncertainty, same unit'),
  U: number.describe('expanded uncertainty, 2 u: about 95 %'),
  text: z.string().describe('rounded, with the sign in words'),
  budget: z
    .array(
      z.strictObject({
        cause: z.string().describe('kind, or kind@instance; one error in the world has one id'),
        part: number.describe('signed change when this cause is off by one standard uncertainty'),
      }),
    )
    .describe('the biggest first'),
});

const verdict = z.strictObject({
  scheme: z.string(),
  row: z.string(),
  kind: z.enum(['within', 'over', 'too-close', 'no-verdict']),
  how: z
    .enum(['too-high', 'too-low', 'too-far-left', 'too-far-right'])
    .nullable()
    .describe('which way it is over, or would be'),
  probability_within: nullableNumber.describe('0 to 1; null where it was not reckoned'),
  figure_checked: z.boolean().nullable().describe('false: the limit is from memory'),
  text: z.string(),
  detail: z.string().nullable(),
});

const aimChange = z.strictObject({ drop_pct: number, offset_pct: number });
const screwTurn = z.strictObject({
  screw: z.string(),
  driven_from: z.enum(['front', 'rear']),
  direction: z.enum(['clockwise', 'anticlockwise', 'try']).describe('as seen from the screwdriver'),
  eighths: number.int(),
  exact_turns: number.describe('+ clockwise'),
  effect: aimChange,
});
const turns = z.strictObject({
  kind: z.enum(['turn', 'try', 'tilt', 'leave', 'refused']),
  steps: z.array(screwTurn).describe('in the order to do them'),
  expected: aimChange.extend({ U_drop_pct: number, U_offset_pct: number }).nullable(),
  notes: z.array(z.string()),
});

const photo = z
  .strictObject({
    width_px: number.int(),
    height_px: number.int(),
    format: z.string(),
    exposure_s: nullableNumber,
    f_number: nullableNumber,
    iso: nullableNumber,
    taken_at: z.string().nullable(),
  })
  .nullable();

const shotHead = {
  shot: z.string(),
  lamp: z.string(),
  lamp_title: z.string(),
  function: z.enum(['passing', 'driving', 'front-fog']).nullable(),
  side: z.enum(['left', 'right', 'centre']).nullable(),
  photo,
};

const readShot = z.strictObject({
  ...shotHead,
  state: z.literal('read'),
  distance_mm: number,
  beam: z.strictObject({
    found: z.enum(['cut-off', 'hot-spot', 'nothing']),
    kind: z.enum(['flat', 'rise', 'step']).nullable(),
    rise_side: z.enum(['left', 'right', 'none']).nullable(),
    drop_at_offset_pct: nullableNumber.describe('column where the drop holds'),
    glare_share: nullableNumber.describe('light above the edge over the peak'),
    sharpness_g: nullableNumber.describe('for information: not judged at home distances'),
    two_ways: z
      .strictObject({
        scan_drop_pct: number,
        joint_fit_drop_pct: number,
        apart: number.describe('their difference over its standard uncertainty'),
      })
      .nullable(),
    fillings: z
      .array(z.strictObject({ filling: z.string(), weight: number }))
      .describe('ways in which the lamp may be lit, and how likely the light makes each'),
  }),
  drop_pct: quantity.nullable().describe('the flat edge as seen on this board'),
  offset_pct: quantity.nullable().describe('the elbow as seen on this board'),
  hot_spot: z.strictObject({ drop_pct: quantity, offset_pct: quantity }).nullable(),
  tilt_deg: quantity.nullable().describe('+ right side up'),
  far_drop_pct: z
    .strictObject({ min: number, max: number, likely: quantity.nullable() })
    .nullable()
    .describe(
      'the drop an instrument with a lens may see lies between these, before U; likely: the best guess',
    ),
  place_mm: z
    .strictObject({ above_centre: number, right_of_centre: number, U: number })
    .nullable()
    .describe('what the tape shows: edge (or hot spot) from the centre mark, on the board'),
  verdicts: z.array(verdict),
  target: z
    .strictObject({
      above_centre_mm: number,
      half_width_mm: number,
      half_width_means: z
        .enum(['tolerance', 'doubt'])
        .describe(
          'tolerance: anywhere in it is proven inside the limits; doubt: how unsure the line itself is',
        ),
      right_of_centre_mm: nullableNumber,
      move_mm: number.describe('+ up'),
    })
    .nullable(),
  turns: turns.nullable(),
  marks: z.strictObject({
    points_found: number.int(),
    points_used: number.int(),
    rms_mm: number,
    check: z.enum(['checked', 'unchecked']),
  }),
  warnings: z.array(z.string()),
  signs: z.array(z.strictObject({ code: z.string(), text: z.string() })),
});

const unreadShot = z.strictObject({
  ...shotHead,
  state: z.literal('unread'),
  stage: z.enum(['photo', 'marks', 'beam']),
  why: z.string().describe('a stable code'),
  detail: z.string(),
  advice: z.string(),
  signs: z
    .array(z.strictObject({ code: z.string(), text: z.string() }))
    .describe('what the light shows all the same'),
});

export const resultSchema = z.strictObject({
  dipcard_result: z.literal(RESULT_VERSION),
  title: z.string(),
  rendered: z.boolean().describe('true: the photographs were drawn by a program'),
  no_certificate: z.string(),
  shots: z.array(z.discriminatedUnion('state', [readShot, unreadShot])),
  pairs: z.array(
    z.strictObject({
      left: z.string(),
      right: z.string(),
      drop_difference_pct: quantity.nullable().describe('left minus right'),
      offset_difference_pct: quantity.nullable().describe('left minus right'),
      remarks: z.array(z.string()),
    }),
  ),
  distances: z.array(
    z.strictObject({
      lamp: z.string(),
      shots: z.array(z.string()),
      distances_mm: z.array(number),
      far_drop_pct: quantity.describe('one far edge behind all boards'),
      fillings: z.array(z.strictObject({ filling: z.string(), weight: number })),
      agree: z.boolean(),
      verdicts: z.array(verdict),
      remarks: z.array(z.string()),
    }),
  ),
  warnings: z.array(z.string()),
  oddities: z.array(z.string()),
});

export type ResultData = z.output<typeof resultSchema>;
export type ShotData = ResultData['shots'][number];
export type QuantityData = z.output<typeof quantity>;

/** The published JSON Schema of the result. */
export function resultJsonSchema(): object {
  return { ...z.toJSONSchema(resultSchema), title: 'Dipcard result', $id: 'dipcard-result-1' };
}
