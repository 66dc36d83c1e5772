/** What to do at the place to take, in order. */
import type { Tool } from '../core/bay-plan/facts.ts';
import { ROOM } from '../core/bay-plan/places.ts';
import type { BayPlan, OpenPlace } from '../core/bay-plan/plan.ts';
import { worstPair } from './bay-plan-advice.ts';
import type { BayRequest } from './bay-plan-facts.ts';
import { atLeast, axisWords, roughly, toolWord } from './bay-plan-words.ts';
import { acrossRoom } from './format.ts';

/** What to bring and what to do, in order. */
export function preparation(plan: BayPlan, place: OpenPlace, request: BayRequest): readonly string[] {
  const { forecast: f } = place;
  const { units } = request;
  const slope = Math.abs(f.stand.pitchPct) >= 0.5;
  const b = f.board;
  const pair = plan.facts.lamps.length > 1 && f.place.widthMm !== null && b.acrossAllMm > f.place.widthMm;
  const across = plan.facts.lamps.length > 1 && !pair ? b.acrossAllMm : b.acrossOneMm;
  const steps = [
    `Fetch: ${[...new Set(['tape' as const, ...toolsFor(place, plan.facts.tools)])].map(toolWord).join(', ')}, chocks, card, tape to stick, something that holds the phone still.`,
    slope || place.kind === 'shining-in'
      ? 'Park, brake on, in gear, and chock the downhill side of both axles before anything else. Nobody between vehicle and wall until that is checked.'
      : 'Park, brake on, in gear, chock the wheels.',
    seatStep(request),
    ...levelSteps(place, request),
    `Stand the board so that every lamp is ${acrossRoom(f.distanceMm, units)} from it, along the ${request.motorcycle ? 'machine' : 'vehicle'}: upright, square, ${atLeast(across, units)} wide or more${pair ? ' (one card, moved from lamp to lamp)' : ''}, from ${roughly(b.bottomMm, units)} to ${atLeast(b.topMm, units)} over its foot. Measure the distance from each lamp.`,
    `Straight ahead: ${axisWords(f.axis).name.toLowerCase()}. ${axisWords(f.axis).leaves}`,
    'Measure the centre of each lamp, and the height and width of its lit part.',
    'Start the job: npx dipcard new. It leads to the sheets, and to the plan that shows where they hang on the board.',
    cameraStep(place, request),
    ...(place.kind === 'board-moved' ? [secondBoardStep(place, request)] : []),
  ];
  return steps;
}

function seatStep({ motorcycle, facts }: BayRequest): string {
  const helper = facts.tools.includes('helper');
  if (motorcycle) {
    return `Set tyre pressures and load; machine upright, wheel straight, ${helper ? 'held by your helper' : 'on a proper stand'}, rider or 75 kg in the seat.`;
  }
  const seat = helper ? "your helper in the driver's seat" : "75 kg strapped into the driver's seat";
  return `Set tyre pressures and load; ${seat}, levelling wheel at its stop; rock each corner and let it settle.`;
}

/** Where the camera goes: behind the plane of the lamps, out of the beam. */
function cameraStep(place: OpenPlace, { facts }: BayRequest): string {
  const stand = facts.tools.includes('tripod') ? 'on the tripod' : 'fixed on a box or steps';
  const inside = place.forecast.place.kind === 'nose-in' || place.forecast.place.kind === 'nose-out';
  const { garage, vehicle } = facts;
  const beside =
    inside && garage?.widthMm != null && vehicle.widthMm !== null
      ? (garage.widthMm - vehicle.widthMm) / 2
      : null;
  const where = beside !== null && beside < ROOM.camera ? 'above the bonnet' : 'beside or above the lamps';
  return `Camera ${stand}, ${where}, behind their plane and out of the beam, so that it throws no shadow; timer, so that nobody stands in front.`;
}

/** The board is carried; the vehicle and what was measured on it stay. */
function secondBoardStep(place: OpenPlace, { units }: BayRequest): string {
  const near = worstPair(place)?.nearMm ?? place.forecast.distanceMm;
  return `When every lamp has been photographed there, carry the board to ${acrossRoom(near, units)} without touching the vehicle, measure its height and distance anew, and photograph every lamp again.`;
}

function toolsFor(place: OpenPlace, owned: BayPlan['facts']['tools']): BayPlan['facts']['tools'] {
  const level = {
    'nose-to-board': [],
    'water-level': ['water-level'],
    laser: ['laser'],
    'spirit-level': ['spirit-level'],
    'floor-measured': ['spirit-level', 'water-level', 'laser'],
    'floor-unmeasured': [],
  } as const;
  const axis = {
    sighting: ['string', 'plumb-bob'],
    strings: ['string'],
    'two-tapes': [],
    'nose-marks': [],
    none: [],
  } as const;
  const wanted: readonly Tool[] = [...level[place.forecast.level], ...axis[place.forecast.axis], 'tripod'];
  return wanted.filter((tool) => owned.includes(tool));
}

const LEVEL_TOOL = {
  'water-level': 'the water level',
  laser: 'the laser',
  'spirit-level': 'the spirit level, stepped along a straight edge and turned end for end',
} as const;

function levelSteps(place: OpenPlace, request: BayRequest): readonly string[] {
  const { level } = place.forecast;
  const machine = request.motorcycle ? 'machine' : 'vehicle';
  switch (level) {
    case 'nose-to-board':
      return [
        'Lay a straight edge along the floor from the wheels to the foot of the board: no threshold, no gully.',
        `Drive up until the nose nearly touches the board; mark each lamp's centre and the ${machine}'s middle on it. Roll straight back without steering.`,
      ];
    case 'water-level':
    case 'laser':
    case 'spirit-level':
      return [
        `Set one level line by the ${machine} with ${LEVEL_TOOL[level]}. Measure down from it to the ground beside each tyre, front and rear, left and right, and write each figure down with its sign.`,
        "Carry the same line to the board and mark it there: heights on the board count from it. Measure each lamp's centre from the ground.",
      ];
    case 'floor-measured':
      return [
        "Carry the plane of the tyres to the board's foot with the level: how far does the foot stand above or below it? Write the sign down.",
        "Measure each lamp's centre over the floor.",
      ];
    case 'floor-unmeasured':
      return [
        "Measure each lamp's centre over the floor. With any level, measure the step at the board's foot too: it is the largest doubt.",
      ];
  }
}
