import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { BeamFinding, CutOffFinding } from '../../src/core/beam/finding.ts';
import type { FarReading } from '../../src/core/beam/joint/far-reading.ts';
import { nearFieldShift } from '../../src/core/beam/near-field.ts';
import {
  type Estimate,
  expandedUncertainty,
  standardUncertainty,
} from '../../src/core/uncertainty/estimate.ts';
import { farInterval } from '../../src/job/far-interval.ts';
import { farOf } from '../../src/job/far-of.ts';

const DROP: Estimate = { value: 1.1, parts: { 'noise@s': 0.02, 'shape-model@s': 0.03, 'lit-size@l': 0.01 } };
const OFFSET: Estimate = { value: -0.6, parts: { 'noise@s': 0.05 } };

function far(change: Partial<FarReading> = {}): FarReading {
  return {
    shiftPct: { value: 0.9, parts: { 'shape-model@s': 0.05, 'lit-size@l': 0.04, 'filling@l': 0.2 } },
    elbowShiftPct: { value: 0.3, parts: { 'shape-model@s': 0.1 } },
    ways: [],
    fillingTold: false,
    ...change,
  };
}

function beam(reading: FarReading | null): CutOffFinding {
  return {
    found: 'cut-off',
    kind: 'rise',
    riseSide: 'left',
    dropPct: DROP,
    dropAtOffsetPct: 3.8,
    tiltDeg: { value: 0.2, parts: {} },
    elbow: { found: true, offsetPct: OFFSET, dropPct: DROP },
    sharpnessG: 0.2,
    linearitySpreadDeg: 0.05,
    hotSpot: null,
    glareShare: null,
    edge: [],
    line: [],
    twoWays: null,
    far: reading,
    signs: [],
  };
}

const NOTHING: BeamFinding = { found: 'nothing', why: 'no-edge', detail: '', advice: '', signs: [] };

describe('the far value of one board', () => {
  test('board and shift add up, cause by cause: 1.1 + 0.9 %, the edge shape 0.03 + 0.05 before squaring', () => {
    const found = farOf(beam(far()), { dropPct: DROP, offsetPct: OFFSET });
    expect(found.dropPct!.value).toBeCloseTo(2, 12);
    expect(found.dropPct!.parts['shape-model@s']).toBeCloseTo(0.08, 12);
    expect(found.dropPct!.parts['lit-size@l']).toBeCloseTo(0.05, 12);
    // JCGM 100, 5.2.2: shared causes are added, then squared.
    expect(standardUncertainty(found.dropPct!)).toBeCloseTo(Math.hypot(0.02, 0.08, 0.05, 0.2), 12);
    expect(found.offsetPct!.value).toBeCloseTo(-0.3, 12);
  });

  test('nothing to say: no cut-off, lit size unknown, no drop on the board, no elbow', () => {
    const none = { dropPct: null, offsetPct: null };
    expect(farOf(NOTHING, { dropPct: DROP, offsetPct: OFFSET })).toEqual(none);
    expect(farOf(beam(null), { dropPct: DROP, offsetPct: OFFSET })).toEqual(none);
    expect(farOf(beam(far()), none)).toEqual(none);
    const flat = farOf(beam(far({ elbowShiftPct: null })), { dropPct: DROP, offsetPct: OFFSET });
    expect(flat.offsetPct).toBeNull();
    expect(flat.dropPct).not.toBeNull();
  });
});

describe('the interval that far rules are judged by', () => {
  test('filling unknown: from none to the full shift of the design page (1.11 % for 170 mm at 5 m, at least)', () => {
    const interval = farInterval(170, 5000, beam(far()));
    expect(interval).toEqual(nearFieldShift(170, 5000));
    expect(interval.minPct).toBe(0);
    expect(interval.maxPct).toBeGreaterThanOrEqual(1.11);
    expect(farInterval(170, 7600, beam(far())).maxPct).toBeGreaterThanOrEqual(0.66);
    expect(farInterval(170, 10000, beam(far())).maxPct).toBeGreaterThanOrEqual(0.47);
  });

  test('filling told: shift plus and minus U', () => {
    const told = far({ fillingTold: true });
    const interval = farInterval(170, 5000, beam(told));
    const U = expandedUncertainty(told.shiftPct);
    expect(interval.minPct).toBeCloseTo(0.9 - U, 12);
    expect(interval.maxPct).toBeCloseTo(0.9 + U, 12);
  });

  test('never below no correction, never upside down, whatever shift is told', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1, max: 3, noNaN: true }),
        fc.double({ min: 0, max: 0.6, noNaN: true }),
        (value, u) => {
          const shiftPct: Estimate = { value, parts: { 'lit-size@l': u } };
          const interval = farInterval(120, 6000, beam(far({ fillingTold: true, shiftPct })));
          expect(interval.minPct).toBeGreaterThanOrEqual(0);
          expect(interval.maxPct).toBeGreaterThanOrEqual(interval.minPct);
          if (value - 2 * u >= 0) expect(interval.maxPct - interval.minPct).toBeCloseTo(4 * u, 9);
        },
      ),
    );
  });

  test('no cut-off, or nothing fitted: the interval from lit height and distance alone', () => {
    expect(farInterval(60, 5000, NOTHING)).toEqual(nearFieldShift(60, 5000));
    expect(farInterval(null, 5000, beam(null))).toEqual(nearFieldShift(null, 5000));
  });
});
