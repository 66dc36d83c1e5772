import { xoroshiro128plus } from 'pure-rand';
import { describe, expect, test } from 'vitest';
import { floorGeometry } from '../../../../src/core/geometry/bay/floor.ts';
import { levelDatumGeometry } from '../../../../src/core/geometry/bay/level-datum.ts';
import { noseToBoardGeometry } from '../../../../src/core/geometry/bay/nose-to-board.ts';
import { tangentOf } from '../../../../src/core/geometry/lamp-tangents.ts';
import { propagate, standardUncertainty } from '../../../../src/core/uncertainty/estimate.ts';
import { drawTrials } from '../../../../src/core/uncertainty/monte-carlo.ts';

const known = (value: number, u: number) => ({ value, u });
const stance = {
  lampId: 'left-dip',
  setup: null,
  distanceShared: true,
  distanceMm: known(5230, 25),
  outOfPlumbDeg: known(1.5, 0.5),
  yawDeg: known(-4, 1),
  rollDeg: known(0.3, 0.1),
  loadU: 0.0005,
} as const;

const GEOMETRIES = {
  floor: floorGeometry({
    ...stance,
    centreUp: known(655, 3),
    centreRight: known(-540, 4),
    originAboveFoot: known(410, 2),
    footAboveTyrePlane: known(-20, 5),
    footMeasured: true,
    axis: 'two-tapes',
    axisX: known(35, 4),
    crossFallU: 0.3,
  }),
  'level-datum': levelDatumGeometry({
    ...stance,
    wheelbaseMm: known(2400, 10),
    frontContact: known(-690, 2),
    rearContact: known(-713, 2),
    crossFallDeg: known(0.8, 0.1),
    boardOrigin: known(-250, 2),
    centreUp: { from: 'ground', height: known(655, 3) },
    centreRight: known(-540, 4),
    centreForward: known(620, 50),
    axis: 'strings',
    axisX: known(35, 4),
    levelU: 0.0003,
  }),
  'nose-to-board': noseToBoardGeometry({
    ...stance,
    markX: known(-505, 3),
    markY: known(240, 3),
    flatnessMmPerM: 1,
    axisU: 0.003,
    crossFallU: 0.3,
  }),
};

// JCGM 101: drawing 10,000 times from normal inputs gives u to 0.7 % (1/sqrt(2·10,000)); four of those, and 1 % for what
// first order leaves out on a board turned by 4 deg.
describe.each(Object.keys(GEOMETRIES) as (keyof typeof GEOMETRIES)[])('%s', (method) => {
  test('10,000 seeded trials give the same u of drop and offset as the sensitivities, within 4 %', () => {
    const geometry = GEOMETRIES[method];
    const foot = geometry.view(geometry.inputs.map((i) => i.value)).axisFoot;
    const edge = { X: foot.X + 190, Y: foot.Y - 71 };
    const f = (x: readonly number[]): readonly number[] => {
      const t = tangentOf(geometry.view(x), edge);
      return [-100 * t.v, 100 * t.u];
    };
    const generator = xoroshiro128plus(20260110);
    const trials = drawTrials(geometry.inputs, f, () => (generator.unsafeNext() >>> 0) / 2 ** 32, 10_000);
    propagate(geometry.inputs, f).forEach((estimate, k) => {
      const ratio = trials[k]!.u / standardUncertainty(estimate);
      expect(Math.abs(ratio - 1)).toBeLessThan(0.04);
      expect(Math.abs(trials[k]!.mean - estimate.value)).toBeLessThan(0.05 * trials[k]!.u);
    });
  });
});
