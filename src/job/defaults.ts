import { AXIS_U } from '../core/geometry/bay/axis.ts';
import type { ParsedJobFile } from './schema.ts';

/**
 * Standard uncertainties (k = 1) for numbers whose owner gave none. Each says how such a number is got in a garage
 * and why it is no better. All: common practice, no published source, unless the line says otherwise.
 */
export interface DefaultU {
  readonly u: number;
  readonly unit: 'mm' | 'deg' | 'mm per m' | 'tangent';
  readonly why: string;
}

const mm = (u: number, why: string): DefaultU => ({ u, unit: 'mm', why });
const deg = (u: number, why: string): DefaultU => ({ u, unit: 'deg', why });
const mmPerM = (u: number, why: string): DefaultU => ({ u, unit: 'mm per m', why });
const tangent = (u: number, why: string): DefaultU => ({ u, unit: 'tangent', why });

export const DEFAULT_U = {
  lampHeight: mm(
    3,
    'taped from the floor to a marked lens centre: tape upright to 1 mm, centre found to 2-3 mm',
  ),
  lampSide: mm(4, 'half the taped distance between lens centres, or taped from a centre string'),
  lampSideGuessed: mm(150, 'not measured: half a usual track'),
  lampForward: mm(50, 'taped from the axle'),
  lampForwardGuessed: mm(250, 'not measured: a usual front overhang'),
  lampMark: mm(3, 'lens centre marked on the board with the nose against it'),
  lowerEdge: mm(4, 'edge of the lit lens taken by eye'),
  litSize: mm(5, 'lit part of the lens taken by eye'),
  distance: mm(10, 'one tape along the floor, plumbed at both ends'),
  boardHeight: mm(2, 'taped up the board'),
  datumHeight: mm(2, 'read from a level line: water surface or laser width'),
  wheelbase: mm(10, 'taped between hub centres'),
  axisMark: mm(4, "the axis line's own mark on the board"),
  axisMarkGuessed: mm(30, 'the board was placed by eye before the middle of the vehicle'),
  sheetPlace: mm(2, 'centre cross of a sheet taped from the board origin'),
  sheetTurn: deg(0.3, 'a sheet hung by its own cross line: 1 mm over 200'),
  crossPlace: mm(2, 'cross drawn to a tape'),
  checkLength: mm(2, 'one long taped length'),
  floorFlatness: mmPerM(1, 'a good garage floor over wheels and board foot; ask about thresholds'),
  floorUnmeasured: mmPerM(2, 'nobody measured the floor at the board against the tyres'),
  floorMeasured: mmPerM(
    1,
    'the plane of the tyres carried to the board: contacts to 2 mm, made longer by the distance',
  ),
  outOfPlumb: deg(0.5, 'a board stood up with a short level, or by eye against a wall'),
  boardYaw: deg(1, 'a board squared by tape or by eye'),
  levelLine: deg(0.1, "the marks' line set with a spirit level, 1 mm per m, over a short base"),
  crossFall: deg(0.3, 'floors are laid to fall; nobody measured this one across'),
  crossFallMeasured: deg(0.1, 'level laid across the tyres'),
  angle: deg(0.1, 'read from a level or a phone'),
  loadCar: tangent(0.0005, 'springs settle to about 1 mm front against rear after rocking'),
  loadThreeWheeler: tangent(0.0008, 'springs settle to about 1-2 mm over a short wheelbase'),
  loadMotorcycle: tangent(0.0015, 'sag repeats to 2 mm over 1400 mm; 25 mm would be 1.8 %'),
  noseMarks: axisTangent('nose-marks'),
  waterLevel: mmPerM(0, 'a water level does not grow wrong with distance'),
  laserLevel: mmPerM(0.3, 'a cross-line laser as usually specified'),
  spiritLevel: mmPerM(1, 'a spirit level stepped along a straight edge'),
} as const satisfies Record<string, DefaultU>;

function axisTangent(axis: keyof typeof AXIS_U): DefaultU {
  return tangent(AXIS_U[axis].u, AXIS_U[axis].why);
}

/** Pitch that load and springs leave open, tangent. */
export function loadU(kind: ParsedJobFile['vehicle']['kind']): number {
  if (kind === 'motorcycle') return DEFAULT_U.loadMotorcycle.u;
  return kind === 'three-wheeler' ? DEFAULT_U.loadThreeWheeler.u : DEFAULT_U.loadCar.u;
}

/** Growth of a level's error with distance, slope. */
export function levelU(tool: 'water-level' | 'laser' | 'spirit-level'): number {
  const perM = {
    'water-level': DEFAULT_U.waterLevel,
    laser: DEFAULT_U.laserLevel,
    'spirit-level': DEFAULT_U.spiritLevel,
  };
  return perM[tool].u / 1000;
}
