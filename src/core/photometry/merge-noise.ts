import { linearFromSrgb, srgbFromLinear } from './transfer-curve.ts';

/** What one frame's camera does to small differences of light; all in units of the frame's own full scale. */
export interface FrameNoise {
  /** Pixels averaged in one cell. */
  readonly pixels: number;
  /** ISO speed, 100 when the file does not say. */
  readonly iso: number;
}

/** Electrons at full scale at ISO 100 and read noise, of a phone's small sensor (common practice, no source). */
const FULL_SCALE_ELECTRONS = 5000;
const READ_ELECTRONS = 4;
/** What a tone curve known to some extent does to ratios: relative, everywhere. */
const CURVE_U = 0.004;
/** Coded value from which the shoulder of a camera's curve is not to be trusted, and its doubt at white. */
const SHOULDER = 0.88;
const SHOULDER_U = 0.12;
/** Coded value below which a camera may crush black, and its doubt at nothing. */
const TOE = 0.06;
const TOE_U = 0.25;
/** Electrons from which a pixel's noise no longer reaches below black, where cameras cut it off and so raise the mean. */
const CLEAR_ELECTRONS = 15;
/** Below this coded value a cell is black: how dark it is can't be told. */
const BLACK = 0.006;

/**
 * Variance of one cell's light: photons, reading, 8-bit steps, and the ends of the curve, where cameras bend most.
 *
 * @param light mean light of the cell as a share of full scale, from all frames together (a cell's own noisy value would
 *   make dark flukes count more). @returns variance in full scale squared; infinite where the frame shows black.
 */
export function cellVariance(light: number, noise: FrameNoise): number {
  const coded = srgbFromLinear(Math.min(1, Math.max(0, light)));
  if (coded < BLACK) return Number.POSITIVE_INFINITY;
  const electrons = (FULL_SCALE_ELECTRONS * 100) / noise.iso;
  const photons = light / electrons;
  const reading = (READ_ELECTRONS / electrons) ** 2;
  const step =
    linearFromSrgb(Math.min(1, coded + 0.5 / 255)) - linearFromSrgb(Math.max(0, coded - 0.5 / 255));
  const shoulder = SHOULDER_U * Math.max(0, (coded - SHOULDER) / (1 - SHOULDER)) ** 2;
  const toe = TOE_U * Math.max(0, 1 - coded / TOE) ** 2;
  const cut = TOE_U * Math.max(0, 1 - (light * electrons) / CLEAR_ELECTRONS) ** 2;
  const curve = light * Math.hypot(CURVE_U, shoulder, toe, cut);
  return (photons + reading + (step * step) / 12) / Math.max(1, noise.pixels) + curve * curve;
}

/** Least light, share of full scale, whose mean a camera of this ISO speed shows truly. */
export function clearLight(iso: number): number {
  return (CLEAR_ELECTRONS * iso) / (FULL_SCALE_ELECTRONS * 100);
}

/** Whether a frame shows a cell as black: known to be dark, but not how dark. */
export function isBlack(light: number): boolean {
  return srgbFromLinear(Math.max(0, light)) < BLACK;
}
