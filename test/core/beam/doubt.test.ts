import { describe, expect, test } from 'vitest';
import type { BeamFinding, CutOffFinding } from '../../../src/core/beam/finding.ts';
import { type BeamContext, readBeam } from '../../../src/core/beam/read-beam.ts';
import type { LightGrid } from '../../../src/core/sampling/light-grid.ts';
import { standardUncertainty } from '../../../src/core/uncertainty/estimate.ts';
import { BEAM, drawGrid, edgeHeight, lightAt } from './drawn-grid.ts';

const CONTEXT: BeamContext = {
  shot: 'shot-1',
  lamp: 'left-dip',
  function: 'passing',
  trafficSide: 'left',
  distanceMm: 5200,
  litHeightMm: 60,
  litWidthMm: 70,
};
const DEG = Math.PI / 180;

/** The same grid with every cell's light changed. */
function changed(grid: LightGrid, change: (light: number, u: number, v: number) => number): LightGrid {
  const light = grid.light.map((e, i) => {
    const c = i % grid.columns;
    const r = (i - c) / grid.columns;
    return change(e, grid.u0 + c * grid.du, grid.v0 + r * grid.dv);
  });
  return { ...grid, light };
}

function whyOf(finding: BeamFinding): string {
  return finding.found === 'nothing' ? finding.why : finding.found;
}

function cutOff(finding: BeamFinding): CutOffFinding {
  if (finding.found !== 'cut-off') throw new Error(`${finding.found}: ${whyOf(finding)}`);
  return finding;
}

const good = drawGrid(BEAM, 31);
const plain = cutOff(readBeam(good, CONTEXT));

describe('what speaks against a cut-off', () => {
  test('an ordinary beam is read with no doubt added: no sign of a disturbed edge', () => {
    const codes = plain.signs.map((s) => s.code);
    for (const code of ['uneven-edge', 'brighter-upwards', 'bright-patch']) expect(codes).not.toContain(code);
    expect(2 * standardUncertainty(plain.dropPct)).toBeLessThan(0.25);
  });

  test('a round spot of 2.6 deg radius with a rim of 0.15 deg, as a torch throws it, is no beam', () => {
    const torch = changed(good, (_, u, v) => {
      const r = Math.hypot(u + 0.003, v + 0.026) / DEG;
      return 0.5 * Math.exp(-((r / 1.3) ** 2)) + 0.2 / (1 + Math.exp((r - 2.6) / 0.15)) + 0.002;
    });
    const read = readBeam(torch, CONTEXT);
    expect(read.found).not.toBe('cut-off');
  });

  test('a main beam, as steep downwards as upwards, gets no cut-off', () => {
    const main = changed(good, (_, u, v) => {
      const [a, b] = [(u - 0.002) / (3 * DEG), (v + 0.012) / (0.9 * DEG)];
      return 0.6 * Math.exp(-0.5 * (a * a + b * b)) + 0.002;
    });
    expect(readBeam(main, CONTEXT).found).not.toBe('cut-off');
  });

  test('a second beam 1.4 % lower and as bright leaves two edges: refused, and told how far apart to 0.3 deg', () => {
    const other = { ...BEAM, dropPct: BEAM.dropPct + 1.4 };
    const both = changed(good, (light, u, v) => light + lightAt(other, u, v));
    const read = readBeam(both, CONTEXT);
    expect(whyOf(read)).toBe('several-edges');
    if (read.found !== 'nothing') return;
    const away = Number(/runs ([\d.]+) degrees below/.exec(read.detail)?.[1]);
    expect(Math.abs(away - 1.4 / (100 * DEG))).toBeLessThan(0.3);
    expect(read.advice).toContain('other lamp');
  });

  test('a dark band 0.4 deg high, 0.9 deg below the edge, is a shadow, groove or pulse: refused', () => {
    const banded = changed(good, (light, u, v) => {
      const under = (edgeHeight(BEAM, u) - v) / DEG;
      return light * (Math.abs(under - 0.9) < 0.2 ? 0.2 : 1);
    });
    expect(whyOf(readBeam(banded, CONTEXT))).toBe('shadow-at-edge');
  });

  test('a joint of 0.06 deg and paint darker by 15 % beyond it, 0.1 deg over the edge, is told', () => {
    const at = -BEAM.dropPct / 100 + 0.1 * DEG;
    const level = { ...BEAM, tiltDeg: 0 };
    const jointed = changed(drawGrid(level, 31), (light, _, v) => {
      if (Math.abs(v - at) < 0.03 * DEG) return 0.15 * light;
      return v > at ? 0.85 * light : light;
    });
    expect(['lines-on-board', 'knife-edge', 'shadow-at-edge']).toContain(whyOf(readBeam(jointed, CONTEXT)));
  });

  test('room light three times as bright as the light just below the edge drowns it', () => {
    const drowned = changed(good, (light) => light + 0.6);
    expect(readBeam(drowned, CONTEXT).found).not.toBe('cut-off');
  });

  test('a level beam that slopes by 8 deg is a vehicle that leans, not a rise', () => {
    const leaning = drawGrid({ ...BEAM, slope: 0, tiltDeg: 8 }, 33);
    const read = readBeam(leaning, CONTEXT);
    expect(whyOf(read)).toBe('leaning');
    expect(read.found === 'nothing' && read.detail).toContain('right side up');
  });

  test('an elbow 6 % aside of straight ahead is not taken for this lamp', () => {
    const aside = drawGrid({ ...BEAM, offsetPct: 6 }, 34);
    expect(whyOf(readBeam(aside, CONTEXT))).toBe('elbow-far-aside');
  });

  test('a photo that goes black at the edge is refused', () => {
    const clipped = changed(good, (light) => Math.max(1e-5, light - 0.12 * BEAM.peak));
    expect(whyOf(readBeam(clipped, CONTEXT))).not.toBe('cut-off');
  });

  test('a patch four times the stray light above one side of the edge widens U and says so', () => {
    const patched = changed(good, (light, u, v) => {
      const [a, b] = [(u + 0.05) / 0.03, (v - 0.02) / 0.05];
      return light + 0.012 * Math.exp(-0.5 * (a * a + b * b));
    });
    const read = cutOff(readBeam(patched, CONTEXT));
    expect(read.signs.map((s) => s.code)).toContain('bright-patch');
    expect(standardUncertainty(read.dropPct)).toBeGreaterThan(standardUncertainty(plain.dropPct));
  });
});
