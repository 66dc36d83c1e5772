import { z } from 'zod';
import { LAMP_FILLINGS } from '../core/beam/joint/lamp-filling.ts';
import { LENS_MARKINGS } from '../core/rules/scheme.ts';

/**
 * The job file, version 1: one vehicle, its bay, board, lamps and shots. Lengths in mm (numbers) or text with a
 * unit ("65 cm", "25 ft", "2 ft 3 1/2 in"), which the door turns into mm. Every typed number carries a standard
 * uncertainty `u` (k = 1; a bare number is mm there too); left out, an honest default for how it was got is filled in
 * (defaults.ts).
 */

export const JOB_VERSION = 1;

export const VEHICLE_KINDS = ['car', 'motorcycle', 'three-wheeler', 'van', 'truck', 'other'] as const;

const finite = z.number().finite();
/** A measured length: a bare number of mm, text with a unit, or both value and standard uncertainty. */
const lengthIn = z.union([finite, z.string().min(1).max(40)], {
  error: 'a length such as 650 (mm), "65 cm" or "2 ft 3 1/2 in"',
});
export const measuredLength = z.union(
  [finite, z.string().min(1).max(40), z.strictObject({ value: lengthIn, u: lengthIn.optional() })],
  { error: 'a length such as 650 (mm), "65 cm", "2 ft 3 1/2 in" or { "value": 650, "u": 3 }' },
);
/** An aim figure: bare per cent, or text: "1.2 %", "0.7 deg", "41'", "12 cm at 10 m", "4 in at 25 ft". */
export const aimFigure = z.union([finite, z.string().min(1).max(40)], {
  error: 'an aim figure such as 1.3 (per cent), "0.57 deg", "12 cm at 10 m" or "4 in at 25 ft"',
});
export const measuredAngleDeg = z.union(
  [finite, z.strictObject({ value: finite, u: finite.nonnegative().optional() })],
  { error: 'an angle in degrees such as 0.5 or { "value": 0.5, "u": 0.1 }' },
);

const name = z.string().min(1).max(80);
const id = z.string().regex(/^[a-z0-9][a-z0-9-]{0,39}$/, 'lower-case letters, digits and dashes, at most 40');
const relativePath = z
  .string()
  .min(1)
  .max(400)
  .refine(
    (p) => !/^([a-zA-Z]:|[\\/])/.test(p) && !p.split(/[\\/]/).includes('..'),
    'a path inside the job folder, without ..',
  );

export const supportSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('fixed'), right: lengthIn, up: lengthIn }),
  z.strictObject({ kind: z.literal('spring'), right: lengthIn, up: lengthIn }),
  z.strictObject({
    kind: z.literal('screw'),
    name,
    right: lengthIn,
    up: lengthIn,
    pitch: lengthIn.nullable().default(null),
    drivenFrom: z.enum(['front', 'rear']).default('front'),
    clockwise: z.enum(['forward', 'back', 'unknown']).default('unknown'),
  }),
]);

export const mechanicsSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('supports'), supports: z.array(supportSchema).min(1).max(8) }),
  z.strictObject({
    kind: z.literal('screws'),
    screws: z
      .array(
        z.strictObject({
          name,
          drivenFrom: z.enum(['front', 'rear']).default('front'),
          moves: z.enum(['vertical', 'horizontal', 'both', 'unknown']).default('unknown'),
        }),
      )
      .max(4),
  }),
  z.strictObject({ kind: z.literal('slacken-and-tilt') }),
]);

