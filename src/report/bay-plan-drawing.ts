/** Each place from above, to scale, as shapes in mm: end wall or board at the left, road at the right. */
import type { BayPlan, OpenPlace, PlannedPlace } from '../core/bay-plan/plan.ts';
import { tanFromDeg } from '../core/units.ts';
import type { BayRequest } from './bay-plan-facts.ts';
import { acrossRoom, fixed } from './format.ts';

/** A place in the drawing, mm: `along` from the end wall or board, `across` from the vehicle's middle, + downwards. */
export interface DrawPoint {
  readonly along: number;
  readonly across: number;
}

export type DrawInk = 'wall' | 'ground' | 'vehicle' | 'glass' | 'beam' | 'board' | 'dim' | 'soft';

export type BayShape =
  | {
      readonly kind: 'area';
      readonly points: readonly DrawPoint[];
      readonly ink: DrawInk;
    }
  | {
      readonly kind: 'line';
      readonly points: readonly DrawPoint[];
      readonly ink: DrawInk;
      /** Line width in parts of the lettering's size. */
      readonly weight: number;
      readonly dashed?: boolean;
    }
  | {
      readonly kind: 'text';
      readonly at: DrawPoint;
      readonly text: string;
      readonly anchor: 'start' | 'middle' | 'end';
      readonly ink: DrawInk;
      readonly bold?: boolean;
      /** Lines below (+) or above the place, so that lettering keeps clear at any scale. */
      readonly lines: number;
    };

export interface BayDrawing {
  readonly shapes: readonly BayShape[];
  readonly from: number;
  readonly to: number;
  readonly halfAcross: number;
}

/** What is drawn when nobody gave a width, mm. */
const GARAGE_WIDE = 2700;
const VEHICLE_WIDE = { car: 1650, motorcycle: 750 };
const DRIVE_WIDE = 2600;
/** Drawn beam: the part of the edge that has to be seen, as for the board's width. */
const BEAM_DEG = 4;

/** The place to take first, those not to be used last: on a phone the rest is a long way down. */
export function inOrder(plan: BayPlan): readonly PlannedPlace[] {
  const rank = (p: PlannedPlace): number => (p === plan.recommended ? 0 : p.state === 'open' ? 1 : 2);
  return plan.places.toSorted((a, b) => rank(a) - rank(b));
}

/** Ends of the widest drawing, so that all places can share one scale. */
export function bayExtent(places: readonly OpenPlace[], request: BayRequest): { from: number; to: number } {
  const all = places.map((p) => drawPlace(p, request));
  return { from: Math.min(0, ...all.map((d) => d.from)), to: Math.max(1000, ...all.map((d) => d.to)) };
}

/** One place from above. */
export function drawPlace(place: OpenPlace, request: BayRequest): BayDrawing {
  const { facts } = request;
  const yard = place.kind.startsWith('yard');
  const shapes: BayShape[] = [];
  const garageHalf = (facts.garage?.widthMm ?? GARAGE_WIDE) / 2;
  if (!yard) shapes.push(...groundShapes(request, garageHalf));
  shapes.push(
    ...beamShapes(place, request),
    ...vehicleShapes(place, request),
    ...boardShapes(place, request),
  );
  if (!yard && facts.garage !== null) shapes.push(...wallShapes(request, garageHalf));
  shapes.push(...distanceShapes(place, request, garageHalf));
  const { stand } = place.forecast;
  const end = Math.max(
    stand.tailMm,
    stand.noseMm,
    stand.boardMm,
    yard ? 0 : (facts.garage?.lengthMm ?? 0) + (facts.drive?.lengthMm ?? 0),
  );
  return { shapes, from: -150, to: end + 150, halfAcross: garageHalf };
}

function rect(from: number, to: number, half: number): DrawPoint[] {
  return [
    { along: from, across: -half },
    { along: to, across: -half },
    { along: to, across: half },
    { along: from, across: half },
  ];
}

function groundShapes({ facts, words }: BayRequest, half: number): BayShape[] {
  const { garage, drive } = facts;
  if (drive === null) return [];
  const door = garage?.lengthMm ?? 0;
  const end = door + drive.lengthMm;
  const driveHalf = Math.min(half, DRIVE_WIDE / 2);
  const name = words === 'us' ? 'driveway' : 'drive';
  const slope =
    Math.abs(drive.slopePct) < 0.05
      ? name
      : `${name}, ${drive.slopePct > 0 ? 'falls' : 'rises'} ${fixed(Math.abs(drive.slopePct), Math.abs(drive.slopePct) < 9.95 ? 1 : 0)} %`;
  return [
    { kind: 'area', points: rect(door, end, driveHalf), ink: 'ground' },
    {
      kind: 'text',
      at: { along: end - 100, across: half },
      text: `${slope} >`,
      anchor: 'end',
      ink: 'soft',
      lines: 1,
    },
  ];
}

function wallShapes({ facts }: BayRequest, half: number): BayShape[] {
  const { lengthMm, doorWidthMm } = facts.garage!;
  const door = Math.min(half, (doorWidthMm ?? 2 * half - 400) / 2);
  const side = (s: number): BayShape => ({
    kind: 'line',
    points: [
      { along: 0, across: 0 },
      { along: 0, across: s * half },
      { along: lengthMm, across: s * half },
      { along: lengthMm, across: s * door },
    ],
    ink: 'wall',
    weight: 0.28,
  });
  return [
    side(-1),
    side(1),
    {
      kind: 'text',
      at: { along: 100, across: half },
      text: 'garage',
      anchor: 'start',
      ink: 'soft',
      lines: 1,
    },
  ];
}

