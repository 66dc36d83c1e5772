import { InputError } from '../core/errors.ts';
import type { Beam } from './beam.ts';
import type { CutOffShape } from './cut-off-shape.ts';
import { LogGrid } from './log-grid.ts';

/**
 * Lamps with a fault: each function does to a good beam what the fault does to its light. Beams are intensities in
 * every direction with the elbow as built at (0, 0), so a faulty beam takes the place of the good one in a lamp.
 */

const DEG = Math.PI / 180;

/** A copy of a beam, aimed off, with its share of the light. */
export interface StrayCopy {
  readonly rightDeg: number;
  readonly upDeg: number;
  readonly share: number;
}

/**
 * Bowl, lens or bulb turned in its seat: the whole beam turns about the lamp's axis, which lies above the elbow.
 * @param deg + right side up. @param axisUpDeg how far above the elbow the axis lies (1 % by design: standards CUT-4).
 */
export function turned(beam: Beam, deg: number, axisUpDeg = 0.573): Beam {
  const [cos, sin] = [Math.cos(deg * DEG), Math.sin(deg * DEG)];
  const up = Math.tan(axisUpDeg * DEG);
  return {
    ...beam,
    intensity: (u, v) => beam.intensity(u * cos + (v - up) * sin, -u * sin + (v - up) * cos + up),
  };
}

/** A lamp made for the other side of the road: the same beam seen in a mirror. */
export function otherSided(beam: Beam): Beam {
  return {
    ...beam,
    cutOff: beam.cutOff && mirrored(beam.cutOff),
    intensity: (u, v) => beam.intensity(-u, v),
  };
}

/** Bulb in its holder the wrong way up: the beam is thrown up instead of down. */
export function upsideDown(beam: Beam): Beam {
  return { ...beam, cutOff: null, intensity: (u, v) => beam.intensity(u, -v) };
}

/**
 * A part of the bowl or lens aimed off, or two sources behind one lens: some of the light draws the same picture
 * elsewhere. What is left of the shares stays where it belongs.
 */
export function withCopies(beam: Beam, copies: readonly StrayCopy[]): Beam {
  const stray = copies.reduce((sum, c) => sum + c.share, 0);
  if (!(stray >= 0 && stray <= 1)) throw new InputError('copies', 'shares that add up to at most 1', stray);
  const moved = copies.map((c) => ({
    du: Math.tan(c.rightDeg * DEG),
    dv: Math.tan(c.upDeg * DEG),
    share: c.share,
  }));
  return {
    ...beam,
    intensity: (u, v) => {
      let sum = stray < 1 ? (1 - stray) * beam.intensity(u, v) : 0;
      for (const m of moved) sum += m.share * beam.intensity(u - m.du, v - m.dv);
      return sum;
    },
  };
}

/** Widths of light scattered by a dull lens, deg, and how it is shared among them: mostly forwards, some far off. */
const SCATTER = [
  { sigma: 0.9, share: 0.3 },
  { sigma: 2.5, share: 0.4 },
  { sigma: 7, share: 0.3 },
] as const;

/**
 * Haze, dirt or mist on the lens: a share of the light is scattered over several degrees, the rest goes on as before.
 * The intensity is convolved with a sum of Gaussians.
 */
export function hazed(beam: Beam, share: number): Beam {
  if (!(share >= 0 && share < 1)) throw new InputError('share', 'a share from 0 to below 1', share);
  const clouds = SCATTER.map((s) => ({ share: s.share * share, light: scattered(beam, s.sigma) }));
  return {
    ...beam,
    intensity: (u, v) => {
      let sum = (1 - share) * beam.intensity(u, v);
      for (const c of clouds) sum += c.share * Math.exp(c.light.logAt(u, v));
      return sum;
    },
  };
}

/**
 * Bulb not pushed home: its filament stands away from the focus, so that every zone of the bowl aims its piece of the
 * picture a little elsewhere: the picture is convolved with a Gaussian, and stands somewhat higher.
 * @param sigmaDeg its width, 0.3 or more.
 */
export function outOfFocus(beam: Beam, sigmaDeg: number): Beam {
  if (!(sigmaDeg >= 0.3)) throw new InputError('sigmaDeg', 'a width of 0.3 deg or more', sigmaDeg);
  const blurred = scattered(beam, sigmaDeg);
  const up = 0.3 * Math.tan(sigmaDeg * DEG);
  return {
    ...beam,
    finest: Math.max(beam.finest, 0.5 * sigmaDeg * DEG),
    intensity: (u, v) => Math.exp(blurred.logAt(u, v - up)),
  };
}

