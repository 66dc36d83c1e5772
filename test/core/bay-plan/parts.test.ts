import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { boardSize } from '../../../src/core/bay-plan/board-size.ts';
import { groundUp } from '../../../src/core/bay-plan/ground.ts';
import { secondDistance } from '../../../src/core/bay-plan/second-distance.ts';
import {
  distanceSlipPct,
  heightSlipPct,
  levelSlipPct,
  slipsAt,
  twoTapesPct,
} from '../../../src/core/bay-plan/slips.ts';
import { farShiftOf, smearedShift } from '../../../src/core/bay-plan/told-filling.ts';
import { nearFieldShift } from '../../../src/core/beam/near-field.ts';
import { estimate, withParts } from '../../../src/core/uncertainty/estimate.ts';
import { bay, lampAt, NEWCOMER, placeOf } from './bay.ts';

describe('what a slip costs, by published or worked arithmetic', () => {
  test('W10: 5000 mm entered as 5050 makes 1.3 % read 1.28713 %', () => {
    expect(1.3 - distanceSlipPct(50, 5000, 1.3)).toBeCloseTo(1.28713, 5);
  });

  test('W11, W12: a floor of 0.40 % counts 0.40 %', () => {
    expect(levelSlipPct(4)).toBeCloseTo(0.4, 12);
  });

  test('W13: rear 20 mm low over a 2400 mm wheelbase raises the beam by 0.8333 %', () => {
    expect(heightSlipPct(20, 2400)).toBeCloseTo(0.8333, 4);
  });

  test('W39: heights of 2 and 3 mm at 5 m make 0.0721 %', () => {
    expect(Math.hypot(heightSlipPct(2, 5000), heightSlipPct(3, 5000))).toBeCloseTo(0.0721, 4);
  });

  test('the design page: lamp centre 30 mm at 5 m 0.6; rear of a motorcycle 25 over 1400 1.8; 1 mm per m 0.1; two tapes 0.35', () => {
    expect(heightSlipPct(30, 5000)).toBeCloseTo(0.6, 12);
    expect(heightSlipPct(25, 1400)).toBeCloseTo(1.8, 1);
    expect(levelSlipPct(1)).toBeCloseTo(0.1, 12);
    expect(twoTapesPct(3, 1200)).toBeCloseTo(0.35, 2);
  });

  test('they are told for this place: 30 mm at 7.6 m is 0.395 %, 25 mm over 1410 mm is 1.77 %', () => {
    const by = (what: string) =>
      slipsAt({ distanceMm: 7600, wheelbaseMm: 1410, dropPct: 1.3 }).find((s) => s.what === what)!.costPct;
    expect(by('lamp-centre')).toBeCloseTo(0.3947, 4);
    expect(by('low-rear')).toBeCloseTo(1.773, 3);
  });
});

describe('near field, as the design page has it for 170 mm filled in its upper half', () => {
  test('the open interval holds the 1.11, 0.66 and 0.47 % of the simulations at 5, 7.6 and 10 m', () => {
    for (const [distance, shift] of [
      [5000, 1.11],
      [7600, 0.66],
      [10_000, 0.47],
    ] as const)
      expect(nearFieldShift(170, distance).maxPct).toBeGreaterThan(shift);
    expect(placeOf(NEWCOMER, 'yard-far').forecast.lamps[0]!.farShift).toEqual({ min: 0, max: 0.57 });
  });
});

describe('a filling that is told', () => {
  const rows = (
    JSON.parse(readFileSync('test/reference/near_field_disc.json', 'utf8')) as {
      rows: { b: number; sDeg: number; diameterMm: number; distanceMm: number; shiftPct: number }[];
    }
  ).rows;

  test('a disc agrees with scipy quadrature within 0.03 %: the rule steps 0.1 deg, the reference takes the slope', () => {
    for (const { b, sDeg, diameterMm, distanceMm, shiftPct } of rows) {
      const found = smearedShift('disc', diameterMm, distanceMm, { b, sDeg });
      expect(Math.abs(found - shiftPct), `${diameterMm} mm at ${distanceMm}`).toBeLessThan(0.03);
    }
  });

  test('the interval holds the design page: centre-weighted 0.45, 0.22, 0.13 and upper half 1.11, 0.66, 0.47 for 170 mm at 5, 7.6, 10 m', () => {
    for (const [filling, figures] of [
      ['centre-weighted', [0.45, 0.22, 0.13]],
      ['upper-half', [1.11, 0.66, 0.47]],
    ] as const)
      [5000, 7600, 10_000].forEach((distance, i) => {
        const { min, max } = farShiftOf(filling, 170, distance);
        expect(figures[i]).toBeGreaterThan(min);
        expect(figures[i]).toBeLessThan(max);
      });
  });

  test('it narrows what 10 m leaves open, and unknown stays the whole interval', () => {
    const told = farShiftOf('disc', 170, 10_000);
    expect(told.max - told.min).toBeLessThan(0.57);
    expect(farShiftOf('unknown', 170, 10_000)).toEqual({ min: 0, max: 0.57 });
    expect(farShiftOf('disc', null, 10_000)).toEqual({ min: 0, max: 0.57 });
  });
});