function vehicleShapes(place: OpenPlace, request: BayRequest): BayShape[] {
  const { facts, motorcycle } = request;
  const { stand } = place.forecast;
  const half = (facts.vehicle.widthMm ?? VEHICLE_WIDE[motorcycle ? 'motorcycle' : 'car']) / 2;
  const length = facts.vehicle.lengthMm;
  const back = -stand.looks;
  const at = (fromNose: number, across: number): DrawPoint => ({
    along: stand.noseMm + back * fromNose,
    across,
  });
  if (motorcycle) return motorcycleShapes(at, length, half);
  // A body with a narrower nose, so that it is plain which way it looks.
  const body = [
    at(0, -half * 0.62),
    at(0, half * 0.62),
    at(length * 0.07, half * 0.92),
    at(length * 0.16, half),
    at(length * 0.95, half),
    at(length, half * 0.86),
    at(length, -half * 0.86),
    at(length * 0.95, -half),
    at(length * 0.16, -half),
    at(length * 0.07, -half * 0.92),
  ];
  const screen = [
    at(length * 0.3, -half * 0.72),
    at(length * 0.3, half * 0.72),
    at(length * 0.38, half * 0.84),
    at(length * 0.38, -half * 0.84),
  ];
  return [
    { kind: 'area', points: body, ink: 'vehicle' },
    { kind: 'area', points: screen, ink: 'glass' },
  ];
}

/** Wheels in line, a body between them, handlebars across. */
function motorcycleShapes(
  at: (fromNose: number, across: number) => DrawPoint,
  length: number,
  half: number,
): BayShape[] {
  const box = (from: number, to: number, wide: number, end: number): DrawPoint[] => [
    at(length * from, -half * end),
    at(length * from, half * end),
    at(length * to, half * wide),
    at(length * to, -half * wide),
  ];
  return [
    { kind: 'area', points: box(0, 0.32, 0.16, 0.16), ink: 'wall' },
    { kind: 'area', points: box(0.68, 1, 0.18, 0.18), ink: 'wall' },
    {
      kind: 'area',
      points: [
        ...[-0.3, 0.3].map((side) => at(length * 0.2, half * side)),
        at(length * 0.45, half * 0.5),
        ...[0.26, -0.26].map((side) => at(length * 0.9, half * side)),
        at(length * 0.45, -half * 0.5),
      ],
      ink: 'vehicle',
    },
    { kind: 'area', points: box(0.27, 0.31, 1, 1), ink: 'wall' },
  ];
}

/** The fan of each place for a lamp on the line, once. */
function lampAcross(request: BayRequest, looks: 1 | -1): readonly number[] {
  // Looking to the left of the drawing, the vehicle's right is up.
  return [...new Set(request.facts.lamps.map((l) => l.centreRight.value * looks))];
}

function beamShapes(place: OpenPlace, request: BayRequest): BayShape[] {
  const { stand, distanceMm } = place.forecast;
  const spread = distanceMm * tanFromDeg(BEAM_DEG);
  return lampAcross(request, stand.looks).map((across) => ({
    kind: 'area',
    points: [
      { along: stand.lampMm, across },
      { along: stand.boardMm, across: across - spread },
      { along: stand.boardMm, across: across + spread },
    ],
    ink: 'beam',
  }));
}

function boardShapes(place: OpenPlace, request: BayRequest): BayShape[] {
  const { stand, distanceMm, board, place: spot, pairs } = place.forecast;
  const oneCard = spot.widthMm !== null && board.acrossAllMm > spot.widthMm;
  const acrosses = lampAcross(request, stand.looks);
  const spread = board.acrossOneMm / 2;
  const spans: [number, number][] = oneCard
    ? [[acrosses[0]! - spread, acrosses[0]! + spread]]
    : [[Math.min(...acrosses) - spread, Math.max(...acrosses) + spread]];
  const at = (along: number, dashed: boolean): BayShape[] =>
    spans.map(([a, b]) => ({
      kind: 'line',
      points: [
        { along, across: a },
        { along, across: b },
      ],
      ink: 'board',
      weight: 0.36,
      dashed,
    }));
  const near = pairs.find((p) => p !== null)?.nearMm;
  if (place.kind !== 'board-moved' || near === undefined) return at(stand.boardMm, false);
  const along = stand.boardMm - stand.looks * (distanceMm - near);
  return [...at(stand.boardMm, false), ...at(along, true)];
}

/** "7.65 m", or both distances of a board that is moved. */
function distanceText({ kind, forecast: f }: OpenPlace, { units }: BayRequest): string {
  const near = kind === 'board-moved' ? f.pairs.find((pair) => pair !== null)?.nearMm : undefined;
  const far = acrossRoom(f.distanceMm, units);
  return near === undefined ? far : `${far}, then ${acrossRoom(near, units)}`;
}

function distanceShapes(place: OpenPlace, request: BayRequest, half: number): BayShape[] {
  const { stand } = place.forecast;
  const across = -half - 250;
  const ends = [stand.lampMm, stand.boardMm];
  const tick = (along: number): BayShape => ({
    kind: 'line',
    points: [
      { along, across: across - 130 },
      { along, across: across + 130 },
    ],
    ink: 'dim',
    weight: 0.1,
  });
  return [
    {
      kind: 'line',
      points: ends.map((along) => ({ along, across })),
      ink: 'dim',
      weight: 0.1,
    },
    ...ends.map(tick),
    {
      kind: 'text',
      at: { along: Math.max((ends[0]! + ends[1]!) / 2, 900), across },
      text: distanceText(place, request),
      anchor: 'middle',
      ink: 'dim',
      bold: true,
      lines: -0.4,
    },
  ];
}
