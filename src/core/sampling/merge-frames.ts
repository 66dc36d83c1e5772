import { InputError } from '../errors.ts';
import { cellVariance, type FrameNoise, isBlack } from '../photometry/merge-noise.ts';
import {
  type FrameGains,
  type Overlap,
  type StatedExposure,
  solveGains,
} from '../photometry/merge-ratios.ts';
import type { LightGrid } from './light-grid.ts';
import { median, type SharedBlock, sharedBlocks, usableCells } from './merge-overlap.ts';

/** One frame of a bracket, sampled on the grid that all frames share. */
export interface LinearFrame {
  /** Light as a share of the frame's own full scale. */
  readonly grid: LightGrid;
  /** s·ISO/N² by the file; null when it does not say. */
  readonly exposure: number | null;
  readonly iso: number | null;
}

/** Frames merged to one grid. */
export interface MergedLight {
  /** Full scale is that of the longest frame, or of one whose brightest place is just white; `clipped` only where every frame clips. */
  readonly grid: LightGrid;
  /** ln of the exposure that the grid's full scale stands for, as `gains.ln`. */
  readonly unitLn: number;
  /** Of the frames, then of `others`. */
  readonly gains: FrameGains;
  /** Share that each frame has in the light of the cells about the cut-off (3 to 30 % of the peak). */
  readonly shares: readonly number[];
  /** Frames whose light does not fit the others', and how far off it is (ln): not in the merged grid. */
  readonly odd: readonly {
    readonly frame: number;
    readonly lnOff: number;
    readonly kind: 'level' | 'pattern';
  }[];
  /** Share of known cells that are black in every frame. */
  readonly blackShare: number;
}

/** A frame whose light is this far off its stated exposure was not taken as its file says, or the lamp changed. */
const MOST_OFF_LEVEL = 0.6;
/** Half the cells differing by more than this from a common ratio: the light itself changed, or the camera bent it by place. */
const MOST_OFF_PATTERN = 0.1;
/** Fewer blocks of cells than this compare nothing. */
const LEAST_BLOCKS = 40;
/** What a curve not wholly known leaves in a ratio of two frames, however many cells agree. */
const RATIO_FLOOR = 0.006;

/**
 * Merges frames of one scene in linear light: each cell is the mean of all frames that show it, each brought to one scale
 * by its exposure and weighed by one over its variance. A frame that burns a cell out, or shows it black, has no say there.
 *
 * @param frames at least one, all on the same cells.
 * @param others photos not merged whose exposures are wanted on the same scale (lamps off).
 * @throws InputError for no frame, or grids that differ.
 * @see The weights are those of inverse variance with photon and read noise; the pilot light that they are worked out
 *   from is the sum of light over the sum of exposures, the maximum-likelihood estimate for photons alone.
 */
export function mergeFrames(
  frames: readonly LinearFrame[],
  others: readonly StatedExposure[] = [],
): MergedLight {
  const first = frames[0];
  if (!first) throw new InputError('frames', 'at least one frame', frames.length);
  const n = first.grid.light.length;
  for (const f of frames)
    if (f.grid.light.length !== n || f.grid.columns !== first.grid.columns)
      throw new InputError('frames', 'grids with the same cells', [n, f.grid.light.length]);
  const usable = frames.map((f) => usableCells(f.grid));
  const noise = frames.map(noiseOf);

  const kept = frames.map(() => true);
  const odd: { frame: number; lnOff: number; kind: 'level' | 'pattern' }[] = [];
  let gains = solveGains([...frames, ...others], []);
  for (let round = 0; round < frames.length; round++) {
    const compared = comparisons(frames, usable, kept);
    gains = solveGains(
      [...frames, ...others],
      compared.map((c) => c.overlap),
    );
    const worst = worstFrame(frames, compared, kept);
    if (!worst) break;
    kept[worst.frame] = false;
    odd.push(worst);
  }
  const longest = Math.max(...frames.map((_, k) => (kept[k] ? gains.ln[k]! : Number.NEGATIVE_INFINITY)));
  const scale = frames.map((_, k) => Math.exp(gains.ln[k]! - longest));
  const merged = weigh(frames, usable, noise, scale, kept);
  const white = Math.max(1, peakOf(merged.grid));
  return { ...merged, grid: dimmed(merged.grid, white), unitLn: longest - Math.log(white), gains, odd };
}

