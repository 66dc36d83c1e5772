import { InputError } from '../core/errors.ts';
import { floorGeometry } from '../core/geometry/bay/floor.ts';
import type { Known } from '../core/geometry/bay/input-table.ts';
import { levelDatumGeometry } from '../core/geometry/bay/level-datum.ts';
import { noseToBoardGeometry } from '../core/geometry/bay/nose-to-board.ts';
import type { BaySetup } from '../core/geometry/bay/stance.ts';
import type { LampGeometry } from '../core/lamp-view.ts';
import { DEFAULT_U, levelU, loadU } from './defaults.ts';
import { angleKnown, lengthKnown, own } from './measured.ts';
import { lengthMm } from './quantity.ts';
import type { ParsedJobFile } from './schema.ts';

type Method = ParsedJobFile['bay']['method'];
type FileLamp = ParsedJobFile['vehicle']['lamps'][number];
type FileLength = ParsedJobFile['bay']['distance'];

/** A lamp of the file with where it stands there, for errors. */
interface LampAt {
  readonly lamp: FileLamp;
  readonly field: string;
}

/**
 * How one lamp looks at the board, by the file's method of axis and level.
 *
 * @param shotDistance a distance that holds for one shot only, with its path in the file: a placing of its own.
 * @throws InputError naming the field that the method needs and the file lacks.
 */
export function lampGeometryOf(
  file: ParsedJobFile,
  lampId: string,
  shotDistance?: { readonly value: FileLength; readonly field: string },
): LampGeometry {
  const index = file.vehicle.lamps.findIndex((lamp) => lamp.id === lampId);
  const lamp = file.vehicle.lamps[index];
  if (lamp === undefined) throw new InputError('lamp', 'the id of a lamp in vehicle.lamps', lampId);
  const at = { lamp, field: `vehicle.lamps.${index}` };
  const setup = baySetup(file, lamp, shotDistance);
  const method = file.bay.method;
  switch (method.kind) {
    case 'nose-to-board':
      return noseToBoard(file, method, at, setup);
    case 'floor':
      return onFloor(file, method, at, setup);
    case 'level-datum':
      return fromDatum(method, at, setup);
  }
}

function baySetup(
  file: ParsedJobFile,
  lamp: FileLamp,
  shotDistance: { readonly value: FileLength; readonly field: string } | undefined,
): BaySetup {
  const { bay } = file;
  const perLamp = own(bay.distances, lamp.id);
  const distanceMm =
    shotDistance !== undefined
      ? distanceOf(shotDistance.value, shotDistance.field)
      : perLamp !== undefined
        ? distanceOf(perLamp, `bay.distances.${lamp.id}`)
        : distanceOf(bay.distance, 'bay.distance');
  return {
    lampId: lamp.id,
    setup: shotDistance === undefined ? null : `at-${Math.round(distanceMm.value)}`,
    distanceMm,
    distanceShared: shotDistance !== undefined || perLamp === undefined,
    outOfPlumbDeg: angleKnown(
      bay.boardOutOfPlumbDeg,
      'bay.boardOutOfPlumbDeg',
      30,
      DEFAULT_U.angle,
      DEFAULT_U.outOfPlumb,
    ),
    yawDeg: angleKnown(bay.boardYawDeg, 'bay.boardYawDeg', 45, DEFAULT_U.angle, DEFAULT_U.boardYaw),
    rollDeg: angleKnown(bay.boardRollDeg, 'bay.boardRollDeg', 30, DEFAULT_U.angle, DEFAULT_U.levelLine),
    loadU: bay.loadPitchU === undefined ? loadU(file.vehicle.kind) : bay.loadPitchU / 100,
  };
}

function distanceOf(input: FileLength, field: string): Known {
  const distance = lengthKnown(input, field, DEFAULT_U.distance);
  if (!(distance.value >= 500)) {
    throw new InputError(field, 'a distance from lamp to board of at least 500 mm', distance.value);
  }
  return distance;
}

/** Board roll given against the floor holds the cross-fall already. */
function crossFallU(file: ParsedJobFile): number {
  return file.bay.boardRollDeg === undefined ? DEFAULT_U.crossFall.u : 0;
}

function noseToBoard(
  file: ParsedJobFile,
  method: Extract<Method, { kind: 'nose-to-board' }>,
  { lamp }: LampAt,
  setup: BaySetup,
): LampGeometry {
  const mark = own(method.lampMarks, lamp.id);
  const field = `bay.method.lampMarks.${lamp.id}`;
  if (mark === undefined) {
    throw new InputError(field, "where this lamp's centre was marked on the board, { X, Y }", undefined);
  }
  // One slope for every lamp, by the bay's own distance: the axis error is one and must cancel in a pair.
  const bayDistance = distanceOf(file.bay.distance, 'bay.distance').value;
  return noseToBoardGeometry({
    ...setup,
    markX: lengthKnown(mark.X, `${field}.X`, DEFAULT_U.lampMark),
    markY: lengthKnown(mark.Y, `${field}.Y`, DEFAULT_U.lampMark),
    flatnessMmPerM: method.flatnessMmPerM ?? DEFAULT_U.floorFlatness.u,
    axisU:
      method.rollBackU === undefined
        ? DEFAULT_U.noseMarks.u
        : Math.abs(lengthMm(method.rollBackU, 'bay.method.rollBackU')) / bayDistance,
    crossFallU: crossFallU(file),
  });
}

