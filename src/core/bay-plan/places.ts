import type { BayFacts } from './facts.ts';
import { groundUp } from './ground.ts';

export const PLACE_KINDS = [
  'nose-in',
  'nose-out',
  'shining-in',
  'house-wall',
  'yard-near',
  'yard-far',
] as const;
export type PlaceKind = (typeof PLACE_KINDS)[number];

/** Room that people and things need, mm. All: common practice, no source. */
export const ROOM = {
  /** Board, its feet and a hand behind it. */
  board: 100,
  /** Tail to a door that has to shut, or to walk round. */
  tailToDoor: 400,
  /** Tail to the end wall, to get out round it. */
  tailToWall: 300,
  /** Behind a board out on the drive: nobody steps into the road. */
  behindBoard: 500,
  /** Beside the vehicle: a door open far enough to get out. */
  openDoor: 550,
  /** A tripod beside the wing, behind the plane of the lamps. */
  camera: 450,
} as const;

/** No farther than this: the beam grows dim, the board large, and near field is as good as gone, mm. */
const FAR_ENOUGH = 10_000;
/** 25 ft, the distance of US boards (standards row US-17), and past the 7.5 m that near field asks for. */
const YARD_NEAR = 7620;

/** One way of putting vehicle and board, with every lamp-to-board distance that it allows. */
export interface Place {
  readonly kind: PlaceKind;
  /** Lamp to board, mm; null when the vehicle does not fit. */
  readonly reach: { readonly minMm: number; readonly maxMm: number } | null;
  /** Where vehicle and board stand for a distance; `along` in mm from the end wall (yards: from the board). */
  readonly stand: (distanceMm: number) => Stand;
  /** The board can be carried to other distances while the vehicle stays. */
  readonly boardMoves: boolean;
  /** The nose can be driven up to the board and rolled straight back. */
  readonly noseReaches: boolean;
  /** Wheels and board foot lie on one plane at both ends, as far as the facts say. */
  readonly onePlane: boolean;
  readonly flatnessMmPerM: number | null;
  /** Exhaust under a roof. */
  readonly indoors: boolean;
  /** The vehicle is lit and seen from the street. */
  readonly openAir: boolean;
  /** Width for the board, mm; null when nothing bounds it or nobody said. */
  readonly widthMm: number | null;
  /** How far it would have to be longer for any use, mm; null when it fits. */
  readonly shortByMm: number | null;
}

export interface Stand {
  readonly noseMm: number;
  readonly tailMm: number;
  readonly lampMm: number;
  readonly boardMm: number;
  /** Way the vehicle looks along the line: -1 to the end wall, +1 to the road. */
  readonly looks: -1 | 1;
  /** Slope of the ground under the axles, per cent, + nose up. */
  readonly pitchPct: number;
  /** Foot of the board above the plane through the tyres, mm. */
  readonly footAboveTyresMm: number;
  /** One axle inside, one outside. */
  readonly astride: boolean;
}

/** Nearest board that is worth a thought, mm: below it the beam's edge is all smear. */
const NEAREST = 1000;

/** Every place that garage, drive and a yard give, in the order of walking out of the garage. */
export function placesOf(facts: BayFacts): readonly Place[] {
  const { garage, drive } = facts;
  const out: Place[] = [];
  if (garage !== null) out.push(noseIn(facts), noseOut(facts));
  if (garage !== null && drive !== null) out.push(shiningIn(facts));
  if (garage === null && drive !== null) out.push(houseWall(facts));
  if (facts.elsewhere) {
    out.push(yard(facts, 'yard-near', YARD_NEAR), yard(facts, 'yard-far', FAR_ENOUGH));
  }
  return out;
}

/** The distance to plan with: one that a scheme's board asks for, else as far as it goes, to 10 m. */
export function plannedDistance(
  reach: NonNullable<Place['reach']>,
  boardDistancesMm: readonly number[],
): number {
  const asked = boardDistancesMm.filter((d) => d >= reach.minMm * 0.98 && d <= reach.maxMm + 30);
  return asked.length > 0 ? Math.max(...asked) : Math.min(reach.maxMm, FAR_ENOUGH);
}

function noseIn(facts: BayFacts): Place {
  const { garage, vehicle } = facts;
  const length = garage!.lengthMm;
  const max = length - ROOM.tailToDoor - vehicle.lengthMm + vehicle.lampBehindNoseMm - ROOM.board;
  return {
    kind: 'nose-in',
    ...within(max),
    stand: standAt(facts, 'wall', (distance) => ROOM.board + distance),
    boardMoves: true,
    noseReaches: true,
    onePlane: true,
    flatnessMmPerM: garage!.flatnessMmPerM,
    indoors: true,
    openAir: false,
    widthMm: garage!.widthMm,
  };
}

