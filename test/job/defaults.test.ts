import { describe, expect, test } from 'vitest';
import { AXIS_U } from '../../src/core/geometry/bay/axis.ts';
import { DEFAULT_U, levelU, loadU } from '../../src/job/defaults.ts';

describe('standard uncertainties that nobody typed', () => {
  test('two tapes of 3 mm over 1200 mm leave the axis open by 0.35 % (plain arithmetic)', () => {
    expect(AXIS_U['two-tapes'].u).toBeCloseTo((Math.SQRT2 * 3) / 1200, 4);
  });

  test('no method at all leaves the axis more open than any method', () => {
    const { none, ...methods } = AXIS_U;
    expect(none.u).toBeGreaterThan(5 * Math.max(...Object.values(methods).map((m) => m.u)));
  });

  test('a motorcycle sags less surely than a car, and neither as much as 25 mm over 1400 would be (1.8 %)', () => {
    expect(loadU('motorcycle')).toBeGreaterThan(loadU('van'));
    expect(loadU('motorcycle')).toBeLessThan(25 / 1400);
  });

  test('a spirit level of 1 mm/m costs 0.1 %, a water level nothing with distance', () => {
    expect(100 * levelU('spirit-level')).toBeCloseTo(0.1, 12);
    expect(levelU('water-level')).toBe(0);
  });

  test('a floor nobody measured is doubted more than one that was', () => {
    expect(DEFAULT_U.floorUnmeasured.u).toBeGreaterThan(DEFAULT_U.floorMeasured.u);
  });

  test('every default has a unit and says why', () => {
    for (const [name, { u, why }] of Object.entries(DEFAULT_U)) {
      expect(u, name).toBeGreaterThanOrEqual(0);
      expect(why.length, name).toBeGreaterThan(15);
    }
  });
});
