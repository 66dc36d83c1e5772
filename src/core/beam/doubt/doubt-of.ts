import type { LightGrid } from '../../sampling/light-grid.ts';
import { type CauseId, causeId, type Estimate, withParts } from '../../uncertainty/estimate.ts';
import { degFromRad } from '../../units.ts';
import type {
  BeamFinding,
  BeamSign,
  CutOffFinding,
  ElbowFinding,
  HotSpot,
  NothingFound,
} from '../finding.ts';
import { boardLineNear, stepOfEdge } from './board-lines.ts';
import { lineHeight, type Sector, surveyEdge } from './edge-survey.ts';
import { type OtherLight, otherLightOf } from './other-light.ts';
import { REFUSALS } from './refusals.ts';
import { flanksOf } from './round-spot.ts';
import { besideEdge, longestRun, type SectorDoubt } from './second-edge.ts';
import { evennessOf, median } from './uneven-edge.ts';

/** Sideways a dipped beam fades by some 0.02 per 0.1 deg (half of it within 5 deg or more); a torch's rim by 0.1. */
const STEEP_SIDES = 0.05;
/** Downwards the foreground fades by 0.05 at most; a main beam as fast as upwards. */
const STEEP_DOWN = 0.08;
/** The hot spot lies 0.4 to 1.7 deg below a cut-off, near field adds up to 1; burnt out it seems lower. */
const DEEPEST_DEG = 3.2;
const HIGHEST_DEG = -0.3;
/** An elbow further aside than this is the other lamp's, or a lamp that hangs loose (common practice, no source). */
const FARTHEST_PCT = 5;
/** Lamps' edges have G up to about 0.5 far away, less at home; the end of a board has 1 and more. */
const KNIFE = 0.8;
/**
 * A second fall of this much per 0.1 deg that stands out from a valley, in so many sectors in a row. Below its edge a
 * lamp's light hardly ever falls twice (0.002 in rendered lamps); above it faint shelves make 0.025.
 */
const SECOND_FALL = { below: { least: 0.008, run: 3 }, above: { least: 0.04, run: 2 } } as const;
/** Light that grows upwards below the edge: the hot spot's own flank makes 0.05. */
const STEEP_RISE = 0.09;
/** A line or step of the board near the edge, log10: grain and tilted edges make 0.035 at most. */
const BOARD_LINE = 0.07;
/** Sectors in a row that must show the same: one alone is a stain. */
const RUN = 2;
/** Fall of log10 light across the edge below which other light decides where the edge seems to be. */
const LEAST_FALL = 0.4;
/** From here on down other light's unevenness matters; per decade that is missing, per cent of drop, k = 1. */
const CLEAR_FALL = 1.05;
const PER_DECADE = 0.25;
/** A level edge with more slope than this is a vehicle that leans. */
const LEANS_DEG = 4.5;
/** Light that is one level of 255 or less. */
const BLACK = Math.log10(3.5e-4);
/** Spread of the level part beyond which it is no line, per cent. */
const BROKEN_PCT = 0.25;
/** Spread that lamps and grain make of themselves, per cent. */
const QUIET_PCT = 0.03;
const GRAIN = 2.5;
/** A lamp's stray light fades upwards; light that grows by more than this per degree was made by the camera or the sky. */
const GROWS = 0.012;
/** Stray light is much the same all along the edge (0.1 decades); what a patch of twice that pulls, per cent per decade. */
const PATCH = 0.25;
const PER_PATCH = 0.3;
const HALO_PCT = 0.05;

/**
 * What speaks against a cut-off that was found: refuses light that is no dipped beam or no single edge, and widens the
 * uncertainty where the light about the edge is disturbed by an amount that can be told.
 *
 * @param grid the light before anything was taken away from it.
 * @param shot instance for the cause ids.
 * @returns the finding, wider and with signs where doubtful; or the reason why it must not be believed.
 */
