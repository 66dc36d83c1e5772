import { describe, expect, test } from 'vitest';
import type { CutOffFinding } from '../../../src/core/beam/finding.ts';
import { type BeamContext, readBeam } from '../../../src/core/beam/read-beam.ts';
import type { LightGrid } from '../../../src/core/sampling/light-grid.ts';
import { standardUncertainty } from '../../../src/core/uncertainty/estimate.ts';
import { tanFromDeg } from '../../../src/core/units.ts';
import { BEAM, type DrawnBeam, drawGrid, mirrored, PROFILES, trueDropAt } from './drawn-grid.ts';

const CONTEXT: BeamContext = {
  shot: 'shot-1',
  lamp: 'left-dip',
  function: 'passing',
  trafficSide: 'left',
  distanceMm: 6000,
  litHeightMm: null,
  litWidthMm: null,
};

function cutOff(grid: LightGrid, context: Partial<BeamContext> = {}): CutOffFinding {
  const finding = readBeam(grid, { ...CONTEXT, ...context });
  if (finding.found !== 'cut-off') throw new Error(`found ${JSON.stringify(finding).slice(0, 200)}`);
  return finding;
}

const truth = (b: DrawnBeam) => trueDropAt(b, b.offsetPct / 100 - b.side * tanFromDeg(2.5));

describe('the cut-off', () => {
  test.each(Object.keys(PROFILES) as (keyof typeof PROFILES)[])(
    'a %s edge 1.3 % down: drop within 0.03 %, elbow within 0.15 %, tilt within 0.3 deg',
    (family) => {
      const beam = { ...BEAM, profile: PROFILES[family] };
      const read = cutOff(drawGrid(beam, 3));
      expect(Math.abs(read.dropPct.value - truth(beam))).toBeLessThan(0.03);
      expect(read.elbow.found).toBe(true);
      if (read.elbow.found) expect(Math.abs(read.elbow.offsetPct.value - beam.offsetPct)).toBeLessThan(0.15);
      expect(Math.abs(read.tiltDeg.value - beam.tiltDeg)).toBeLessThan(0.3);
    },
  );

  test.each([
    { name: 'a 15-degree rise', change: {}, kind: 'rise' },
    { name: 'a 45-degree step to a shelf', change: { slope: 1, lengthDeg: 0.573 }, kind: 'step' },
    { name: 'a short ramp to a shelf', change: { slope: 0.6, lengthDeg: 0.8 }, kind: 'step' },
    { name: 'a level edge', change: { slope: 0 }, kind: 'flat' },
  ])('$name is told as such, to either side', ({ change, kind }) => {
    for (const side of [1, -1] as const) {
      const read = cutOff(drawGrid({ ...BEAM, ...change, side }, 11));
      expect(read.kind).toBe(kind);
      expect(read.riseSide).toBe(kind === 'flat' ? 'none' : side === 1 ? 'right' : 'left');
    }
  });

  test('a mirrored picture flips offset, tilt and rise side, and leaves the drop', () => {
    const grid = drawGrid(BEAM, 5);
    const there = cutOff(grid);
    const back = cutOff(mirrored(grid));
    expect(back.riseSide).toBe('right');
    expect(back.dropPct.value).toBeCloseTo(there.dropPct.value, 2);
    expect(back.tiltDeg.value).toBeCloseTo(-there.tiltDeg.value, 1);
    expect([there.elbow.found, back.elbow.found]).toEqual([true, true]);
    if (there.elbow.found && back.elbow.found)
      expect(back.elbow.offsetPct.value).toBeCloseTo(-there.elbow.offsetPct.value, 1);
    expect(back.signs.map((s) => s.code)).toContain('wrong-side');
    expect(there.signs.map((s) => s.code)).not.toContain('wrong-side');
  });

  test('half the light gives the same drop within its own uncertainty', () => {
    const a = cutOff(drawGrid(BEAM, 7));
    const b = cutOff(drawGrid({ ...BEAM, peak: BEAM.peak / 2 }, 7));
    expect(Math.abs(a.dropPct.value - b.dropPct.value)).toBeLessThan(2 * standardUncertainty(a.dropPct));
  });

  test('a beam moved 0.45 % down and 0.6 % right is read 0.45 % lower and 0.6 % further right', () => {
    const a = cutOff(drawGrid(BEAM, 9));
    const b = cutOff(drawGrid({ ...BEAM, dropPct: BEAM.dropPct + 0.45, offsetPct: BEAM.offsetPct + 0.6 }, 9));
    expect(b.dropPct.value - a.dropPct.value).toBeCloseTo(0.45, 1);
    expect([a.elbow.found, b.elbow.found]).toEqual([true, true]);
    if (a.elbow.found && b.elbow.found)
      expect(Math.abs(b.elbow.offsetPct.value - a.elbow.offsetPct.value - 0.6)).toBeLessThan(0.12);
  });

  test('room light makes the edge read lower, by no more than three times the ambient part of the budget', () => {
    const dark = cutOff(drawGrid(BEAM, 13));
    const lit = cutOff(drawGrid({ ...BEAM, ambient: 0.002 }, 13));
    expect(lit.dropPct.value).toBeGreaterThan(dark.dropPct.value);
    expect(lit.dropPct.value - dark.dropPct.value).toBeLessThan(
      3 * Math.abs(lit.dropPct.parts.ambient ?? 0) + 0.01,
    );
  });

  test('over 24 noisy edges the error keeps to its stated noise and shape: rms of z between 0.5 and 1.3', () => {
    let sum = 0;
    let n = 0;
    for (const profile of Object.values(PROFILES)) {
      for (let k = 0; k < 6; k++) {
        const beam = {
          ...BEAM,
          profile,
          softDeg: 0.08 + 0.02 * k,
          dropPct: 0.8 + 0.3 * k,
          offsetPct: 0.4 * k - 1,
          noise: 0.012,
        };
        const read = cutOff(drawGrid(beam, 100 + k));
        const own = Math.hypot(
          read.dropPct.parts['noise@shot-1'] ?? 0,
          read.dropPct.parts['shape-model@shot-1'] ?? 0,
        );
        sum += ((read.dropPct.value - truth(beam)) / own) ** 2;
        n++;
      }
    }
    const rms = Math.sqrt(sum / n);
    expect(rms).toBeGreaterThan(0.5);
    expect(rms).toBeLessThan(1.3);
  });
});

