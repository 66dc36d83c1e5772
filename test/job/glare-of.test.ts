import { describe, expect, test } from 'vitest';
import type { BeamFinding, CutOffFinding } from '../../src/core/beam/finding.ts';
import type { CommonAim } from '../../src/core/rules/common-aim.ts';
import { glareSign } from '../../src/job/glare-of.ts';
import { beamOf, readFar } from '../core/beam/signs-grid.ts';

function aimWith(minPct: number, farShiftMax = 0): CommonAim {
  return {
    kind: 'shared',
    feature: 'cut-off',
    place: 'far',
    dropBand: { minPct, maxPct: minPct + 2.25 },
    dropPct: minPct + 0.8,
    lateralBand: null,
    offsetPct: null,
    farShiftPct: { min: 0, max: farShiftMax },
    each: [],
    why: '',
    figureChecked: true,
  };
}

const cutOff = (finding: BeamFinding): CutOffFinding => {
  if (finding.found !== 'cut-off') throw new Error(finding.found);
  return finding;
};
// The edge lies 1.2 % down, whatever the rules say.
const BEAM = cutOff(readFar(beamOf()));
const drop = { value: BEAM.dropPct.value, parts: { 'lamp-height@a': 0.05 } } as const;

describe('light where the schemes want none', () => {
  test('an edge 1.2 % down where the rules end at 2.4 %: at least a fifth of the peak is in their dark zone', () => {
    const sign = glareSign(BEAM, drop, aimWith(2.4));
    expect(sign?.code).toBe('glare-in-zone');
    expect(Number(sign?.text.match(/At least (\d+) %/)?.[1])).toBeGreaterThan(20);
    expect(sign?.text).toContain('2.40 % down');
  });

  test('inside the band, or within its own U of it, or of what near field may have lifted, nothing is said', () => {
    expect(glareSign(BEAM, drop, aimWith(0.5))).toBeNull();
    expect(glareSign(BEAM, drop, aimWith(1.25))).toBeNull();
    expect(glareSign(BEAM, drop, aimWith(2.4, 1.3))).toBeNull();
  });

  test('light by height is told from the top down and grows more than 25 times across the edge', () => {
    const rows = BEAM.lightByDrop!;
    expect(rows[0]!.dropPct).toBeLessThan(rows[rows.length - 1]!.dropPct);
    const at = (pct: number) => rows.find((r) => r.dropPct > pct)!.share;
    expect(at(2.2) / at(-0.6)).toBeGreaterThan(25);
  });
});
