import { type LevelPlane, UNITS_PER_LEVEL } from './level-plane.ts';

/** Half side of the square over which a pixel is compared with its surroundings, px of the half-size plane. */
const NEAR = 4;
/** Least darkness below the surroundings, levels; and as a part of their level. */
const LEAST_LEVELS = 0.8;
const LEAST_PART = 0.025;
/** Darkness in standard deviations of the (smoothed) noise. */
const NOISE_FACTOR = 3;

/** A closed outline of a dark patch: lattice corners (x, y, x, y, ...), dark on the right when going along. */
export interface Outline {
  readonly points: Int16Array;
  readonly area: number;
}

/** Limits for outlines worth a look. */
export interface OutlineLimits {
  readonly leastSide: number;
  readonly leastFill: number;
}

/**
 * Outer outlines of patches darker than what is around them, for marks under any and uneven light.
 * A pixel is dark when, smoothed over 3 x 3, it lies below the mean of the 18 x 18 around it by more than the noise there explains.
 * Own code, since it runs on every photo and the wasm library takes longer to load than this takes to run.
 * Outline corner (x, y) is the upper left corner of plane pixel (x, y), half a pixel from its centre.
 */
export function darkOutlines(plane: LevelPlane, half: LevelPlane, limits: OutlineLimits): readonly Outline[] {
  const mask = darkMask(plane, half);
  return traceOutlines(mask, plane.width, plane.height, limits);
}

/**
 * 1 where dark; the outermost pixels stay 0 so that tracing never leaves the plane.
 * @param half the same plane at half its size: surroundings are averaged there, at a quarter of the work.
 */
export function darkMask(plane: LevelPlane, half: LevelPlane): Uint8Array {
  const { width, height, data } = plane;
  const mask = new Uint8Array(width * height);
  const limits = darkLimits(half, noiseByLevel(plane));
  if (limits === null) return mask;
  for (let y = 1; y < height - 1; y++) {
    const row = y * width;
    const limitRow = Math.min(y >> 1, half.height - 1) * half.width;
    const lastLimit = half.width - 1;
    let before = data[row - width]! + 2 * data[row]! + data[row + width]!;
    let here = data[row - width + 1]! + 2 * data[row + 1]! + data[row + width + 1]!;
    for (let x = 1; x < width - 1; x++) {
      const i = row + x + 1;
      const after = data[i - width]! + 2 * data[i]! + data[i + width]!;
      const k = x >> 1;
      // 3 x 3 binomial smoothing; the limit is in 16ths of a plane unit too.
      if (before + 2 * here + after < limits[limitRow + Math.min(k, lastLimit)]!) mask[row + x] = 1;
      before = here;
      here = after;
    }
  }
  return mask;
}

/** For each pixel of the half-size plane 16 times the level below which a pixel is dark; null when the plane is too small. */
function darkLimits(half: LevelPlane, noise: readonly number[]): Int32Array | null {
  const { width, height, data } = half;
  const side = 2 * NEAR + 1;
  if (width < side + 2 || height < side + 2) return null;
  const offsets = offsetTable(noise);
  const limits = new Int32Array(width * height);
  const columns = new Int32Array(width);
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < width; x++) columns[x]! += data[y * width + x]!;
  }
  const inverse = 1 / (side * side);
  const perLevel = inverse / UNITS_PER_LEVEL;
  for (let y = 0; y < height; y++) {
    // The window stops at the border instead of shrinking: it stays full, a little off centre.
    if (y > NEAR && y + NEAR < height) {
      const drop = (y - NEAR - 1) * width;
      const add = (y + NEAR) * width;
      for (let x = 0; x < width; x++) columns[x]! += data[add + x]! - data[drop + x]!;
    }
    let sum = 0;
    for (let x = 0; x < side; x++) sum += columns[x]!;
    const row = y * width;
    for (let x = 0; x < width; x++) {
      if (x > NEAR && x + NEAR < width) sum += columns[x + NEAR]! - columns[x - NEAR - 1]!;
      limits[row + x] = 16 * (sum * inverse - offsets[(sum * perLevel) | 0]!);
    }
  }
  return limits;
}

/**
 * Standard deviation of the plane's noise for each of 16 brightness ranges, plane units: from second differences over
 * two pixels (neighbours are alike after compression), by their median, which edges and print hardly move.
 */