function noseOut(facts: BayFacts): Place {
  const { garage, drive, vehicle } = facts;
  const lamp = ROOM.tailToWall + vehicle.lengthMm - vehicle.lampBehindNoseMm;
  const end =
    drive === null ? garage!.lengthMm : garage!.lengthMm + drive.lengthMm - ROOM.behindBoard - ROOM.board;
  return {
    kind: 'nose-out',
    ...within(end - lamp),
    stand: standAt(facts, 'road', () => lamp),
    boardMoves: true,
    noseReaches: true,
    onePlane: drive === null || samePlane(facts),
    flatnessMmPerM: drive === null ? garage!.flatnessMmPerM : across(facts),
    indoors: true,
    openAir: true,
    widthMm: drive === null ? garage!.doorWidthMm : null,
  };
}

function shiningIn(facts: BayFacts): Place {
  const { garage, drive, vehicle } = facts;
  const max = garage!.lengthMm + drive!.lengthMm - vehicle.lengthMm + vehicle.lampBehindNoseMm - ROOM.board;
  // Not nearer than with the lamps at the door: that would be the place inside.
  const min = Math.min(garage!.lengthMm - ROOM.board, max);
  const fits = within(max);
  return {
    kind: 'shining-in',
    ...fits,
    reach: fits.reach === null ? null : { ...fits.reach, minMm: Math.max(NEAREST, min) },
    stand: standAt(facts, 'wall', (distance) => ROOM.board + distance),
    boardMoves: true,
    noseReaches: true,
    onePlane: samePlane(facts),
    flatnessMmPerM: across(facts),
    indoors: false,
    openAir: true,
    widthMm: garage!.widthMm,
  };
}

/** No garage: the board at a wall or a shut door, the vehicle on the drive. */
function houseWall(facts: BayFacts): Place {
  const { drive, vehicle } = facts;
  return {
    kind: 'house-wall',
    ...within(drive!.lengthMm - vehicle.lengthMm + vehicle.lampBehindNoseMm - ROOM.board),
    stand: standAt(facts, 'wall', (distance) => ROOM.board + distance),
    boardMoves: true,
    noseReaches: true,
    onePlane: true,
    flatnessMmPerM: drive!.flatnessMmPerM,
    indoors: false,
    openAir: true,
    widthMm: null,
  };
}

function yard(facts: BayFacts, kind: 'yard-near' | 'yard-far', distance: number): Place {
  const { vehicle } = facts;
  return {
    kind,
    // A yard has room to spare: a scheme's own distance near the planned one is taken.
    reach: { minMm: distance * 0.97, maxMm: distance },
    shortByMm: null,
    stand: (d) => {
      const lamp = d;
      const nose = lamp - vehicle.lampBehindNoseMm;
      return {
        boardMm: 0,
        lampMm: lamp,
        noseMm: nose,
        tailMm: nose + vehicle.lengthMm,
        looks: -1,
        pitchPct: 0,
        footAboveTyresMm: 0,
        astride: false,
      };
    },
    boardMoves: true,
    noseReaches: true,
    onePlane: true,
    flatnessMmPerM: facts.elsewhereFlatnessMmPerM,
    indoors: false,
    openAir: true,
    widthMm: null,
  };
}

function within(maxMm: number): Pick<Place, 'reach' | 'shortByMm'> {
  return maxMm >= NEAREST
    ? { reach: { minMm: NEAREST, maxMm }, shortByMm: null }
    : { reach: null, shortByMm: NEAREST - maxMm };
}

/** Vehicle and board for a distance; the ground's profile gives pitch and the board's foot. */
function standAt(
  facts: BayFacts,
  towards: 'wall' | 'road',
  lampAt: (distanceMm: number) => number,
): Place['stand'] {
  const { vehicle, garage } = facts;
  const looks = towards === 'wall' ? -1 : 1;
  return (distance) => {
    const lamp = lampAt(distance);
    const nose = lamp + looks * vehicle.lampBehindNoseMm;
    const front = nose - looks * vehicle.noseAheadOfAxleMm;
    const rear = front - looks * vehicle.wheelbase.value;
    const board = lamp + looks * distance;
    const up = (along: number): number => groundUp(facts, along);
    const slope = (up(front) - up(rear)) / vehicle.wheelbase.value;
    const plane = up(front) + slope * Math.abs(board - front);
    const door = garage?.lengthMm ?? 0;
    return {
      noseMm: nose,
      tailMm: nose - looks * vehicle.lengthMm,
      lampMm: lamp,
      boardMm: board,
      looks,
      pitchPct: 100 * slope,
      footAboveTyresMm: up(board) - plane,
      astride: front < door !== rear < door,
    };
  };
}

/** Garage floor and drive within 0.2 % of one slope; a threshold in between still counts as not looked at. */
function samePlane({ garage, drive }: BayFacts): boolean {
  return Math.abs(garage!.slopePct - drive!.slopePct) <= 0.2;
}

/** Across the door the floor is never better known than where nobody looked. */
function across({ garage, drive }: BayFacts): number | null {
  const known = [garage!.flatnessMmPerM, drive!.flatnessMmPerM];
  return known.every((f) => f !== null) ? Math.max(...known) : null;
}
