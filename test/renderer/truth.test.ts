import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Beam } from '../../src/renderer/beam.ts';
import { boardIlluminance } from '../../src/renderer/board-illuminance.ts';
import { openingPatterns } from '../../src/renderer/board-light.ts';
import { cutOffShape } from '../../src/renderer/cut-off-shape.ts';
import type { Filling } from '../../src/renderer/filling.ts';
import { edgeTruthAt, makeScene, type SceneParts, sceneTruth } from '../../src/renderer/index.ts';
import { steepestFall } from '../../src/renderer/inflection.ts';
import { type LampSpec, readyLamp } from '../../src/renderer/lamp.ts';
import { boardPlace } from '../../src/renderer/space.ts';
import { beamTruth } from '../../src/renderer/truth.ts';

const DEG = Math.PI / 180;
const SHARP = { sharpnessG: 0.5, elbowRoundDeg: 0.02 };

/** A lamp with a beam of our own making. */
function lampOf(beam: Beam, opening: { filling: Filling; widthMm: number; heightMm: number }) {
  const spec: LampSpec = {
    ...makeScene().lamps[0]!,
    beam,
    aim: { dropPct: 0, offsetPct: 0, tiltDeg: 0 },
    opening: { ...opening, seed: 1 },
  };
  return readyLamp(spec);
}

function flatBoard(distanceMm: number) {
  const stand = { distanceMm, axisFoot: { X: 0, Y: 0 }, outOfPlumbDeg: 0, yawDeg: 0, rollDeg: 0 };
  return boardPlace(stand, null);
}

describe('far truth is the beam as built', () => {
  test.each([
    { kind: 'rise', traffic: 'right', family: 'logistic' },
    { kind: 'rise', traffic: 'left', family: 'logistic' },
    { kind: 'rise', traffic: 'right', family: 'erf' },
    { kind: 'step', traffic: 'left', family: 'logistic' },
  ] as const)('$kind, $traffic, $family, G 0.5: drop 1.37, elbow 0.58 right to 0.01 %', (beam) => {
    const aim = { dropPct: 1.37, offsetPct: 0.58, tiltDeg: 0 };
    const { far } = sceneTruth(makeScene({ beam: { ...beam, ...SHARP }, aim }));
    expect(far.dropPct).toBeCloseTo(1.37, 2);
    expect(Math.abs((far.elbow?.dropPct ?? 9) - 1.37)).toBeLessThan(0.01);
    // Sideways a slope of 15 deg turns 0.003 % of height into 0.01 %.
    expect(Math.abs((far.elbow?.offsetPct ?? 9) - 0.58)).toBeLessThan(0.012);
    expect(Math.abs(far.tiltDeg ?? 9)).toBeLessThan(0.03);
  });

  test('a beam turned by 1.2 deg (right side up) has tilt 1.2, and its left part hangs 0.0914 % lower', () => {
    const aim = { dropPct: 1, offsetPct: -0.3, tiltDeg: 1.2 };
    const { far } = sceneTruth(makeScene({ beam: SHARP, aim }));
    expect(far.tiltDeg).toBeCloseTo(1.2, 1);
    // 100 tan 2.5 deg sin 1.2 deg: 4.366 x 0.02094
    expect((far.dropPct ?? 9) - 1).toBeCloseTo(0.0914, 2);
  });

  test('a US right-hand cut-off 0.8 % above its left part, aimed 0.9 down: 0.1 down at 2 deg right, 0.9 at 4 deg left', () => {
    const beam = { kind: 'us-right', rampDeg: 45, shelfPct: 0.8, sharpnessG: 0.4 } as const;
    const scene = makeScene({
      beam,
      aim: { dropPct: 0.9, offsetPct: 0, tiltDeg: 0 },
      opening: { filling: 'point' },
    });
    expect(edgeTruthAt(scene, 100 * Math.tan(2 * DEG)).farPct).toBeCloseTo(0.1, 2);
    expect(edgeTruthAt(scene, -100 * Math.tan(4 * DEG)).farPct).toBeCloseTo(0.9, 2);
    expect(edgeTruthAt(scene, 100 * Math.tan(2 * DEG)).onBoardPct).toBeCloseTo(0.1, 2);
  });

  test('a driving beam aimed 1.5 down and 0.7 left has its centre there, and no cut-off', () => {
    const { far } = sceneTruth(
      makeScene({ beam: { kind: 'driving' }, aim: { dropPct: 1.5, offsetPct: -0.7, tiltDeg: 0 } }),
    );
    expect(far.hotSpot.dropPct).toBeCloseTo(1.5, 2);
    expect(far.hotSpot.offsetPct).toBeCloseTo(-0.7, 2);
    expect([far.dropPct, far.elbow]).toEqual([null, null]);
  });
});