export function noiseByLevel(plane: LevelPlane): readonly number[] {
  const { width, height, data } = plane;
  const bins = 256;
  const counts = Array.from({ length: 16 }, () => new Uint32Array(bins));
  const totals = new Array<number>(16).fill(0);
  const rowStep = Math.max(1, Math.floor(height / 300));
  const columnStep = Math.max(1, Math.floor(width / 400));
  for (let y = 0; y < height; y += rowStep) {
    for (let x = 2; x < width - 2; x += columnStep) {
      const i = y * width + x;
      const d = Math.abs(2 * data[i]! - data[i - 2]! - data[i + 2]!);
      const range = Math.min(15, data[i]! >> 10);
      const bin = Math.min(bins - 1, d >> 2);
      counts[range]![bin]!++;
      totals[range]!++;
    }
  }
  const sigma = counts.map((c, k) => {
    if (totals[k]! < 200) return -1;
    let seen = c[0]!;
    let bin = 0;
    while (bin < bins - 1 && seen < totals[k]! / 2) seen += c[++bin]!;
    // Median of |d| is 0.6745 sigma_d, and sigma_d = sqrt(6) sigma.
    return ((bin + 0.5) * 4) / 0.6745 / Math.sqrt(6);
  });
  const known = sigma.filter((s) => s >= 0);
  const fallback = known.length > 0 ? Math.max(...known) : UNITS_PER_LEVEL;
  return sigma.map((s) => (s >= 0 ? s : fallback));
}

function offsetTable(noise: readonly number[]): Float64Array {
  const table = new Float64Array(257);
  for (let level = 0; level < table.length; level++) {
    // 3 x 3 binomial smoothing leaves 0.375 of white noise.
    const sigma = 0.375 * noise[Math.min(15, level >> 4)]!;
    table[level] = Math.max(
      LEAST_LEVELS * UNITS_PER_LEVEL,
      LEAST_PART * level * UNITS_PER_LEVEL,
      NOISE_FACTOR * sigma,
    );
  }
  return table;
}

// Steps along pixel edges: up, right, down, left.
const STEP_X = [0, 1, 0, -1] as const;
const STEP_Y = [-1, 0, 1, 0] as const;

/** Walks along the edges between dark and light pixels; dark pixels touching at a corner only are apart. */
function traceOutlines(
  mask: Uint8Array,
  width: number,
  height: number,
  limits: OutlineLimits,
): readonly Outline[] {
  const found: Outline[] = [];
  let buffer = new Int16Array(4096);
  for (let y = 1; y < height - 1; y++) {
    const row = y * width;
    for (let x = 1; x < width - 1; x++) {
      if (mask[row + x] !== 1 || mask[row + x - 1] !== 0) continue;
      // Pixel value 1: dark, left edge not walked yet. Start at its lower left corner, going up.
      let vx = x;
      let vy = y + 1;
      let direction = 0;
      let n = 0;
      let area = 0;
      let x0 = x;
      let x1 = x;
      let y0 = y;
      let y1 = y + 1;
      do {
        if (2 * n + 2 > buffer.length) {
          const larger = new Int16Array(buffer.length * 2);
          larger.set(buffer);
          buffer = larger;
        }
        buffer[2 * n] = vx;
        buffer[2 * n + 1] = vy;
        n++;
        if (direction === 0) mask[(vy - 1) * width + vx] = 2;
        // The sum of x dy is the enclosed area: positive round a dark patch, negative round a hole in one.
        area += vx * STEP_Y[direction]!;
        vx += STEP_X[direction]!;
        vy += STEP_Y[direction]!;
        if (vx < x0) x0 = vx;
        else if (vx > x1) x1 = vx;
        if (vy < y0) y0 = vy;
        else if (vy > y1) y1 = vy;
        // The pixels ahead, to the left and to the right of the way.
        const ax = direction === 0 || direction === 3 ? vx - 1 : vx;
        const ay = direction === 0 || direction === 1 ? vy - 1 : vy;
        const rx = direction === 2 || direction === 3 ? vx - 1 : vx;
        const ry = direction === 0 || direction === 3 ? vy - 1 : vy;
        if (mask[ry * width + rx] === 0) direction = (direction + 1) & 3;
        else if (mask[ay * width + ax] !== 0) direction = (direction + 3) & 3;
      } while (!(vx === x && vy === y + 1 && direction === 0));
      if (area <= 0) continue;
      if (Math.min(x1 - x0, y1 - y0) < limits.leastSide) continue;
      if (area < limits.leastFill * n * n) continue;
      found.push({ points: buffer.slice(0, 2 * n), area });
    }
  }
  return found;
}
