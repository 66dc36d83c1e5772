import { InputError } from '../core/errors.ts';
import type { Side } from '../core/frames.ts';
import { jobFromFile } from './load-job.ts';
import { type LengthUnit, lengthMm } from './quantity.ts';
import { JOB_VERSION, type JobFile } from './schema.ts';

type FileLamp = JobFile['vehicle']['lamps'][number];
type Length = number | string;

/** Whose rules count, which also tells the traffic side, the words and the tape in the person's hand. */
export const COUNTRIES = {
  gb: { trafficSide: 'left', words: 'gb', units: 'mm' },
  ie: { trafficSide: 'left', words: 'gb', units: 'mm' },
  eu: { trafficSide: 'right', words: 'gb', units: 'mm' },
  us: { trafficSide: 'right', words: 'us', units: 'in' },
  jp: { trafficSide: 'left', words: 'gb', units: 'mm' },
  'other-left': { trafficSide: 'left', words: 'gb', units: 'mm' },
  'other-right': { trafficSide: 'right', words: 'gb', units: 'mm' },
} as const satisfies Record<
  string,
  Pick<JobFile['vehicle'], 'trafficSide'> & Pick<JobFile, 'words' | 'units'>
>;

export type Country = keyof typeof COUNTRIES;

/** Sets of lamps that one answer can name; anything else is added to the file by hand. */
export const LAMP_SETS = {
  'dipped-pair': [['passing', 'pair']],
  'dipped-and-main-pairs': [
    ['passing', 'pair'],
    ['driving', 'pair'],
  ],
  'dipped-single': [['passing', 'single']],
  'dipped-and-main-single': [
    ['passing', 'single'],
    ['driving', 'single'],
  ],
} as const satisfies Record<string, readonly (readonly [FileLamp['function'], 'pair' | 'single'])[]>;

export type LampSet = keyof typeof LAMP_SETS;

/** At most six answers; each may be text with a unit. */
export interface NewJobAnswers {
  /** 1. The vehicle and whose rules it must meet. `approval`: it is on its way to an individual approval. */
  readonly vehicle: {
    readonly kind: NonNullable<JobFile['vehicle']['kind']>;
    readonly country: Country;
    readonly title?: string;
    readonly approval?: boolean;
  };
  /** 2. */
  readonly lamps: LampSet;
  /** 3. Lamp centres over the floor, or where they were marked on the board with the nose against it. */
  readonly place:
    | {
        readonly by: 'height';
        readonly height: Length;
        readonly rightHeight?: Length;
        /** Height of the sheets' level line over the floor, without a board plan; left out: as `sheetLineMm` says. */
        readonly sheetLine?: Length;
      }
    | {
        readonly by: 'nose-to-board';
        readonly marks: Readonly<Record<string, { readonly X: Length; readonly Y: Length }>>;
      };
  /** 4. Lamp to board. */
  readonly distance: Length;
  /** 5. Lit part of the lens: one figure for a round one; null when not measured. */
  readonly litSize: Length | { readonly height: Length; readonly width: Length } | null;
  /** 6. What the lens says. */
  readonly marking: NonNullable<FileLamp['marking']>;
  /** Sheets as a board plan places them; left out: three sheets that survey themselves. */
  readonly sheets?: readonly { readonly number: number; readonly X: number; readonly Y: number }[];
  /** Unit of bare numbers, for someone with an inch tape. */
  readonly bareUnit?: LengthUnit;
}

/**
 * A job with sound defaults from a few answers, checked as if it had been loaded.
 *
 * Heights taped from the floor: with a plan's sheets the board's origin is on the floor at its foot, else the centre
 * cross of sheet 2, hung before the middle of the vehicle at `sheetLineMm`; X = 0 is that middle. The axis counts as not measured until the
 * person says how it was. Photos are one per lamp, `photos/<lamp>.jpg`.
 *
 * @throws InputError naming the answer or field.
 */
export function newJob(answers: NewJobAnswers): JobFile {
  const { vehicle } = answers;
  const country = COUNTRIES[vehicle.country];
  const length = (typed: Length, field: string): Length =>
    typedLength(typed, field, answers.bareUnit ?? 'mm');
  const lamps = LAMP_SETS[answers.lamps].flatMap(([lampFunction, count]) =>
    (count === 'pair' ? (['left', 'right'] as const) : (['centre'] as const)).map((side) =>
      lampFor(answers, lampFunction, side, length),
    ),
  );
  const file: JobFile = {
    dipcard: JOB_VERSION,
    title: vehicle.title ?? 'My vehicle',
    vehicle: { kind: vehicle.kind, trafficSide: country.trafficSide, lamps },
    bay: { distance: length(answers.distance, 'distance'), method: methodFor(answers, lamps, length) },
    board: {
      sheets: answers.sheets
        ? answers.sheets.map(({ number, X, Y }) => ({ number, at: { X, Y } }))
        : [{ number: 1 }, { number: 2 }, { number: 3 }],
      ...(answers.sheets ? {} : { levelLine: ['sheet 2', 'sheet 1', 'sheet 3'] }),
    },
    shots: lamps.map((lamp) => ({ id: lamp.id, lamp: lamp.id, photos: [`photos/${lamp.id}.jpg`] })),
    schemes: [...schemesFor(answers)],
    units: country.units,
    words: country.words,
  };
  jobFromFile(file);
  return file;
}