describe('illuminance', () => {
  // standards 10.6, W37: 10000 cd, board 5 m, E = I D/(D^2 + x^2 + y^2)^1.5.
  test.each([
    { x: 0, lx: 400 },
    { x: 500, lx: 394.074 },
    { x: 1000, lx: 377.146 },
    { x: 2000, lx: 320.164 },
  ])('W37: 10000 cd at 5 m and $x mm aside give $lx lx', ({ x, lx }) => {
    const beam: Beam = { intensity: () => 10000, cutOff: null, finest: 0.01, fringe: 0 };
    const lamp = lampOf(beam, { filling: 'point', widthMm: 0, heightMm: 0 });
    expect(boardIlluminance(lamp, flatBoard(5000))(x, 0)).toBeCloseTo(lx, 3);
    expect(boardIlluminance(lamp, flatBoard(5000))(0, -x)).toBeCloseTo(lx, 3);
  });
});

describe('near field', () => {
  const reference = JSON.parse(
    readFileSync(new URL('../reference/near_field_disc.json', import.meta.url), 'utf8'),
  ) as { rows: { b: number; sDeg: number; diameterMm: number; distanceMm: number; shiftPct: number }[] };

  // test/reference/near_field_disc.py: adaptive quadrature by scipy, written apart from this code.
  test.each(reference.rows)(
    'tanh b $b s $sDeg deg, disc $diameterMm mm at $distanceMm mm: edge $shiftPct % higher, as scipy says, to 0.003 %',
    ({ b, sDeg, diameterMm, distanceMm, shiftPct }) => {
      const s = sDeg * DEG;
      const beam: Beam = {
        intensity: (_, v) => 1000 * 10 ** (-b * Math.tanh(v / s)),
        cutOff: cutOffShape({ kind: 'flat', traffic: 'right', rampDeg: 15, shelfPct: 1, elbowRoundDeg: 0.1 }),
        finest: s,
        fringe: 0,
      };
      const lamp = lampOf(beam, { filling: 'disc', widthMm: diameterMm, heightMm: diameterMm });
      const { onBoard } = beamTruth(lamp, flatBoard(distanceMm));
      expect(Math.abs(-(onBoard.dropPct ?? 9) - shiftPct)).toBeLessThan(0.003);
    },
  );

  // design.md 4: 170 mm +1.9, 1.0, 0.5, 0.3 at 3, 5, 7.6, 10 m; 60 mm +0.5, 0.2, 0.1, 0.05, for an edge not stated.
  // The edge decides: within 30 % for an error function (or 0.015, their rounding), within 60 % for a tanh of log light.
  test.each([
    { mm: 170, distanceMm: 3000, pct: 1.9 },
    { mm: 170, distanceMm: 5000, pct: 1.0 },
    { mm: 170, distanceMm: 7600, pct: 0.5 },
    { mm: 170, distanceMm: 10000, pct: 0.3 },
    { mm: 60, distanceMm: 3000, pct: 0.5 },
    { mm: 60, distanceMm: 5000, pct: 0.2 },
    { mm: 60, distanceMm: 7600, pct: 0.1 },
    { mm: 60, distanceMm: 10000, pct: 0.05 },
  ])('a round lamp of $mm mm reads higher by about $pct % at $distanceMm mm', ({ mm, distanceMm, pct }) => {
    const shift = (family: 'erf' | 'logistic'): number => {
      const opening = { widthMm: mm, heightMm: mm };
      const { far, onBoard } = sceneTruth(makeScene({ beam: { family }, opening, stand: { distanceMm } }));
      return (far.dropPct ?? 0) - (onBoard.dropPct ?? 0);
    };
    expect(Math.abs(shift('erf') - pct)).toBeLessThan(Math.max(0.3 * pct, 0.015));
    expect(Math.abs(shift('logistic') - pct)).toBeLessThan(0.6 * pct);
  });

  test('a lit strip of 300 x 20 mm at 4 m moves the flat edge by less than 0.1 %, a disc of 170 mm by more than 1', () => {
    const shift = (widthMm: number, heightMm: number, filling: Filling): number => {
      const scene = makeScene({ opening: { widthMm, heightMm, filling }, stand: { distanceMm: 4000 } });
      const { far, onBoard } = sceneTruth(scene);
      return (far.dropPct ?? 0) - (onBoard.dropPct ?? 0);
    };
    expect(shift(300, 20, 'strip')).toBeLessThan(0.1);
    expect(shift(170, 170, 'disc')).toBeGreaterThan(1);
  });

  test('the elbow of a 1.2 % ramp is clear behind 50 mm at 3 m, not behind a strip of 200 mm', () => {
    const clear = (widthMm: number, heightMm: number): boolean | undefined =>
      sceneTruth(
        makeScene({
          beam: { kind: 'short-ramp', rampDeg: 30, shelfPct: 0.7 },
          opening: { filling: 'strip', widthMm, heightMm },
          stand: { distanceMm: 3000 },
        }),
      ).onBoard.elbow?.clear;
    expect([clear(50, 40), clear(200, 30)]).toEqual([true, false]);
  });

  test('a point lamp looks the same on a leaning, turned board as far away, to 0.002 %', () => {
    const scene = makeScene({
      opening: { filling: 'point' },
      stand: { distanceMm: 3700, outOfPlumbDeg: 3, yawDeg: -4, rollDeg: 1.5, axisFoot: { X: 140, Y: 610 } },
    });
    const { far, onBoard } = sceneTruth(scene);
    expect(Math.abs((far.dropPct ?? 0) - (onBoard.dropPct ?? 9))).toBeLessThan(0.002);
    expect(Math.abs((far.elbow?.offsetPct ?? 0) - (onBoard.elbow?.offsetPct ?? 9))).toBeLessThan(0.002);
  });
});

