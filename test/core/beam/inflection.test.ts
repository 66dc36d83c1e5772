import { describe, expect, test } from 'vitest';
import { findInflection, type Profile } from '../../../src/core/beam/inflection.ts';
import { tanFromDeg } from '../../../src/core/units.ts';
import { PROFILES } from './drawn-grid.ts';

const DV = tanFromDeg(0.02);

function profileOf(log: (vDeg: number) => number): Profile {
  const n = 200;
  const v0 = -100 * DV;
  return { v0, dv: DV, log: Float64Array.from({ length: n }, (_, i) => log(-2 + i * 0.02)) };
}

describe('the inflection of log10 E on one vertical run', () => {
  // UN R112 cut-off annex (inflection: second derivative of log E is 0; G over 0.1 deg), worked as rows W31-W33 of
  // the standards page: log10 E = a - b tanh((v - v0)/s) has its inflection at v0 and G = 2 b tanh(0.05/s).
  test.each([
    { b: 1, s: 0.5, g: 0.199336, row: 'W31' },
    { b: 1, s: 0.8, g: 0.124837, row: 'W32' },
    { b: 1, s: 0.2, g: 0.489837, row: 'W33' },
  ])('$row: tanh edge with b = $b, s = $s deg has G = $g and its inflection at v0', ({ b, s, g }) => {
    const v0 = 0.137;
    const found = findInflection(profileOf((v) => 0.4 - b * Math.tanh((v - v0) / s)));
    expect(found).not.toBeNull();
    // A symmetric curve: what is left comes from the zone ending on rows of 0.02 deg. 0.0005 deg is 0.001 %.
    expect(Math.atan(found!.v) * (180 / Math.PI)).toBeCloseTo(v0, 3);
    // The quintic follows tanh over its zone to a hundredth of the step.
    expect(Math.abs(found!.g - g)).toBeLessThan(0.01 * g);
  });

  test.each(Object.keys(PROFILES) as (keyof typeof PROFILES)[])(
    'a %s edge is found within 0.02 % of where its curve is steepest, from soft to sharp',
    (family) => {
      for (const soft of [0.08, 0.12, 0.2]) {
        for (const stray of [0.006, 0.02]) {
          const log = (v: number) =>
            Math.log10((stray + (1 - stray) * PROFILES[family](v / soft)) * Math.exp(0.2 * v));
          let truth = 0;
          let best = 0;
          for (let v = -1; v < 1.5; v += 0.0005) {
            const fall = log(v - 0.001) - log(v + 0.001);
            if (fall > best) {
              best = fall;
              truth = v;
            }
          }
          const found = findInflection(profileOf(log));
          const foundDeg = Math.atan(found!.v) * (180 / Math.PI);
          // 0.02 % = 0.0115 deg: a quarter of what floor and tape leave at home.
          expect(Math.abs(foundDeg - truth), `soft ${soft}, stray ${stray}`).toBeLessThan(0.0115);
        }
      }
    },
  );

  test('level light has no inflection', () => {
    expect(findInflection(profileOf(() => -0.3))).toBeNull();
  });
});