function onFloor(
  file: ParsedJobFile,
  method: Extract<Method, { kind: 'floor' }>,
  at: LampAt,
  setup: BaySetup,
): LampGeometry {
  const metres = setup.distanceMm.value / 1000;
  const foot = method.footAboveTyrePlane;
  return floorGeometry({
    ...setup,
    centreUp: centreUp(at, 'floor'),
    centreRight: centreRight(at, method.axis),
    originAboveFoot: lengthKnown(method.originAboveFoot, 'bay.method.originAboveFoot', DEFAULT_U.boardHeight),
    footAboveTyrePlane:
      foot === undefined
        ? { value: 0, u: DEFAULT_U.floorUnmeasured.u * metres }
        : lengthKnown(foot, 'bay.method.footAboveTyrePlane', DEFAULT_U.floorMeasured.u * metres),
    footMeasured: foot !== undefined,
    axis: method.axis,
    axisX: axisX(method),
    crossFallU: crossFallU(file),
  });
}

function fromDatum(
  method: Extract<Method, { kind: 'level-datum' }>,
  at: LampAt,
  setup: BaySetup,
): LampGeometry {
  const lampDatum = own(method.lampCentres, at.lamp.id);
  const forward = at.lamp.centre.forward;
  const wheelbase = lengthKnown(method.wheelbase, 'bay.method.wheelbase', DEFAULT_U.wheelbase);
  const front = lengthKnown(method.frontContact, 'bay.method.frontContact', DEFAULT_U.datumHeight);
  const rear = lengthKnown(method.rearContact, 'bay.method.rearContact', DEFAULT_U.datumHeight);
  if (!(wheelbase.value >= 300)) {
    throw new InputError('bay.method.wheelbase', 'a wheelbase of at least 300 mm', wheelbase.value);
  }
  if (Math.abs(front.value - rear.value) > 0.3 * wheelbase.value) {
    throw new InputError(
      'bay.method.rearContact',
      'a height within 30 % of the wheelbase from the front contact, both counted from the same level line',
      rear.value,
    );
  }
  return levelDatumGeometry({
    ...setup,
    wheelbaseMm: wheelbase,
    frontContact: front,
    rearContact: rear,
    crossFallDeg: angleKnown(
      method.leftRightTilt,
      'bay.method.leftRightTilt',
      20,
      DEFAULT_U.crossFallMeasured,
      DEFAULT_U.crossFall,
    ),
    boardOrigin: lengthKnown(method.boardOrigin, 'bay.method.boardOrigin', DEFAULT_U.datumHeight),
    centreUp:
      lampDatum === undefined
        ? { from: 'ground', height: centreUp(at, 'level-datum') }
        : {
            from: 'datum',
            height: lengthKnown(lampDatum, `bay.method.lampCentres.${at.lamp.id}`, DEFAULT_U.lampHeight),
          },
    centreRight: centreRight(at, method.axis),
    centreForward:
      forward === undefined
        ? { value: 600, u: DEFAULT_U.lampForwardGuessed.u }
        : lengthKnown(forward, `${at.field}.centre.forward`, DEFAULT_U.lampForward),
    axis: method.axis,
    axisX: axisX(method),
    levelU: levelU(method.tool),
  });
}

function centreUp({ lamp, field }: LampAt, method: string): Known {
  if (lamp.centre.up === undefined) {
    throw new InputError(
      `${field}.centre.up`,
      `the height of the lamp's centre over the ground, such as 650: the method "${method}" needs it`,
      undefined,
    );
  }
  return lengthKnown(lamp.centre.up, `${field}.centre.up`, DEFAULT_U.lampHeight);
}

function centreRight({ lamp, field }: LampAt, axis: string): Known {
  if (lamp.centre.right !== undefined) {
    return lengthKnown(lamp.centre.right, `${field}.centre.right`, DEFAULT_U.lampSide);
  }
  if (lamp.side === 'centre') return { value: 0, u: DEFAULT_U.lampSide.u };
  if (axis !== 'none') {
    throw new InputError(
      `${field}.centre.right`,
      'how far the lamp sits from the middle of the vehicle, + right, such as -540 for a left lamp',
      undefined,
    );
  }
  return { value: lamp.side === 'left' ? -600 : 600, u: DEFAULT_U.lampSideGuessed.u };
}

function axisX(method: Extract<Method, { kind: 'floor' | 'level-datum' }>): Known {
  if (method.axisX !== undefined) return lengthKnown(method.axisX, 'bay.method.axisX', DEFAULT_U.axisMark);
  if (method.axis !== 'none') {
    throw new InputError(
      'bay.method.axisX',
      `where the vehicle's middle line meets the board, board X, for the axis by ${method.axis}`,
      undefined,
    );
  }
  return { value: 0, u: DEFAULT_U.axisMarkGuessed.u };
}