/**
 * Height over the floor for the sheets' level line, mm: 4 % of the distance below the lamp, so that the sheets stand in
 * the light and clear of the edge, but not below 130 mm, where half a sheet and a hand's room end.
 * @throws InputError
 */
export function sheetLineMm(height: Length, distance: Length, bareUnit: LengthUnit = 'mm'): number {
  const below = lengthMm(height, 'height', bareUnit) - 0.04 * lengthMm(distance, 'distance', bareUnit) - 110;
  return Math.max(130, Math.floor(below / 10) * 10);
}

const SHORT = { passing: 'dip', driving: 'main', 'front-fog': 'fog' } as const;

function lampFor(
  answers: NewJobAnswers,
  lampFunction: FileLamp['function'],
  side: Side,
  length: (typed: Length, field: string) => Length,
): FileLamp {
  const { place, litSize } = answers;
  const id = side === 'centre' ? SHORT[lampFunction] : `${side}-${SHORT[lampFunction]}`;
  const size =
    litSize === null ? null : typeof litSize === 'object' ? litSize : { height: litSize, width: litSize };
  const up =
    place.by === 'height' ? (side === 'right' ? (place.rightHeight ?? place.height) : place.height) : null;
  return {
    id,
    function: lampFunction,
    side,
    centre: {
      ...(side === 'centre' ? { right: 0 } : {}),
      ...(up === null ? {} : { up: length(up, 'height') }),
    },
    ...(size === null
      ? {}
      : { litHeight: length(size.height, 'litSize'), litWidth: length(size.width, 'litSize') }),
    marking: answers.marking,
    // Unknown screws are learnt by one trial turn each.
    mechanics: {
      kind: 'screws',
      screws: [
        { name: 'up-down screw', moves: 'vertical' },
        { name: 'sideways screw', moves: 'horizontal' },
      ],
    },
  };
}

function methodFor(
  { place, sheets, distance, bareUnit }: NewJobAnswers,
  lamps: readonly FileLamp[],
  length: (typed: Length, field: string) => Length,
): JobFile['bay']['method'] {
  if (place.by === 'height') {
    // A plan counts its places from the floor; sheets that survey themselves count from the first one's cross.
    const originAboveFoot =
      sheets !== undefined
        ? 0
        : place.sheetLine === undefined
          ? sheetLineMm(place.height, distance, bareUnit)
          : length(place.sheetLine, 'sheetLine');
    return { kind: 'floor', originAboveFoot, axis: 'none' };
  }
  const lampMarks = Object.fromEntries(
    lamps.map((lamp) => {
      const mark = Object.hasOwn(place.marks, lamp.id) ? place.marks[lamp.id] : undefined;
      if (mark === undefined) {
        throw new InputError(
          `marks.${lamp.id}`,
          "where this lamp's centre was marked on the board",
          undefined,
        );
      }
      return [lamp.id, { X: length(mark.X, `marks.${lamp.id}.X`), Y: length(mark.Y, `marks.${lamp.id}.Y`) }];
    }),
  );
  return { kind: 'nose-to-board', lampMarks };
}

/** The schemes that usually count there; every one can be changed in the file. */
function schemesFor({ vehicle, marking }: NewJobAnswers): readonly string[] {
  const twoWheels = vehicle.kind === 'motorcycle';
  const approval = vehicle.approval === true && vehicle.country === 'gb' ? ['gb-individual-approval'] : [];
  switch (vehicle.country) {
    case 'gb':
      return [...approval, twoWheels ? 'gb-inspection-motorcycle' : 'gb-inspection-car'];
    case 'us':
      return marking === 'VOL' || marking === 'VOR' || marking === 'VO'
        ? ['us-visual-aim']
        : ['us-older-by-height'];
    case 'jp':
      return ['japan'];
    default:
      return [twoWheels ? 'un-r53' : 'un-r48'];
  }
}

/** Checked, but kept as typed, so that the file reads as the person measured. */
function typedLength(typed: Length, field: string, bareUnit: LengthUnit): Length {
  const mm = lengthMm(typed, field, bareUnit);
  const bare = typeof typed === 'number' || /^[\d\s.,/+-]*$/.test(typed);
  if (!bare) return typed;
  return bareUnit === 'mm' ? mm : `${typed} ${bareUnit}`;
}
