import type { BeamFinding } from '../../../src/core/beam/finding.ts';
import { readBeam } from '../../../src/core/beam/read-beam.ts';
import type { LightGrid } from '../../../src/core/sampling/light-grid.ts';
import { tanFromDeg } from '../../../src/core/units.ts';
import { type Beam, type BeamSpec, buildBeam, DEFAULT_BEAM, makeScene } from '../../../src/renderer/index.ts';
import { readyLamp } from '../../../src/renderer/lamp.ts';
import { generator } from './drawn-grid.ts';

/** A beam's light on the grid of a board far away, grain of 1 % and a little noise: for signs, without camera. */
export function farGrid(beam: Beam, tiltDeg = 0, seed = 1): LightGrid {
  const first = makeScene().lamps[0]!;
  const lamp = readyLamp({ ...first, beam, aim: { dropPct: 1.2, offsetPct: 0.3, tiltDeg } });
  const next = generator(seed);
  const normal = () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
  const [du, dv] = [tanFromDeg(0.1), tanFromDeg(0.02)];
  const [columns, rows] = [190, 560];
  const u0 = -0.16;
  const v0 = -0.105;
  const light = new Float32Array(columns * rows);
  let peak = 0;
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const e = lamp.intensity(u0 + c * du, v0 + r * dv);
      light[r * columns + c] = e;
      if (e > peak) peak = e;
    }
  }
  for (let i = 0; i < light.length; i++)
    light[i] = Math.max(0, 0.8 * (light[i]! / peak) * (1 + 0.01 * normal()) + 0.0003 * normal());
  return {
    columns,
    rows,
    u0,
    du,
    v0,
    dv,
    light,
    clipped: new Float32Array(columns * rows),
    pixelsPerCell: 20,
  };
}

/** What is read of a lamp of 60 mm at 8 m, traffic on the right. */
export function readFar(beam: Beam, tiltDeg = 0, trafficSide: 'left' | 'right' = 'right'): BeamFinding {
  return readBeam(farGrid(beam, tiltDeg), {
    shot: 'shot',
    lamp: 'lamp',
    function: 'passing',
    trafficSide,
    distanceMm: 8000,
    litHeightMm: 60,
    litWidthMm: 64,
  });
}

export function beamOf(parts: Partial<BeamSpec> = {}): Beam {
  return buildBeam({ ...DEFAULT_BEAM, ...parts });
}

export function codesOf(finding: BeamFinding): readonly string[] {
  return finding.signs.map((s) => s.code);
}

export function textOf(finding: BeamFinding, code: string): string {
  return finding.signs.find((s) => s.code === code)?.text ?? '';
}
