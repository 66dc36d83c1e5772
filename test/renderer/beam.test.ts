import { describe, expect, test } from 'vitest';
import { type Beam, type BeamSpec, buildBeam, DEFAULT_BEAM } from '../../src/renderer/beam.ts';
import { EDGE_PROFILES, type EdgeFamily, erfc } from '../../src/renderer/edge-profile.ts';
import { steepestFall } from '../../src/renderer/inflection.ts';

const DEG = Math.PI / 180;
const FAMILIES = Object.keys(EDGE_PROFILES) as EdgeFamily[];

/** Intensity at degrees left/right (+ right) and up of a beam aimed 1 % down. */
function aimed(beam: Beam): (right: number, up: number) => number {
  return (right, up) => beam.intensity(Math.tan(right * DEG), Math.tan(up * DEG) + 0.01);
}

function over(from: number, to: number, step: number): number[] {
  return Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);
}

/**
 * UN R112 passing beam, class B, 01 series, cd. All from memory, as standards.md 3.3 says of its table; the outline of
 * zone III too (8L 1U, 8L 4U, 8R 4U, 8R 2U, 6R 1.5U, 1.5R 1.5U, V H, 4L H). `side` + is the kerb side.
 */
const POINTS = [
  { name: 'B50L', side: -3.43, up: 0.57, max: 350 },
  { name: 'BR', side: 2.5, up: 1, max: 1750 },
  { name: '75R', side: 1.15, up: -0.57, min: 10100 },
  { name: '75L', side: -3.43, up: -0.57, max: 10600 },
  { name: '50L', side: -3.43, up: -0.86, max: 13200 },
  { name: '50R', side: 1.72, up: -0.86, min: 10100 },
  { name: '50V', side: 0, up: -0.86, min: 5100 },
  { name: '25L', side: -9, up: -1.72, min: 1700 },
  { name: '25R', side: 9, up: -1.72, min: 1700 },
  { name: '7', side: -8, up: 0, min: 65 },
  { name: '8', side: -4, up: 0, min: 125 },
];
const ZONE_III = [
  [-8, 1],
  [-8, 4],
  [8, 4],
  [8, 2],
  [6, 1.5],
  [1.5, 1.5],
  [0, 0],
  [-4, 0],
] as const;

function inZoneIII(x: number, y: number): boolean {
  let inside = false;
  ZONE_III.forEach(([ax, ay], i) => {
    const [bx, by] = ZONE_III[(i + 1) % ZONE_III.length]!;
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
  });
  return inside;
}

describe('a passing beam aimed 1 % down meets UN R112 class B (standards 3.3, from memory)', () => {
  const cases = FAMILIES.flatMap((family) =>
    (['rise', 'step'] as const).flatMap((kind) =>
      (['right', 'left'] as const).map((traffic) => ({ family, kind, traffic })),
    ),
  );
  test.each(cases)('$family $kind, $traffic-hand traffic, 40500 cd peak', ({ family, kind, traffic }) => {
    // An error function of linear light is dim just below its steepest log light: it needs a sharper edge than the
    // default's 0.28 to reach point 75R, still inside the limit of 0.40 (standards G-3).
    const sharpnessG = family === 'erf' ? 0.39 : DEFAULT_BEAM.sharpnessG;
    const beam = buildBeam({ ...DEFAULT_BEAM, family, kind, traffic, sharpnessG, peakCd: 40500 });
    const at = aimed(beam);
    const sign = traffic === 'right' ? 1 : -1;
    const cd = (side: number, up: number): number => at(sign * side, up);
    for (const { name, side, up, max, min } of POINTS) {
      if (max !== undefined) expect(cd(side, up), name).toBeLessThanOrEqual(max);
      if (min !== undefined) expect(cd(side, up), name).toBeGreaterThanOrEqual(min);
    }
    expect(cd(-8, 4) + cd(0, 4) + cd(8, 4), 'overhead 1+2+3').toBeGreaterThanOrEqual(190);
    expect(cd(-4, 2) + cd(0, 2) + cd(4, 2), 'overhead 4+5+6').toBeGreaterThanOrEqual(375);
    const sides = over(-9, 9, 0.15);
    const zoneIII = sides.flatMap((x) => over(0, 4, 0.1).map((y) => (inZoneIII(x, y) ? cd(x, y) : 0)));
    expect(Math.max(...zoneIII), 'zone III').toBeLessThanOrEqual(625);
    const zoneIV = over(-5.15, 5.15, 0.1).flatMap((x) => over(-1.72, -0.86, 0.043).map((y) => cd(x, y)));
    expect(Math.min(...zoneIV), 'zone IV').toBeGreaterThanOrEqual(2500);
    const zoneI = sides.flatMap((x) => over(-4, -1.72, 0.06).map((y) => cd(x, y)));
    expect(Math.max(...zoneI), 'zone I').toBeLessThanOrEqual(2 * cd(1.72, -0.86));
  });
});