/** One lamp. Heights from the ground, `right` from the median plane, `forward` from the vehicle's origin plane. */
export const lampSchema = z.strictObject({
  id,
  title: name.optional(),
  function: z.enum(['passing', 'driving', 'front-fog']),
  side: z.enum(['left', 'right', 'centre']),
  /** Reference centre. `up` may be left out with the method nose-to-board. */
  centre: z
    .strictObject({
      right: measuredLength.optional(),
      forward: measuredLength.optional(),
      up: measuredLength.optional(),
    })
    .default({}),
  lowerEdge: measuredLength.optional(),
  litHeight: measuredLength.optional(),
  litWidth: measuredLength.optional(),
  filling: z.enum([...LAMP_FILLINGS, 'unknown']).default('unknown'),
  /** What the lens says: approval arrow, VOL/VOR, or nothing readable. */
  marking: z.enum(LENS_MARKINGS).default('unknown'),
  /** Handbook figure: aim drop, where it is counted. */
  handbook: z
    .strictObject({
      drop: aimFigure,
      tolerance: aimFigure.optional(),
      offset: aimFigure.optional(),
      /** Left out: holds far away. Given: holds on a board at this distance. */
      onBoardAt: lengthIn.optional(),
      source: z.string().max(200).optional(),
    })
    .optional(),
  mechanics: mechanicsSchema.optional(),
});

/** How the vehicle's axis and level were carried to the board (design: methods of axis and level). */
export const methodSchema = z.discriminatedUnion('kind', [
  /** A: nose to the board, mark each lamp's centre on it, roll straight back on one flat plane. */
  z.strictObject({
    kind: z.literal('nose-to-board'),
    /** Per lamp id: where the lamp's centre was marked on the board. */
    lampMarks: z.record(id, z.strictObject({ X: measuredLength, Y: measuredLength })),
    /** How far the vehicle may have steered off while rolling back, as a standard uncertainty in mm at the board. */
    rollBackU: lengthIn.optional(),
    /** Floor: how flat the plane of wheels and board foot is, standard uncertainty in mm per m. */
    flatnessMmPerM: finite.nonnegative().optional(),
  }),
  /** B: heights from a level datum (water level or laser line): positive = above the datum line. */
  z.strictObject({
    kind: z.literal('level-datum'),
    tool: z.enum(['water-level', 'laser', 'spirit-level']).default('water-level'),
    wheelbase: measuredLength,
    /** Ground at the tyre contacts, counted from the datum (negative below). */
    frontContact: measuredLength,
    rearContact: measuredLength,
    /** Cross-fall of the ground under the wheels, deg, + right side higher. */
    leftRightTilt: measuredAngleDeg.optional(),
    /** Per lamp id: the lamp's centre counted from the datum; without it `centre.up` over the ground is used. */
    lampCentres: z.record(id, measuredLength).optional(),
    /** Board origin (0, 0), counted from the datum. */
    boardOrigin: measuredLength,
    axis: z.enum(['sighting', 'strings', 'two-tapes', 'nose-marks', 'none']).default('none'),
    /** Board X of the vehicle's median plane. */
    axisX: measuredLength.optional(),
  }),
  /** Plain: floor taken as one plane but for a known step at the board's foot. */
  z.strictObject({
    kind: z.literal('floor'),
    /** Board origin's height above the board's foot. */
    originAboveFoot: measuredLength,
    /** Board's foot above the plane of the tyres (negative below), at the board. */
    footAboveTyrePlane: measuredLength.optional(),
    axis: z.enum(['sighting', 'strings', 'two-tapes', 'nose-marks', 'none']).default('none'),
    axisX: measuredLength.optional(),
  }),
]);

export const baySchema = z.strictObject({
  /** From the lamps' reference centres to the board, along the vehicle's axis. */
  distance: measuredLength,
  /** Left out: `distance` holds for every lamp. */
  distances: z.record(id, measuredLength).optional(),
  method: methodSchema,
  /** + top away from the vehicle. */
  boardOutOfPlumbDeg: measuredAngleDeg.optional(),
  /** + right edge further away. */
  boardYawDeg: measuredAngleDeg.optional(),
  /** Board X line, + right end up: against the level for level-datum, against the floor otherwise. */
  boardRollDeg: measuredAngleDeg.optional(),
  /** Pitch left open by load and springs, per cent (k = 1); left out, by kind of vehicle. */
  loadPitchU: finite.min(0).max(5).optional(),
  ambientLux: finite.nonnegative().optional(),
});