describe('what the picture is made of agrees with the truth', () => {
  const cases = (
    [
      ['disc', 170, 170, 3000],
      ['lens-strip', 240, 40, 4000],
      ['facets', 150, 120, 5000],
      ['lower-half-dim', 120, 140, 6000],
      ['ring', 100, 90, 3500],
    ] as const
  ).map(([filling, widthMm, heightMm, distanceMm]) => ({ filling, widthMm, heightMm, distanceMm }));

  test.each(cases)(
    '$filling $widthMm x $heightMm mm at $distanceMm mm: each level lies where the sum over spots has it, to 0.003 %',
    ({ filling, widthMm, heightMm, distanceMm }) => {
      const lamp = readyLamp(
        makeScene({ beam: { sharpnessG: 0.3 }, opening: { filling, widthMm, heightMm, seed: 4 } }).lamps[0]!,
      );
      const area = { uLow: -0.1, uHigh: 0.1, vLow: -0.06, vHigh: 0.06 };
      const grid = openingPatterns(lamp, [distanceMm], area)[0]!;
      const illuminance = boardIlluminance(lamp, flatBoard(distanceMm), 0.15);
      for (const deg of [-3, -1.5, 0.7, 2]) {
        const u = Math.tan(deg * DEG);
        // Intensity from illuminance: E r^2/cos, with r^2/cos = D^2 (1 + u^2 + v^2)^1.5 and D in m.
        const light = (v: number): number =>
          Math.log(
            illuminance(u * distanceMm, v * distanceMm) *
              (distanceMm / 1000) ** 2 *
              (1 + u * u + v * v) ** 1.5,
          );
        const edge = steepestFall((v) => Math.exp(light(v)), -0.05, 0.05, 0.002, 0.0002, 0).at;
        for (const aside of [-0.1, -0.03, 0.03, 0.1]) {
          const v = edge + aside * DEG;
          const slope = (light(v + 0.0005) - light(v - 0.0005)) / 0.001;
          const movedPct = (100 * (grid.logAt(u, v) - light(v))) / slope;
          expect(Math.abs(movedPct), `${deg} deg, ${aside} deg from the edge`).toBeLessThan(0.003);
        }
      }
    },
  );
});

describe('mirror', () => {
  test('a mirrored scene has the mirrored truth: same drops, opposite offsets and tilt', () => {
    const parts = (m: 1 | -1): SceneParts => ({
      beam: { kind: 'step', traffic: m === 1 ? 'right' : 'left', family: 'erf' },
      aim: { dropPct: 0.9, offsetPct: m * 1.13, tiltDeg: m * 0.8 },
      opening: { filling: 'lower-half-dim', widthMm: 150, heightMm: 120 },
      stand: {
        distanceMm: 4100,
        axisFoot: { X: m * 130, Y: 640 },
        yawDeg: m * 2.1,
        rollDeg: m * 0.7,
        outOfPlumbDeg: 1.4,
      },
    });
    const right = sceneTruth(makeScene(parts(1))).onBoard;
    const left = sceneTruth(makeScene(parts(-1))).onBoard;
    expect(left.dropPct).toBeCloseTo(right.dropPct ?? 9, 6);
    expect(left.elbow?.offsetPct).toBeCloseTo(-(right.elbow?.offsetPct ?? 9), 6);
    expect(left.elbow?.dropPct).toBeCloseTo(right.elbow?.dropPct ?? 9, 6);
    expect(left.tiltDeg).toBeCloseTo(-(right.tiltDeg ?? 9), 6);
    expect(left.hotSpot.offsetPct).toBeCloseTo(-right.hotSpot.offsetPct, 3);
    expect(right.elbow?.offsetPct).not.toBeCloseTo(0, 1);
  });
});