export function doubtOf(grid: LightGrid, finding: BeamFinding, shot: string): BeamFinding {
  if (finding.found !== 'cut-off') return finding;
  const sectors = surveyEdge(grid, finding);
  const light = otherLightOf(sectors, finding);
  const words = refusalOf(grid, finding, sectors, light);
  if (words !== null) return { found: 'nothing', ...words, signs: finding.signs };
  return widened(finding, sectors, light, shot);
}

/** Within this height of the edge, tangent, a step may be the edge's own; lopsided edges make half as much again. */
const OWN_REACH = 0.0035;
const LOPSIDED = 1.5;

function ownStep(finding: CutOffFinding, at: number): number {
  return Math.abs(at) > OWN_REACH ? 0 : LOPSIDED * stepOfEdge(finding.sharpnessG ?? 0);
}

/** How far the hot spot lies below the line, deg, + below. */
function hotSpotDepthDeg(finding: CutOffFinding, spot: HotSpot): number {
  return degFromRad(lineHeight(finding)(spot.offsetPct.value / 100) + spot.dropPct.value / 100);
}

type Words = Pick<NothingFound, 'why' | 'detail' | 'advice'>;

function refusalOf(
  grid: LightGrid,
  finding: CutOffFinding,
  sectors: readonly Sector[],
  light: OtherLight | null,
): Words | null {
  if (finding.hotSpot) {
    const { down, left, right } = flanksOf(grid, finding.hotSpot);
    if (Math.min(left, right) > STEEP_SIDES || (down > STEEP_DOWN && down > 0.5 * (finding.sharpnessG ?? 0)))
      return REFUSALS.notABeam();
    const depth = hotSpotDepthDeg(finding, finding.hotSpot);
    if (depth > DEEPEST_DEG || depth < HIGHEST_DEG) return REFUSALS.spotElsewhere(depth);
  }
  if (finding.elbow.found && Math.abs(finding.elbow.offsetPct.value) > FARTHEST_PCT)
    return REFUSALS.farAside(finding.elbow.offsetPct.value);
  if (finding.sharpnessG !== null && finding.sharpnessG > KNIFE)
    return REFUSALS.knifeEdge(finding.sharpnessG);
  if (light !== null) {
    if (light.fall < LEAST_FALL) return REFUSALS.otherLight(10 ** -light.fall);
    if (light.darkest < BLACK) return REFUSALS.blackClipped();
  }
  const beside = besideEdge(sectors);
  const line = boardLineNear(grid, finding);
  if (line !== null && line.depth > BOARD_LINE + ownStep(finding, line.at))
    return REFUSALS.boardLine(degFromRad(line.at));
  return besideRefusal(beside) ?? leaningRefusal(finding) ?? brokenRefusal(sectors, finding);
}

function besideRefusal(beside: readonly SectorDoubt[]): Words | null {
  const awayDeg = (run: readonly SectorDoubt[], at: (s: SectorDoubt) => number) =>
    degFromRad(median(run.map(at)));
  for (const where of ['below', 'above'] as const) {
    const rising = longestRun(beside, (s) => s[where].rise > STEEP_RISE);
    if (rising.length >= RUN) return REFUSALS.darkBand(awayDeg(rising, (s) => s[where].riseAt));
  }
  for (const where of ['below', 'above'] as const) {
    const second = longestRun(beside, (s) => s[where].second > SECOND_FALL[where].least);
    if (second.length >= SECOND_FALL[where].run)
      return REFUSALS.secondEdge(awayDeg(second, (s) => s[where].secondAt));
  }
  return null;
}

function leaningRefusal({ riseSide, tiltDeg }: CutOffFinding): Words | null {
  return riseSide === 'none' && Math.abs(tiltDeg.value) > LEANS_DEG ? REFUSALS.leaning(tiltDeg.value) : null;
}

function brokenRefusal(sectors: readonly Sector[], finding: CutOffFinding): Words | null {
  const even = evennessOf(sectors, finding);
  if (even === null) return null;
  const worst = Math.max(even.spreadPct, 0.5 * Math.abs(even.offPct));
  return worst > BROKEN_PCT ? REFUSALS.unevenEdge(worst) : null;
}