describe('a second distance', () => {
  const drop = (tapeMm: number, distanceMm: number, setup: string) =>
    withParts(estimate(1.3, 'lamp-height@left', (100 * 3) / distanceMm), {
      [`board-height@${setup}`]: (100 * tapeMm) / distanceMm,
      tone: 0.074,
    });
  const pair = (tapeMm: number) =>
    secondDistance(
      170,
      { distanceMm: 5000, dropPct: drop(tapeMm, 5000, 'near') },
      { distanceMm: 10_000, dropPct: drop(tapeMm, 10_000, 'far') },
    );

  test('heights good to 0.5 mm narrow what 10 m leaves open; heights good to 20 mm do not, and nothing is made worse', () => {
    const sure = pair(0.5);
    expect(sure.halfOnePct).toBeCloseTo(0.57 / 2, 9);
    // By hand: u of the difference is 0.03 (lamp height) with 0.005 and 0.01 (boards): 0.0320; S1 - S2 = 1.31 - 0.57.
    expect(sure.halfBothPct).toBeCloseTo(0.2 * 0.57 + (2 * 0.03202 * 0.57) / 0.74, 4);
    expect(pair(20).halfBothPct).toBe(pair(20).halfOnePct);
    expect(sure.shift.max - sure.shift.min).toBeCloseTo(2 * sure.halfBothPct, 12);
  });

  test('moved vehicle: the heights under its tyres are new, and the pair knows less', () => {
    const withGround = (e: ReturnType<typeof drop>, setup: string) =>
      withParts(e, { [`floor@${setup}-front-contact`]: 0.08, [`floor@${setup}-rear-contact`]: -0.08 });
    const both = secondDistance(
      170,
      { distanceMm: 5000, dropPct: withGround(drop(0.5, 5000, 'near'), 'near') },
      { distanceMm: 10_000, dropPct: withGround(drop(0.5, 10_000, 'far'), 'far') },
    );
    expect(both.halfBothPct).toBeCloseTo(pair(0.5).halfBothPct, 9);
    expect(both.halfVehicleMovedPct).toBeGreaterThan(both.halfBothPct + 0.02);
  });
});

describe('the board', () => {
  const size = (distanceMm: number, footMm = 0) =>
    boardSize(
      [lampAt('left'), lampAt('right')],
      distanceMm,
      { footAboveTyresMm: footMm },
      { minPct: 0.5, maxPct: 2.75 },
    );

  test('W5: limits of 0.5 and 2.75 % at 5 m stand 25.0 and 137.5 mm under the centre of 655', () => {
    expect(size(5000).edgeMm).toEqual({ highest: 630, lowest: 517.5 });
  });

  test('at 5 m both lamps want 1090 mm and 4 deg either side, 699.3 mm more', () => {
    expect(size(5000).acrossAllMm).toBeCloseTo(1090 + 2 * 349.634, 2);
    expect(size(5000).acrossOneMm).toBeCloseTo(699.27, 2);
  });

  test('a foot 324 mm under the plane of the tyres puts everything 324 mm higher over the foot', () => {
    expect(size(7740, -324).centreMm - size(7740).centreMm).toBe(324);
    expect(size(7740, -324).edgeMm.lowest - size(7740).edgeMm.lowest).toBeCloseTo(324, 9);
  });

  test('it always holds the limits and the centre mark', () => {
    for (const d of [1240, 5000, 10_000]) {
      const { bottomMm, topMm, edgeMm, centreMm } = size(d);
      expect(bottomMm).toBeLessThan(edgeMm.lowest);
      expect(topMm).toBeGreaterThan(centreMm);
    }
  });
});

test('the ground: level to the door, then 6 % down', () => {
  expect(groundUp(bay(), 5500)).toBeCloseTo(0, 12);
  expect(groundUp(bay(), 7500)).toBeCloseTo(-120, 9);
});
