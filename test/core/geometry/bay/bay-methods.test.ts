import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { AXIS_U } from '../../../../src/core/geometry/bay/axis.ts';
import { floorGeometry, type OnFloor } from '../../../../src/core/geometry/bay/floor.ts';
import { type LevelDatum, levelDatumGeometry } from '../../../../src/core/geometry/bay/level-datum.ts';
import { type NoseToBoard, noseToBoardGeometry } from '../../../../src/core/geometry/bay/nose-to-board.ts';
import { tangentOf } from '../../../../src/core/geometry/lamp-tangents.ts';
import type { LampGeometry } from '../../../../src/core/lamp-view.ts';
import {
  difference,
  type Estimate,
  propagate,
  standardUncertainty,
} from '../../../../src/core/uncertainty/estimate.ts';

const known = (value: number, u = 0) => ({ value, u });
const stance = {
  lampId: 'left-dip',
  setup: null,
  distanceShared: true,
  outOfPlumbDeg: known(0, 0.5),
  yawDeg: known(0, 1),
  rollDeg: known(0, 0.06),
  loadU: 0.0005,
} as const;

const onFloor: OnFloor = {
  ...stance,
  distanceMm: known(5000, 10),
  centreUp: known(650, 3),
  centreRight: known(-540, 4),
  originAboveFoot: known(410, 2),
  footAboveTyrePlane: known(-20, 5),
  footMeasured: true,
  axis: 'sighting',
  axisX: known(35, 4),
  crossFallU: 0.3,
};

const levelDatum: LevelDatum = {
  ...stance,
  distanceMm: known(5000, 10),
  wheelbaseMm: known(2400, 5),
  frontContact: known(-700, 2),
  rearContact: known(-700, 2),
  crossFallDeg: known(0, 0.1),
  boardOrigin: known(-250, 2),
  centreUp: { from: 'ground', height: known(650, 3) },
  centreRight: known(-540, 4),
  centreForward: known(620, 50),
  axis: 'strings',
  axisX: known(35, 4),
  levelU: 0,
};

const noseToBoard: NoseToBoard = {
  ...stance,
  distanceMm: known(5000, 10),
  markX: known(-505, 3),
  markY: known(240, 3),
  flatnessMmPerM: 1,
  axisU: 0.003,
  crossFallU: 0.3,
};

function aimAt(
  geometry: LampGeometry,
  board: { X: number; Y: number },
): { drop: Estimate; offset: Estimate } {
  const [drop, offset] = propagate(geometry.inputs, (x) => {
    const t = tangentOf(geometry.view(x), board);
    return [-100 * t.v, 100 * t.u];
  });
  return { drop: drop!, offset: offset! };
}

describe('floor method', () => {
  test('board foot 20 mm below the tyres at 5 m, cut-off 605 above the foot, lamp 650: drop 1.30 % (design 3)', () => {
    const { drop } = aimAt(floorGeometry(onFloor), { X: 35 - 540, Y: 605 - 410 });
    expect(drop.value).toBeCloseTo(1.3, 9);
  });

  test('W39: lamp 650 ± 2, cut-off height ± 3, distance 5000 ± 10: u = 0.072158 %', () => {
    const exact = {
      ...onFloor,
      outOfPlumbDeg: known(0),
      yawDeg: known(0),
      rollDeg: known(0),
      loadU: 0,
      crossFallU: 0,
      footAboveTyrePlane: known(0, 0),
      centreUp: known(650, 2),
      originAboveFoot: known(410, 3),
    };
    const { drop } = aimAt(floorGeometry(exact), { X: -505, Y: 585 - 410 });
    expect(drop.value).toBeCloseTo(1.3, 9);
    expect(standardUncertainty(drop)).toBeCloseTo(0.072158, 5);
  });

  test('a lamp 540 mm left of the axis sees an edge 505 mm left of the board origin straight ahead', () => {
    const { offset } = aimAt(floorGeometry(onFloor), { X: -505, Y: 195 });
    expect(offset.value).toBeCloseTo(0, 9);
    const right = aimAt(floorGeometry(onFloor), { X: -405, Y: 195 });
    expect(right.offset.value).toBeCloseTo(2, 9);
  });

  test('a higher lamp makes the drop larger: + 3 mm at 5 m is + 0.06 %', () => {
    const { drop } = aimAt(floorGeometry(onFloor), { X: -505, Y: 195 });
    expect(drop.parts['lamp-height@left-dip']).toBeCloseTo(0.06, 9);
    // A board standing higher than thought means the edge is higher: less drop.
    expect(drop.parts['board-height']).toBeCloseTo(-0.04, 9);
    expect(drop.parts.floor).toBeCloseTo(-0.1, 9);
  });

  test('an axis nobody measured leaves offsets unsure by 2 %, says so, and leaves the drop alone', () => {
    const none = floorGeometry({ ...onFloor, axis: 'none' });
    const { drop, offset } = aimAt(none, { X: -505, Y: 195 });
    expect(Math.abs(offset.parts['vehicle-axis']!)).toBeCloseTo(100 * AXIS_U.none.u, 9);
    expect(Math.abs(drop.parts['vehicle-axis'] ?? 0)).toBeLessThan(1e-4);
    expect(none.leavesOut.join(' ')).toContain('axis was not carried');
  });
});