function widened(
  finding: CutOffFinding,
  sectors: readonly Sector[],
  light: OtherLight | null,
  shot: string,
): CutOffFinding {
  const parts: Partial<Record<CauseId, number>> = {};
  const signs: BeamSign[] = [];
  const even = evennessOf(sectors, finding);
  if (even !== null) {
    // Grain moves one sector by more than the mean of several: only what it can't explain is doubted.
    const grain = GRAIN * Math.hypot(finding.dropPct.parts[causeId('noise', shot)] ?? 0, QUIET_PCT);
    const strays = Math.max(Math.abs(even.offPct), even.spreadPct);
    const off = strays > grain ? Math.sqrt(strays * strays - grain * grain) : 0;
    if (off > 0) parts[causeId('shape-model', shot)] = off;
    if (off > 0.05) {
      signs.push({
        code: 'uneven-edge',
        text: `The level part of the edge is not quite in one line: it strays by ${off.toFixed(2)} %. A stain, a reflection in the lens or something in the beam can do this; the uncertainty says so.`,
      });
    }
  }
  if (light !== null) {
    const missing = Math.max(0, CLEAR_FALL - light.fall);
    const lean = Math.abs(light.leansPct);
    const ambient = Math.hypot(PER_DECADE * missing, Math.max(0, lean - 0.01));
    if (ambient > 0) parts[causeId('ambient')] = ambient;
    if (light.patch > PATCH) {
      parts[causeId('glare')] = PER_PATCH * (light.patch - PATCH);
      signs.push({
        code: 'bright-patch',
        text: 'A bright patch lies above the edge: the lamp mirrored in a shiny board, a ghost or grease on the camera lens, or another light. Use matt card, wipe the lens and put other lights out.',
      });
    }
    if (light.growsPerDeg > GROWS) {
      parts[causeId('tone')] = HALO_PCT;
      signs.push({
        code: 'brighter-upwards',
        text: 'Above the edge it grows brighter again with height, which no lamp does: light from above, or a camera that lifts dark places (HDR, night mode, a filter). Put lights out and these modes off.',
      });
    }
  }
  if (Object.keys(parts).length === 0) return finding;
  return {
    ...finding,
    dropPct: added(finding.dropPct, parts),
    elbow: widenedElbow(finding.elbow, parts),
    signs: [...finding.signs, ...signs],
  };
}

/** What lifts one part of the edge against the other by so much moves their crossing sideways by this many times more. */
const PER_RISE = 1 / Math.tan((15 * Math.PI) / 180);

type Parts = Readonly<Partial<Record<CauseId, number>>>;

/** An elbow that disturbance may have moved by more than this, per cent, is none: a streak or stain made another bend. */
const ELBOW_LOST_PCT = 0.5;

function widenedElbow(elbow: ElbowFinding, parts: Parts): ElbowFinding {
  if (!elbow.found) return elbow;
  const aside = sideways(parts);
  if (Math.hypot(...Object.values(aside).map((part) => part ?? 0)) > ELBOW_LOST_PCT)
    return { found: false, why: 'too-vague' };
  return { ...elbow, offsetPct: added(elbow.offsetPct, aside), dropPct: added(elbow.dropPct, parts) };
}

function sideways(parts: Parts): Parts {
  return Object.fromEntries(Object.entries(parts).map(([id, part]) => [id, PER_RISE * (part ?? 0)])) as Parts;
}

/** The estimate with further doubt of like causes, squared and added: these doubts have no sign in common. */
function added(of: Estimate, parts: Parts): Estimate {
  const more: Partial<Record<CauseId, number>> = {};
  for (const id of Object.keys(parts) as CauseId[]) {
    const before = of.parts[id] ?? 0;
    const after = Math.sign(before || 1) * Math.hypot(before, parts[id]!);
    more[id] = after - before;
  }
  return withParts(of, more);
}