test('a driving beam of 60000 cd peak meets class B: HV at least 0.8 of it, 20300 at 2.5 deg, 5100 at 5 deg (standards 3.4)', () => {
  const beam = buildBeam({ ...DEFAULT_BEAM, kind: 'driving', peakCd: 60000 });
  const cd = (right: number): number => beam.intensity(Math.tan(right * DEG), 0);
  expect(cd(0)).toBeGreaterThanOrEqual(0.8 * 60000);
  for (const right of [-2.5, 2.5]) expect(cd(right)).toBeGreaterThanOrEqual(20300);
  for (const right of [-5, 5]) expect(cd(right)).toBeGreaterThanOrEqual(5100);
});

describe('sharpness', () => {
  // standards 10.5, W31 to W33: log10 E = a - b tanh((v - v0)/s).
  test.each([
    { row: 'W31', s: 0.5, g: 0.199336 },
    { row: 'W32', s: 0.8, g: 0.124837 },
    { row: 'W33', s: 0.2, g: 0.489837 },
  ])('$row: tanh of width $s deg has G = $g and its inflection at v0 = -0.37 deg', ({ s, g }) => {
    const profile = (v: number): number => EDGE_PROFILES.logistic(v + 0.37, s, 100, 1);
    const found = steepestFall(profile, -2, 2, 0.1, 0.01, 0.1);
    expect(found.fall).toBeCloseTo(g, 6);
    expect(found.at).toBeCloseTo(-0.37, 5);
  });

  const specs: BeamSpec[] = FAMILIES.flatMap((family) =>
    [0.1, 0.2, 0.4].map((sharpnessG) => ({ ...DEFAULT_BEAM, family, sharpnessG, seed: 5 })),
  );
  test.each(specs)(
    '$family: G asked $sharpnessG comes out within 3 %, inflection at v = 0 to 0.001 deg',
    (spec) => {
      const beam = buildBeam(spec);
      const u = Math.tan(-2.5 * DEG);
      const found = steepestFall((v) => beam.intensity(u, v * DEG), -1.6, 1.6, 0.1, 0.01, 0.1);
      // The table's nodes are 0.25 % off, and 0.2 deg apart: that much sharpness it cannot hold.
      expect(found.fall / spec.sharpnessG).toBeGreaterThan(0.97);
      expect(found.fall / spec.sharpnessG).toBeLessThan(1.03);
      expect(Math.abs(found.at)).toBeLessThan(0.001);
    },
  );

  test('erfc(0.5) = 0.479500 and erfc(-1) = 1.842701 (tables of the error function)', () => {
    expect(erfc(0.5)).toBeCloseTo(0.4795001, 6);
    expect(erfc(-1)).toBeCloseTo(1.8427008, 6);
  });
});

test('a left-hand traffic beam is the mirror image of the right-hand one: 3 deg left 1 deg down equals 3 deg right', () => {
  for (const family of ['logistic', 'erf', 'skewed'] as const) {
    const right = buildBeam({ ...DEFAULT_BEAM, family, traffic: 'right' });
    const left = buildBeam({ ...DEFAULT_BEAM, family, traffic: 'left' });
    for (const [u, v] of [
      [0.05, -0.02],
      [-0.03, 0.004],
      [0.01, 0.011],
    ] as const) {
      expect(left.intensity(-u, v) / right.intensity(u, v)).toBeCloseTo(1, 9);
    }
  }
});