/** Coded sheets stand at known places (`at`), or survey themselves from a marks shot and the anchors given. */
export const boardSchema = z.strictObject({
  /** Coded sheets by number. `at` = board place of the sheet's centre cross; `turnDeg` + anticlockwise. */
  sheets: z
    .array(
      z.strictObject({
        number: z.number().int().min(0).max(999),
        at: z.strictObject({ X: measuredLength, Y: measuredLength }).optional(),
        turnDeg: measuredAngleDeg.optional(),
        /** Printed size check: what the 100 mm ruler on the sheet measures. */
        rulerMeasures: lengthIn.optional(),
      }),
    )
    .default([]),
  /** Drawn or taped crosses. */
  crosses: z
    .array(z.strictObject({ name, at: z.strictObject({ X: measuredLength, Y: measuredLength }) }))
    .default([]),
  /** Sheets or crosses that lie on one level line. */
  levelLine: z.array(z.string().max(40)).optional(),
  /** One long taped distance between two named things, to fix the scale. */
  checkDistance: z
    .strictObject({ from: z.string().max(40), to: z.string().max(40), length: measuredLength })
    .optional(),
  surface: z.enum(['matt', 'satin', 'gloss', 'unknown']).default('unknown'),
  /** Where the board ends, in board coordinates. Left out: all that the photo shows counts as board. */
  extent: z.strictObject({ left: lengthIn, right: lengthIn, bottom: lengthIn, top: lengthIn }).optional(),
});

export const shotSchema = z.strictObject({
  id,
  lamp: id,
  /** One photo, or a bracket of several of the same scene. */
  photos: z.array(relativePath).min(1).max(12),
  lampsOff: relativePath.optional(),
  marksShot: relativePath.optional(),
  /** Where crosses were tapped in the first photo, px after orientation. */
  taps: z.array(z.strictObject({ cross: name, x: finite, y: finite })).optional(),
  distance: measuredLength.optional(),
  takenAt: z.string().max(40).optional(),
  note: z.string().max(400).optional(),
});

export const jobSchema = z.strictObject({
  dipcard: z.literal(JOB_VERSION),
  title: name,
  /** True for rendered demo material: shown wherever it appears. */
  rendered: z.boolean().default(false),
  vehicle: z.strictObject({
    kind: z.enum(VEHICLE_KINDS).default('car'),
    firstUsed: z.string().max(20).optional(),
    trafficSide: z.enum(['left', 'right']),
    load: z.string().max(120).default('driver or 75 kg in the seat'),
    wheelbase: measuredLength.optional(),
    width: measuredLength.optional(),
    lamps: z.array(lampSchema).min(1).max(16),
  }),
  bay: baySchema,
  board: boardSchema,
  shots: z.array(shotSchema).max(400).default([]),
  /** Scheme ids; the person's own table goes in `ownRows`. */
  schemes: z.array(z.string().min(1).max(60)).max(12).default([]),
  ownRows: z
    .array(
      z.strictObject({
        id: name,
        lamp: z.enum(['passing', 'driving', 'front-fog']),
        feature: z.enum([
          'flat-part',
          'flat-part-2.0R',
          'whole-top-edge',
          'elbow',
          'hot-spot-centre',
          'bright-zone-top-left',
        ]),
        minDrop: aimFigure.optional(),
        maxDrop: aimFigure.optional(),
        aimDrop: aimFigure.optional(),
        minOffset: aimFigure.optional(),
        maxOffset: aimFigure.optional(),
        onBoardAt: lengthIn.optional(),
        source: z.string().min(1).max(200),
      }),
    )
    .max(40)
    .default([]),
  units: z.enum(['mm', 'cm', 'in']).default('mm'),
  words: z.enum(['gb', 'us']).default('gb'),
});

/** The file as written, before defaults and units. */
export type JobFile = z.input<typeof jobSchema>;
/** The file after zod's defaults; lengths still as typed. */
export type ParsedJobFile = z.output<typeof jobSchema>;