/** The light that one cell in two thousand passes: single bright flukes do not set the scale. */
function peakOf(grid: LightGrid): number {
  const known = grid.light.filter((e) => Number.isFinite(e)).sort();
  return known[Math.floor(0.9995 * (known.length - 1))] ?? 0;
}

function dimmed(grid: LightGrid, by: number): LightGrid {
  return by === 1 ? grid : { ...grid, light: grid.light.map((e) => e / by) };
}

function noiseOf(frame: LinearFrame): FrameNoise {
  return { pixels: frame.grid.pixelsPerCell, iso: frame.iso ?? 100 };
}

interface Compared {
  readonly overlap: Overlap;
  /** Median distance of single blocks' ratios from those of like light, ln. */
  readonly scatter: number;
}

/** Every two kept frames, over the cells that both show well. */
function comparisons(
  frames: readonly LinearFrame[],
  usable: readonly Uint8Array[],
  kept: readonly boolean[],
): Compared[] {
  const found: Compared[] = [];
  for (let a = 0; a < frames.length; a++) {
    for (let b = a + 1; b < frames.length; b++) {
      if (!kept[a] || !kept[b]) continue;
      const blocks = sharedBlocks({ ...frames[a]!, used: usable[a]! }, { ...frames[b]!, used: usable[b]! });
      if (blocks.length < LEAST_BLOCKS) continue;
      const middle = median(blocks.map((x) => x.lnRatio));
      const scatter = scatterOf(blocks);
      const u = Math.hypot(RATIO_FLOOR, (1.86 * scatter) / Math.sqrt(blocks.length));
      found.push({ overlap: { a, b, lnRatio: middle, u }, scatter });
    }
  }
  return found;
}

/** Scatter among blocks of like light: a curve not undone makes ratios follow the light, and is no odd pattern. */
function scatterOf(blocks: readonly SharedBlock[]): number {
  const sorted = [...blocks].sort((x, y) => x.lnLight - y.lnLight);
  const off: number[] = [];
  const per = Math.max(10, Math.ceil(sorted.length / 12));
  for (let from = 0; from < sorted.length; from += per) {
    const some = sorted.slice(from, from + per).map((x) => x.lnRatio);
    const middle = median(some);
    for (const x of some) off.push(Math.abs(x - middle));
  }
  return median(off);
}

/** The kept frame that least fits the others, if one is beyond all doubt; null when all fit. */
function worstFrame(
  frames: readonly LinearFrame[],
  compared: readonly Compared[],
  kept: readonly boolean[],
): { frame: number; lnOff: number; kind: 'level' | 'pattern' } | null {
  // A frame is blamed with its best partner: one bad frame spoils every pair that it is in, a good one only some.
  let worst: { frame: number; lnOff: number; kind: 'level' | 'pattern'; over: number } | null = null;
  for (let k = 0; k < frames.length; k++) {
    if (!kept[k]) continue;
    const mine = compared.filter((c) => c.overlap.a === k || c.overlap.b === k);
    if (mine.length === 0) continue;
    const levels = mine.map(({ overlap }) => {
      const [ea, eb] = [frames[overlap.a]!.exposure, frames[overlap.b]!.exposure];
      return ea === null || eb === null ? 0 : Math.abs(overlap.lnRatio - Math.log(eb / ea));
    });
    const level = Math.min(...levels);
    const pattern = Math.min(...mine.map((c) => c.scatter));
    for (const [kind, lnOff, most, all] of [
      ['level', level, MOST_OFF_LEVEL, levels],
      ['pattern', pattern, MOST_OFF_PATTERN, mine.map((c) => c.scatter)],
    ] as const) {
      const mean = all.reduce((s, x) => s + x, 0) / all.length;
      if (lnOff > most && mean / most > (worst?.over ?? 0))
        worst = { frame: k, lnOff, kind, over: mean / most };
    }
  }
  return worst && { frame: worst.frame, lnOff: worst.lnOff, kind: worst.kind };
}