describe('level datum', () => {
  test('W11: a floor falling 0.40 % towards the board turns 1.30 % below level into 0.90 % below the ground plane', () => {
    const fall = levelDatumGeometry({ ...levelDatum, rearContact: known(-700 + 0.004 * 2400, 2) });
    const level = levelDatumGeometry(levelDatum);
    const view = level.view(level.inputs.map((i) => i.value));
    expect(view.axisFoot.Y).toBeCloseTo(650 - 700 + 250, 9);
    // The lamp's own height over the datum: 650 over the ground 620 mm ahead of the front axle, which falls 0.4 %.
    const lampLevel = -700 - 0.004 * 620 + 650;
    const edgeY = lampLevel - 0.013 * 5000 + 250;
    const { drop } = aimAt(fall, { X: -505, Y: edgeY });
    expect(drop.value).toBeCloseTo(0.9, 3);
  });

  test('W12: a floor rising 0.40 % towards the board turns 1.30 % into 1.70 %', () => {
    const rise = levelDatumGeometry({ ...levelDatum, rearContact: known(-700 - 0.004 * 2400, 2) });
    const edgeY = -700 + 0.004 * 620 + 650 - 0.013 * 5000 + 250;
    expect(aimAt(rise, { X: -505, Y: edgeY }).drop.value).toBeCloseTo(1.7, 3);
  });

  test('W13: a rear 20 mm low over 2400 mm raises the beam by 0.8333 %', () => {
    // One beam fixed to the vehicle, 1.3 % below its ground plane: on a level board it now stands higher.
    const low = levelDatumGeometry({ ...levelDatum, rearContact: known(-720, 2) });
    const edge = { X: -505, Y: 0 };
    const levelDrop = (y: number) => (100 * (-700 + (20 / 2400) * 620 + 650 - (y - 250))) / 5000;
    const { drop } = aimAt(low, edge);
    expect(drop.value - levelDrop(0)).toBeCloseTo(100 * (20 / 2400), 2);
    expect(drop.value).toBeGreaterThan(levelDrop(0));
  });

  test('a lamp centre counted from the datum gives the same view as one counted from the ground', () => {
    const tilted = { ...levelDatum, frontContact: known(-690), crossFallDeg: known(0.8) };
    const pitch = Math.asin((-690 + 700) / 2400);
    const roll = (0.8 * Math.PI) / 180;
    const height =
      -690 + (650 * Math.cos(roll) - 540 * Math.sin(roll)) * Math.cos(pitch) + 620 * Math.sin(pitch);
    const a = levelDatumGeometry(tilted);
    const b = levelDatumGeometry({ ...tilted, centreUp: { from: 'datum', height: known(height, 3) } });
    const va = a.view(a.inputs.map((i) => i.value));
    const vb = b.view(b.inputs.map((i) => i.value));
    expect(vb.axisFoot.X).toBeCloseTo(va.axisFoot.X, 6);
    expect(vb.axisFoot.Y).toBeCloseTo(va.axisFoot.Y, 6);
  });

  test('ground higher on the right: a level board has its right end down against the vehicle, and a lamp on the left sits lower on it', () => {
    const level = levelDatumGeometry(levelDatum);
    const tilted = levelDatumGeometry({ ...levelDatum, crossFallDeg: known(1, 0.1) });
    const v0 = level.view(level.inputs.map((i) => i.value));
    const v1 = tilted.view(tilted.inputs.map((i) => i.value));
    expect(v1.rollDeg).toBeCloseTo(-1, 9);
    expect(v1.axisFoot.Y - v0.axisFoot.Y).toBeCloseTo(-540 * Math.sin(Math.PI / 180), 0);
  });

  test('every mm of the datum itself cancels: moving the whole level line changes nothing', () => {
    fc.assert(
      fc.property(fc.double({ min: -400, max: 400, noNaN: true }), (shift) => {
        const moved = levelDatumGeometry({
          ...levelDatum,
          frontContact: known(-700 + shift),
          rearContact: known(-705 + shift),
          boardOrigin: known(-250 + shift),
        });
        const still = levelDatumGeometry({ ...levelDatum, rearContact: known(-705) });
        const a = moved.view(moved.inputs.map((i) => i.value));
        const b = still.view(still.inputs.map((i) => i.value));
        expect(a.axisFoot.Y).toBeCloseTo(b.axisFoot.Y, 7);
      }),
    );
  });

  test('a tilt of the whole level line over floor and board cancels to second order', () => {
    const slope = 0.003;
    const tilted = levelDatumGeometry({
      ...levelDatum,
      rearContact: known(-700 - slope * -2400),
      frontContact: known(-700),
      boardOrigin: known(-250 - slope * (5000 + 620)),
    });
    const a = tilted.view(tilted.inputs.map((i) => i.value));
    const b = levelDatumGeometry(levelDatum);
    expect(a.axisFoot.Y).toBeCloseTo(b.view(b.inputs.map((i) => i.value)).axisFoot.Y, 1);
  });

  test('contacts read to 2 mm pull the drop through the long lever: front 3.34 times, rear 2.34 times, board once', () => {
    const { drop } = aimAt(levelDatumGeometry(levelDatum), { X: -505, Y: 135 });
    // dY = (1 + 5620/2400)·front - (5620/2400)·rear - board; 2 mm at 5 m is 0.04 %.
    expect(drop.parts['floor@front-contact']).toBeCloseTo(0.04 * (1 + 5620 / 2400), 4);
    expect(drop.parts['floor@rear-contact']).toBeCloseTo(-0.04 * (5620 / 2400), 4);
    expect(drop.parts['board-height']).toBeCloseTo(-0.04, 6);
  });
});

