import type { ToneFit } from '../photometry/tone-fit.ts';
import { otherwiseRead } from '../photometry/tone-response.ts';
import type { LightGrid } from '../sampling/light-grid.ts';
import { tanFromDeg } from '../units.ts';
import { alignedProfile, DARKEST } from './aligned-profile.ts';
import {
  findInflection,
  INFLECTION_RULE,
  type Inflection,
  type InflectionRule,
  type Profile,
  QUIET_RULE,
} from './inflection.ts';

/** What is not known of the light before the edge is measured. */
export interface FlatPartDoubts {
  /** Standard uncertainty of light that is not the lamp's, in the grid's units. */
  readonly uAdded: number;
  readonly tone: ToneFit;
}

/** The flat part at one place, with what could have moved it. */
export interface FlatPart {
  /** Height of the inflection at `u`, tangent units. */
  readonly v: number;
  readonly u: number;
  readonly inflection: Inflection;
  readonly profile: Profile;
  /** Columns of the grid that the profile is the mean of, ascending. */
  readonly columns: readonly number[];
  /** Standard uncertainty from noise, texture and uneven board, by leaving out blocks of columns. */
  readonly uNoise: number;
  /** Half the spread between two ways of finding the inflection: what the edge's shape leaves open. */
  readonly uShape: number;
  /** Signed change of v for one standard uncertainty of each. */
  readonly ambient: number;
  readonly glare: number;
  readonly tone: number;
}

const REACH = { below: tanFromDeg(1.3), above: tanFromDeg(1.3) };
const SEARCH: readonly [number, number] = [-tanFromDeg(0.35), tanFromDeg(0.35)];
/** How far the two curves err on edges of known families: about one standard deviation. */
const FINE_LEAN = tanFromDeg(0.004);
const QUIET_LEAN = tanFromDeg(0.025);
/** Blocks for the jackknife: each about 0.25 deg wide in a 2 deg window. */
const BLOCKS = 8;
/**
 * Glare that is not the same everywhere (bloom about the bright zone), as a share of the mean light in view: standard
 * uncertainty (common practice, no source). The even part is in what the darkest place betrays.
 */
const GLARE_SHARE = 0.003;

/**
 * The inflection of log10 E at `u`, from the columns within 1 deg of it averaged along the line.
 *
 * @param heightAt the traced line.
 * @returns null when the columns do not show enough of the edge.
 */
export function measureFlatPart(
  grid: LightGrid,
  u: number,
  heightAt: (u: number) => number,
  doubts: FlatPartDoubts,
): FlatPart | null {
  const half = tanFromDeg(1.0);
  const columns: number[] = [];
  for (let c = 0; c < grid.columns; c++) if (Math.abs(grid.u0 + c * grid.du - u) <= half) columns.push(c);
  const usable = columns.filter((c) => showsEdge(grid, c, heightAt));
  if (usable.length < 8) return null;
  const profile = alignedProfile(grid, usable, heightAt, REACH);
  const found = findInflection(profile, SEARCH);
  if (!found) return null;
  // Columns left out on one side shift the place that the mean speaks of.
  const meanU = usable.reduce((s, c) => s + grid.u0 + c * grid.du, 0) / usable.length;
  const shifted = (change: (e: number) => number): number => {
    const log = profile.log.map((l) => Math.log10(Math.max(DARKEST / 10, change(10 ** l))));
    const other = findInflection({ ...profile, log }, SEARCH);
    return other ? other.v - found.v : 0;
  };
  const darkest = darkLevel(profile);
  // Linear in small amounts: a small step is taken and scaled, so that darkness never goes below nothing.
  const less = 0.2 * darkest;
  const perLight = less > 0 ? shifted((e) => e - less) / less : 0;
  // Two opinions: a quintic that hardly leans on the edge's shape, a cubic with a third of its noise. Each counts by
  // its own noise and by how far such a curve errs on known edge families (inflection.test.ts).
  const fine = jackknife(grid, usable, heightAt, INFLECTION_RULE);
  const quiet = jackknife(grid, usable, heightAt, QUIET_RULE);
  const other = findInflection(profile, SEARCH, QUIET_RULE);
  const wFine = 1 / (fine ** 2 + FINE_LEAN ** 2);
  const wQuiet = other ? 1 / (quiet ** 2 + QUIET_LEAN ** 2) : 0;
  const share = wFine / (wFine + wQuiet);
  const v = share * found.v + (1 - share) * (other?.v ?? 0);
  const wide = findInflection(profile, SEARCH, { degree: 5, zoneShare: 0.45 });
  const spread = Math.min(tanFromDeg(0.02), wide ? Math.abs(wide.v - found.v) / 2 : tanFromDeg(0.02));
  return {
    u: meanU,
    v: heightAt(meanU) + v,
    inflection: found,
    profile,
    columns: usable,
    uNoise: share * fine + (1 - share) * quiet,
    uShape: Math.hypot(share * Math.max(FINE_LEAN, spread), (1 - share) * QUIET_LEAN),
    ambient: perLight * Math.min(darkest, doubts.uAdded),
    glare: perLight * Math.min(0.5 * darkest, GLARE_SHARE * meanLight(grid)),
    tone: ofModes(doubts.tone, shifted),
  };
}

