import type { TrafficSide } from '../core/frames.ts';
import type { Beam } from './beam.ts';
import { type BeamKind, cutOffShape } from './cut-off-shape.ts';
import { steepestFall } from './inflection.ts';
import { readyLamp } from './lamp.ts';
import type { Lm63 } from './lm63.ts';
import { smoothTable } from './table-beam.ts';
import { farTruth } from './truth.ts';

const DEG = Math.PI / 180;

/** What a file does not say about the lamp measured. */
export interface Lm63Lamp {
  readonly kind: BeamKind;
  readonly traffic: TrafficSide;
  /** For kinds with a ramp of any slope. */
  readonly rampDeg?: number;
  readonly shelfPct?: number;
}

/**
 * Intensity in every direction (tangents u right, v up, from the file's own axis), smoothly between the file's angles.
 * A type C file's axis is taken straight down when its greatest intensity lies within 45 deg of that (a lamp measured
 * hanging), else level, at horizontal angle 0.
 */
export function lm63Intensity(file: Lm63): (u: number, v: number) => number {
  const peak = Math.max(...file.table.values.flat());
  const at = smoothTable(file.table, peak * 1e-5);
  if (file.type === 'A') {
    return (u, v) => at(Math.atan(u) / DEG, Math.atan(v / Math.hypot(1, u)) / DEG);
  }
  if (file.type === 'B') {
    return (u, v) => at(Math.atan(u / Math.hypot(1, v)) / DEG, Math.atan(v) / DEG);
  }
  const row = file.table.values.findIndex((values) => values.includes(peak));
  const hanging = (file.table.vDeg[row] ?? 0) < 45;
  return (u, v) => {
    const length = Math.hypot(1, u, v);
    // Horizontal angles run anticlockwise from above, so to the left.
    const [down, ahead] = hanging ? [1, v] : [-v, 1];
    const h = Math.atan2(-u, ahead) / DEG;
    return at(h < 0 ? h + 360 : h, Math.acos(down / length) / DEG);
  };
}

/**
 * A measured lamp as a beam: its elbow (or centre) found by the same dense evaluation as the truth, and moved to
 * (0, 0), so that it can be aimed as the built beams are.
 */
export function lm63Beam(file: Lm63, lamp: Lm63Lamp): Beam {
  const intensity = lm63Intensity(file);
  const cutOff = cutOffShape({ rampDeg: 30, shelfPct: 0.7, elbowRoundDeg: 0.1, ...lamp });
  const aim = { dropPct: 0, offsetPct: 0, tiltDeg: 0 };
  if (cutOff) {
    const column = cutOff.riseSide === 'left' ? 2.5 : cutOff.riseSide === 'right' ? -2.5 : 0;
    const fall = steepestFall(
      (v) => intensity(column * DEG, v),
      -4 * DEG,
      4 * DEG,
      0.1 * DEG,
      0.01 * DEG,
      0.1 * DEG,
    );
    aim.dropPct = -100 * fall.at;
    const finest = Math.max(0.12, Math.min(1, 0.08 / Math.max(0.05, fall.fall))) * DEG;
    const beam: Beam = { intensity, cutOff, finest, fringe: 0 };
    // The truth is looked for near the aim given: let both settle on each other.
    for (let i = 0; i < 4; i++) {
      const truth = farTruth({ ...bare(beam), intensity, aim });
      aim.dropPct = truth.elbow?.dropPct ?? truth.dropPct ?? aim.dropPct;
      aim.offsetPct = truth.elbow?.offsetPct ?? 0;
    }
    return { ...beam, intensity: moved(intensity, aim) };
  }
  const beam: Beam = { intensity, cutOff: null, finest: 0.4 * DEG, fringe: 0 };
  const { hotSpot } = farTruth({ ...bare(beam), intensity, aim });
  return { ...beam, intensity: moved(intensity, hotSpot) };
}

function bare(beam: Beam): ReturnType<typeof readyLamp> {
  return readyLamp({
    beam,
    aim: { dropPct: 0, offsetPct: 0, tiltDeg: 0 },
    opening: { filling: 'point', widthMm: 0, heightMm: 0, seed: 1 },
    place: { right: 0, forward: 0, up: 0 },
    colour: [1, 1, 1],
    lit: true,
  });
}

function moved(
  intensity: (u: number, v: number) => number,
  by: { readonly dropPct: number; readonly offsetPct: number },
): (u: number, v: number) => number {
  return (u, v) => intensity(u + by.offsetPct / 100, v - by.dropPct / 100);
}