describe('nose to the board', () => {
  test('the mark is the foot of the axis: 65 mm below it at 5 m is 1.30 %, 50 mm right of it +1 %', () => {
    const { drop, offset } = aimAt(noseToBoardGeometry(noseToBoard), { X: -455, Y: 175 });
    expect(drop.value).toBeCloseTo(1.3, 9);
    expect(offset.value).toBeCloseTo(1, 9);
  });

  test('a floor flat to 1 mm/m costs 0.10 %, a mark placed to 3 mm 0.06 % at 5 m', () => {
    const { drop } = aimAt(noseToBoardGeometry(noseToBoard), { X: -505, Y: 175 });
    expect(Math.abs(drop.parts.floor!)).toBeCloseTo(0.1, 3);
    expect(Math.abs(drop.parts['lamp-mark@left-dip']!)).toBeCloseTo(0.06, 6);
    expect(Math.abs(drop.parts.load!)).toBeCloseTo(0.05, 6);
  });

  test('yaw and floor are one error for both lamps and vanish from left minus right, at different distances too', () => {
    const left = aimAt(noseToBoardGeometry(noseToBoard), { X: -505, Y: 175 });
    const right = aimAt(
      noseToBoardGeometry({
        ...noseToBoard,
        lampId: 'right-dip',
        markX: known(570, 3),
        markY: known(244, 3),
        distanceMm: known(5120, 10),
      }),
      { X: 570, Y: 170 },
    );
    const offset = difference(left.offset, right.offset);
    const drop = difference(left.drop, right.drop);
    expect(left.offset.parts['vehicle-axis']).toBeCloseTo(-0.3, 9);
    expect(Math.abs(offset.parts['vehicle-axis']!)).toBeLessThan(1e-6);
    expect(Math.abs(drop.parts.floor!)).toBeLessThan(1e-6);
    expect(Math.abs(drop.parts['lamp-mark@left-dip']!)).toBeGreaterThan(0.05);
    expect(Math.abs(drop.parts['lamp-mark@right-dip']!)).toBeGreaterThan(0.05);
  });

  test('a second placing has floor and axis errors of its own', () => {
    const near = noseToBoardGeometry(noseToBoard).inputs.map((i) => i.cause);
    const far = noseToBoardGeometry({ ...noseToBoard, setup: '7500' }).inputs.map((i) => i.cause);
    expect(near).toContain('floor');
    expect(far).toContain('floor@7500');
    expect(far).not.toContain('vehicle-axis');
    expect(far).toContain('lamp-mark@left-dip');
  });

  test.each(['floor', 'level-datum', 'nose-to-board'] as const)(
    'no two inputs of %s share a cause, so none is added up by mistake',
    (method) => {
      const geometry =
        method === 'floor'
          ? floorGeometry(onFloor)
          : method === 'level-datum'
            ? levelDatumGeometry(levelDatum)
            : noseToBoardGeometry(noseToBoard);
      const causes = geometry.inputs.map((i) => i.cause);
      expect(new Set(causes).size).toBe(causes.length);
    },
  );
});
