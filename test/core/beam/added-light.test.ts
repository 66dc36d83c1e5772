import { describe, expect, test } from 'vitest';
import { estimateAddedLight, withoutAdded } from '../../../src/core/beam/added-light.ts';
import { measureHotSpot } from '../../../src/core/beam/hot-spot.ts';
import { BEAM, drawGrid } from './drawn-grid.ts';

const estimateOf = (ambient: number) => {
  const grid = drawGrid({ ...BEAM, ambient });
  return estimateAddedLight(grid, measureHotSpot(grid)!, 0.003);
};

describe("light that is not the lamp's", () => {
  test('more room light is told as more, and never as more than the darkest place shows', () => {
    const some = estimateOf(0.004);
    const much = estimateOf(0.02);
    expect(much.value).toBeGreaterThan(some.value);
    expect(much.value).toBeLessThan(0.0205);
    // Where it drowns the lamp's stray light it is known to a quarter.
    expect(Math.abs(much.value - 0.02)).toBeLessThan(0.25 * 0.02);
  });

  test('its doubt is never nothing, and taking it away lowers every cell alike', () => {
    const grid = drawGrid({ ...BEAM, ambient: 0.01 });
    const added = estimateAddedLight(grid, measureHotSpot(grid)!, 0.003);
    expect(added.u).toBeGreaterThan(0.0003);
    const less = withoutAdded(grid, added);
    for (const i of [0, 31234, 60001]) expect(grid.light[i]! - less.light[i]!).toBeCloseTo(added.value, 5);
  });

  test('a grid without light adds nothing', () => {
    const grid = drawGrid(BEAM);
    expect(estimateAddedLight({ ...grid, light: grid.light.fill(0) }, { u: 0, peak: 0 }, 0)).toEqual({
      value: 0,
      u: 0,
    });
  });
});