/** How a light source that the lamp was not made for spoils its picture; see `unfitSource`. */
export interface UnfitSource {
  /** Separate chips: copies of the picture, side by side and above each other. */
  readonly copies: readonly StrayCopy[];
  /** Dark place below the elbow: the source sends nothing forwards. Depth 0 to 1. */
  readonly hole: {
    readonly rightDeg: number;
    readonly downDeg: number;
    readonly radiusDeg: number;
    readonly depth: number;
  };
  /** Streaks above the edge, as shares of the beam's peak. */
  readonly streaks: readonly {
    readonly rightDeg: number;
    readonly upDeg: number;
    readonly lengthDeg: number;
    readonly thickDeg: number;
    readonly share: number;
  }[];
}

/** Chips of another size and place than the filament that the bowl was worked out for. @param peakCd of the good beam. */
export function unfitSource(beam: Beam, source: UnfitSource, peakCd: number): Beam {
  const blurred = withCopies(beam, source.copies);
  const { hole, streaks } = source;
  return {
    ...blurred,
    intensity: (u, v) => {
      const a = (u / DEG - hole.rightDeg) / hole.radiusDeg;
      const b = (v / DEG + hole.downDeg) / (0.7 * hole.radiusDeg);
      let sum = blurred.intensity(u, v) * (1 - hole.depth * Math.exp(-0.5 * (a * a + b * b)));
      for (const s of streaks) {
        const x = (u / DEG - s.rightDeg) / s.lengthDeg;
        const y = (v / DEG - s.upDeg) / s.thickDeg;
        sum += s.share * peakCd * Math.exp(-0.5 * (x * x + y * y));
      }
      return sum;
    },
  };
}

function mirrored(shape: CutOffShape): CutOffShape {
  return {
    ...shape,
    riseSide: shape.riseSide === 'left' ? 'right' : shape.riseSide === 'right' ? 'left' : 'none',
    height: (u) => shape.height(-u),
    slope: (u) => -shape.slope(-u),
  };
}

/** The beam convolved with a Gaussian: line by line, then column by column, on a raster a third of its width. */
function scattered(beam: Beam, sigmaDeg: number): LogGrid {
  const step = Math.min(1, sigmaDeg / 3);
  const halfWide = 24 + 2 * sigmaDeg;
  const halfHigh = 14 + 2 * sigmaDeg;
  const columns = 2 * Math.ceil(halfWide / step) + 1;
  const rows = 2 * Math.ceil(halfHigh / step) + 1;
  const u0 = -((columns - 1) / 2) * step;
  const v0 = -((rows - 1) / 2) * step;
  const light = new Float64Array(columns * rows);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++)
      light[j * columns + i] = beam.intensity((u0 + i * step) * DEG, (v0 + j * step) * DEG);
  }
  blurLines(light, rows, columns, columns, 1, sigmaDeg / step);
  blurLines(light, columns, rows, 1, columns, sigmaDeg / step);
  return new LogGrid(
    { u0: u0 * DEG, du: step * DEG, v0: v0 * DEG, dv: step * DEG },
    columns,
    rows,
    light.map((l) => Math.log(Math.max(1e-3, l))),
  );
}

function blurLines(
  values: Float64Array,
  lines: number,
  length: number,
  perLine: number,
  perStep: number,
  sigma: number,
): void {
  const reach = Math.ceil(3.5 * sigma);
  const kernel = Float64Array.from({ length: reach + 1 }, (_, k) =>
    Math.exp((-0.5 * k * k) / (sigma * sigma)),
  );
  const whole = kernel.reduce((s, w, k) => s + (k === 0 ? w : 2 * w), 0);
  const line = new Float64Array(length);
  for (let l = 0; l < lines; l++) {
    for (let i = 0; i < length; i++) line[i] = values[l * perLine + i * perStep]!;
    for (let i = 0; i < length; i++) {
      let sum = 0;
      for (let k = -reach; k <= reach; k++) {
        const at = i + k;
        if (at >= 0 && at < length) sum += kernel[Math.abs(k)]! * line[at]!;
      }
      values[l * perLine + i * perStep] = sum / whole;
    }
  }
}