function weigh(
  frames: readonly LinearFrame[],
  usable: readonly Uint8Array[],
  noise: readonly FrameNoise[],
  scale: readonly number[],
  kept: readonly boolean[],
): Pick<MergedLight, 'grid' | 'shares' | 'blackShare'> {
  const first = frames[0]!.grid;
  const n = first.light.length;
  const light = new Float32Array(n).fill(Number.NaN);
  const clipped = new Float32Array(n);
  const said = frames.map(() => new Float32Array(n));
  let known = 0;
  let black = 0;
  let peak = 0;
  for (let k = 0; k < n; k++) {
    let sum = 0;
    let exposures = 0;
    for (let f = 0; f < frames.length; f++) {
      if (!kept[f] || !usable[f]![k]) continue;
      sum += frames[f]!.grid.light[k]!;
      exposures += scale[f]!;
    }
    if (exposures === 0) {
      burntOut(frames, scale, kept, k, light, clipped);
      if (Number.isFinite(light[k]!)) known++;
      continue;
    }
    known++;
    const pilot = sum / exposures;
    let weights = 0;
    let value = 0;
    for (let f = 0; f < frames.length; f++) {
      if (!kept[f] || !usable[f]![k]) continue;
      const s = scale[f]!;
      const w = (s * s) / cellVariance(pilot * s, noise[f]!);
      said[f]![k] = w;
      weights += w;
      value += (w * frames[f]!.grid.light[k]!) / s;
    }
    if (weights > 0) light[k] = value / weights;
    else {
      // Black in every frame: the pooled light is all there is, and it is next to nothing.
      light[k] = pilot;
      if (isBlack(pilot * Math.max(...scale.filter((_, f) => kept[f])))) black++;
    }
    if (weights > 0) for (let f = 0; f < frames.length; f++) said[f]![k]! /= weights;
    if (light[k]! > peak) peak = light[k]!;
  }
  return {
    grid: { ...first, light, clipped, pixelsPerCell: Math.max(...frames.map((f) => f.grid.pixelsPerCell)) },
    shares: sharesAt(light, said, 0.03 * peak, 0.3 * peak),
    blackShare: known === 0 ? 0 : black / known,
  };
}

/** A cell that no frame shows whole: the least burnt-out one speaks, and says that it is burnt out; else it stays unknown. */
function burntOut(
  frames: readonly LinearFrame[],
  scale: readonly number[],
  kept: readonly boolean[],
  k: number,
  light: Float32Array,
  clipped: Float32Array,
): void {
  let least = Number.POSITIVE_INFINITY;
  for (let f = 0; f < frames.length; f++) {
    const { grid } = frames[f]!;
    if (!kept[f] || !Number.isFinite(grid.light[k]!) || scale[f]! >= least) continue;
    least = scale[f]!;
    light[k] = grid.light[k]! / least;
    clipped[k] = grid.clipped[k]!;
  }
}

function sharesAt(light: Float32Array, said: readonly Float32Array[], low: number, high: number): number[] {
  const sums = said.map(() => 0);
  let n = 0;
  for (let k = 0; k < light.length; k++) {
    if (!(light[k]! > low && light[k]! < high)) continue;
    n++;
    said.forEach((s, f) => {
      sums[f]! += s[k]!;
    });
  }
  return sums.map((s) => (n === 0 ? 0 : s / n));
}