describe('the bright zone of a lamp without a cut-off', () => {
  test('its top edge is where the light falls fastest above the hot spot, its left edge likewise to the left', () => {
    const grid = drawGrid({ ...BEAM, slope: 0, softDeg: 0.4, tiltDeg: 0, side: 1, offsetPct: 0.4 });
    const finding = readBeam(grid, { ...CONTEXT, function: 'driving' });
    if (finding.found !== 'hot-spot') throw new Error(`found ${finding.found}`);
    const top = finding.topEdgeDropPct!;
    const beam = { ...BEAM, slope: 0, softDeg: 0.4, tiltDeg: 0, side: 1 as const, offsetPct: 0.4 };
    expect(Math.abs(top.value - trueDropAt(beam, 0.022))).toBeLessThan(0.1);
    // A Gaussian 8 % wide about 2.2 %: its log falls ever faster, so the edge lies well to the left.
    expect(finding.leftEdgeOffsetPct).not.toBeNull();
    expect(finding.leftEdgeOffsetPct!.value).toBeLessThan(0);
  });
});

describe('what cannot be read is a result with its reason', () => {
  test('darkness is too dark', () => {
    const finding = readBeam(drawGrid({ ...BEAM, peak: 0.004 }), CONTEXT);
    expect(finding).toMatchObject({ found: 'nothing', why: 'too-dark' });
  });

  test('a burnt-out board is too bright', () => {
    const grid = drawGrid(BEAM);
    expect(
      readBeam({ ...grid, clipped: new Float32Array(grid.light.length).fill(1) }, CONTEXT),
    ).toMatchObject({
      found: 'nothing',
      why: 'too-bright',
    });
  });

  test('a beam without an edge gives its hot spot and says why', () => {
    const finding = readBeam(drawGrid({ ...BEAM, softDeg: 2.5, stray: 0.3 }), CONTEXT);
    expect(finding.found).toBe('hot-spot');
  });

  test('a main beam is read by its hot spot even when an edge shows', () => {
    const finding = readBeam(drawGrid(BEAM), { ...CONTEXT, function: 'driving' });
    expect(finding.found).toBe('hot-spot');
  });

  test('hardly any board is too little board', () => {
    const grid = drawGrid(BEAM);
    const light = grid.light.map((e, i) => (i % 10 === 0 ? e : Number.NaN));
    expect(readBeam({ ...grid, light }, CONTEXT)).toMatchObject({
      found: 'nothing',
      why: 'too-little-board',
    });
  });
});