/** Standard uncertainty of the inflection from leaving out one block of columns at a time. */
function jackknife(
  grid: LightGrid,
  columns: readonly number[],
  heightAt: (u: number) => number,
  rule: InflectionRule,
): number {
  const values: number[] = [];
  for (let b = 0; b < BLOCKS; b++) {
    const kept = columns.filter((_, i) => Math.floor((i * BLOCKS) / columns.length) !== b);
    const found = findInflection(alignedProfile(grid, kept, heightAt, REACH), SEARCH, rule);
    if (found) values.push(found.v);
  }
  if (values.length < BLOCKS / 2) return tanFromDeg(0.1);
  const mean = values.reduce((s, x) => s + x, 0) / values.length;
  const sum = values.reduce((s, x) => s + (x - mean) ** 2, 0);
  return Math.sqrt(((values.length - 1) / values.length) * sum);
}

/**
 * Whether a column is known from 0.2 deg below to 0.4 deg above the edge: below it a burnt-out hot spot may begin,
 * which harms nothing as long as the steepest part is seen.
 */
function showsEdge(grid: LightGrid, c: number, heightAt: (u: number) => number): boolean {
  const middle = (heightAt(grid.u0 + c * grid.du) - grid.v0) / grid.dv;
  const reach = tanFromDeg(0.4) / grid.dv;
  let bad = 0;
  for (let r = Math.floor(middle - reach / 2); r <= Math.ceil(middle + reach); r++) {
    if (r < 0 || r >= grid.rows) return false;
    const k = r * grid.columns + c;
    if (!Number.isFinite(grid.light[k]!) || grid.clipped[k]! > 0) bad++;
  }
  return bad <= 1;
}

function darkLevel(profile: Profile): number {
  let least = Number.POSITIVE_INFINITY;
  for (const l of profile.log) if (Number.isFinite(l) && l < least) least = l;
  return 10 ** least;
}

function meanLight(grid: LightGrid): number {
  let sum = 0;
  let n = 0;
  for (const e of grid.light) {
    if (!Number.isFinite(e)) continue;
    sum += e;
    n++;
  }
  return n > 0 ? sum / n : 0;
}

/** What the response's doubt does: root sum of squares over its modes, with the sign of the greatest. */
function ofModes(tone: ToneFit, shifted: (change: (e: number) => number) => number): number {
  const shifts = tone.modes.map((mode) =>
    shifted(
      otherwiseRead(
        tone.params,
        tone.params.map((p, n) => p + mode[n]!),
      ),
    ),
  );
  const greatest = shifts.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a), 0);
  return Math.sign(greatest) * Math.hypot(...shifts);
}
