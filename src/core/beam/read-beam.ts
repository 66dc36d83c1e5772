import type { TrafficSide } from '../frames.ts';
import { type ToneFit, UNKNOWN_TONE } from '../photometry/tone-fit.ts';
import type { LightGrid } from '../sampling/light-grid.ts';
import { causeId, type Estimate } from '../uncertainty/estimate.ts';
import { degFromRad, radFromDeg, tanFromDeg } from '../units.ts';
import { type AddedLight, estimateAddedLight, withoutAdded } from './added-light.ts';
import { bentLineAt } from './bent-line.ts';
import { leftEdge, topEdge } from './bright-zone.ts';
import { doubtOf } from './doubt/doubt-of.ts';
import { measureElbow } from './elbow.ts';
import type {
  BeamFinding,
  BeamSign,
  CutOffFinding,
  ElbowFinding,
  HotSpotFinding,
  NothingFound,
} from './finding.ts';
import { type FlatPart, type FlatPartDoubts, measureFlatPart } from './flat-part.ts';
import { measureTilt } from './flat-tilt.ts';
import { type HotSpotMeasure, hotSpotOf, measureHotSpot } from './hot-spot.ts';
import type { EdgeLineFit } from './joint/edge-line-fit.ts';
import { farReading } from './joint/far-reading.ts';
import { type JointReading, type LitLamp, readJoint } from './joint/joint-reading.ts';
import type { LampFilling } from './joint/lamp-filling.ts';
import { type SettledHeight, settle } from './joint/two-opinions.ts';
import { lightByDrop } from './signs/light-by-drop.ts';
import { beamSigns, signsWithoutCutOff } from './signs.ts';
import { type TracedEdge, traceEdge } from './trace-edge.ts';

/** What is known of lamp and bay before the light is looked at. */
export interface BeamContext {
  /** Instances for the cause ids. */
  readonly shot: string;
  readonly lamp: string;
  readonly function: 'passing' | 'driving' | 'front-fog';
  readonly trafficSide: TrafficSide;
  readonly distanceMm: number;
  readonly litHeightMm: number | null;
  readonly litWidthMm: number | null;
  /** Relative standard uncertainty of the lit size; left out: a tenth. */
  readonly uLitSize?: number;
  /** How the lamp is lit; left out: unknown. */
  readonly filling?: LampFilling | 'unknown';
  /** The camera's response that was undone, and its doubt; left out: unknown. */
  readonly tone?: ToneFit;
  /** Standard uncertainty of room light that subtracting a lamps-off photo left, in the grid's units; left out: none subtracted. */
  readonly uRoomLeft?: number;
}

/** Less light than this (share of full scale) at the brightest place is no exposure to measure in. */
const TOO_DARK = 0.02;
/** Where the standards scan the flat part. */
const SCAN = tanFromDeg(2.5);

/**
 * Read one lamp's beam from the light on the board.
 *
 * @param grid relative illuminance in tangents from the lamp.
 * @returns a cut-off, a hot spot alone, or the reason why neither can be told. Drops and offsets in per cent of
 *   distance; only the light's own causes are in the estimates.
 * @see UN R112 (42014X0822(02)) cut-off annex: inflection of log10 E on the vertical 2.5 deg from V-V. We differ: the
 *   2.5 deg are counted from the elbow, where there is one, because at home V-V is what is to be found.
 */
export function readBeam(grid: LightGrid, context: BeamContext): BeamFinding {
  const known = countKnown(grid);
  if (known.share < 0.15 || grid.columns < 25 || grid.rows < 60) {
    return nothing(
      'too-little-board',
      'the photo shows too little of the board around the lamp',
      'Step back or zoom out until the whole board is in the picture.',
    );
  }
  const spot = measureHotSpot(grid);
  if (!spot || spot.peak < TOO_DARK) {
    return nothing(
      'too-dark',
      'the brightest part of the beam is nearly black in the photo',
      'Expose longer, until the hot spot just burns out.',
    );
  }
  if (known.clipped > 0.5) {
    return nothing(
      'too-bright',
      'more than half of the board is burnt out',
      'Expose shorter, until only the hot spot burns out.',
    );
  }
  if (context.function === 'driving')
    return hotSpotFinding(grid, spot, context, 'a main beam has no cut-off');

  const smear = context.litWidthMm === null ? 0 : (0.43 * context.litWidthMm) / context.distanceMm;
  // Room light and veil push the edge down: the part of them that the darkest place betrays is taken away first.
  const smearUp = context.litHeightMm === null ? 0.01 : (0.5 * context.litHeightMm) / context.distanceMm;
  const guessed = estimateAddedLight(grid, spot, smearUp);
  const added = context.uRoomLeft === undefined ? guessed : veilLeft(guessed, context.uRoomLeft);
  const lampOnly = withoutAdded(grid, added);
  const edge = traceEdge(lampOnly, smear);
  if (!edge) {
    const other = hotSpotFinding(grid, spot, context, 'no sharp edge runs across the beam');
    return { ...other, signs: signsWithoutCutOff(lampOnly, spot, context, smear) };
  }
  return doubtOf(grid, cutOffFinding(lampOnly, edge, spot, context, added), context.shot);
}

/**
 * With the room's light taken away mostly the lens's veil is left of what the darkest place is suspected of: half of it, on
 * seeded photos, and as unsure as that half is wide. The less sure the taking away, the more of it is room light still.
 */
function veilLeft(guessed: AddedLight, uRoomLeft: number): AddedLight {
  const variance = uRoomLeft ** 2;
  const share = 0.5 + (0.5 * variance) / (variance + guessed.value ** 2 + 1e-12);
  return {
    value: share * guessed.value,
    u: Math.hypot(share * guessed.u, 0.3 * guessed.value, uRoomLeft),
  };
}

function cutOffFinding(
  grid: LightGrid,
  edge: TracedEdge,
  spot: HotSpotMeasure,
  context: BeamContext,
  added: AddedLight,
): BeamFinding {
  const { line } = edge;
  const heightAt = (u: number) => bentLineAt(line, u);
  // With no elbow the edge is judged on V-V itself.
  const oncoming = context.trafficSide === 'left' ? 1 : -1;
  const at = line.side === 0 ? 0 : line.bend - line.side * SCAN;
  const flat = measureNear(grid, at, line.side === 0 ? -oncoming : line.side, heightAt, edge, {
    uAdded: added.u,
    tone: context.tone ?? UNKNOWN_TONE,
  });
  if (!flat) {
    const hidden = nothing(
      'edge-off-board',
      'the level part of the cut-off is not all on the board, or is hidden',
      'Move board or lamp so that the level part of the edge shows, clear of sheets and tape.',
    );
    return { ...hidden, signs: signsWithoutCutOff(grid, spot, context, 0.01) };
  }
  const lamp = litLampOf(context);
  const joint = readJoint(grid, edge, flat.columns, lamp);
  const settled = settleHeight(flat, joint, heightAt);
  const noise = causeId('noise', context.shot) as `noise@${string}`;
  const shape = causeId('shape-model', context.shot);
  const tone = causeId('tone');
  const ambient = causeId('ambient');
  const glare = causeId('glare');
  const dropPct: Estimate = {
    value: -100 * settled.v,
    parts: {
      [noise]: 100 * settled.uNoise,
      [shape]: 100 * settled.uShape,
      [ambient]: -100 * flat.ambient,
      [glare]: -100 * flat.glare,
      [tone]: -100 * flat.tone,
    },
  };
  const measured = joint?.line ? jointElbow(joint.line, settled.v, flat.u) : measureElbow(line, edge.points);
  const elbow: ElbowFinding =
    line.side === 0
      ? { found: false, why: 'flat-beam' }
      : measured === null || 100 * measured.uU > 1.5
        ? { found: false, why: 'too-vague' }
        : {
            found: true,
            offsetPct: {
              value: 100 * measured.u,
              parts: {
                [noise]: 100 * measured.uU,
                [shape]: joint?.line ? JOINT_ELBOW_PCT : elbowShape(edge),
              },
            },
            dropPct: { ...dropPct, value: -100 * measured.v },
          };
  const tilt = joint?.line
    ? { deg: joint.line.onBoard.tiltDeg, u: Math.hypot(joint.line.uBoard.tiltDeg, JOINT_TILT_DEG) }
    : (measureTilt(grid, line, line.side === 0 ? 0 : line.bend) ?? {
        deg: degFromRad(Math.atan(line.tilt)),
        u: tiltUncertainty(edge),
      });
  const around = line.side === 0 ? flat.u : line.bend;
  const drawn = drawnLine(edge);
  const finding: CutOffFinding = {
    found: 'cut-off',
    kind: line.shape,
    riseSide: line.side === 0 ? 'none' : line.side > 0 ? 'right' : 'left',
    dropPct,
    dropAtOffsetPct: 100 * flat.u,
    tiltDeg: { value: tilt.deg, parts: { [noise]: tilt.u } },
    elbow,
    sharpnessG: flat.inflection.g,
    linearitySpreadDeg: linearity(edge, around, line.side === 0 ? -oncoming : line.side),
    hotSpot: hotSpotOf(spot, noise),
    glareShare: glareShare(grid, flat, spot),
    edge: edge.points,
    line: drawn,
    twoWays: joint && {
      scanPct: -100 * flat.v,
      jointPct: -100 * (heightAt(flat.u) + joint.above),
      apart: settled.apart,
    },
    far: joint && context.litHeightMm !== null ? farReading(joint, lamp, context.shot, context.lamp) : null,
    signs: [],
  };
  const half = (mm: number) => mm / 2 / context.distanceMm;
  const seen = {
    grid,
    edge,
    spot,
    joint,
    added,
    halfHeight: half(lamp.heightMm),
    halfWidth: half(lamp.widthMm),
  };
  return { ...finding, lightByDrop: lightByDrop(seen), signs: beamSigns(finding, context, seen) };
}

/** A lamp whose size nobody measured: as large as most, and that hardly known. */
const USUAL_LAMP = { mm: 120, u: 0.4 } as const;

function litLampOf(context: BeamContext): LitLamp {
  const { litHeightMm, litWidthMm } = context;
  return {
    heightMm: litHeightMm ?? litWidthMm ?? USUAL_LAMP.mm,
    widthMm: litWidthMm ?? litHeightMm ?? USUAL_LAMP.mm,
    uSize: litHeightMm === null ? USUAL_LAMP.u : (context.uLitSize ?? 0.1),
    filling: context.filling ?? 'unknown',
    distanceMm: context.distanceMm,
  };
}

/** A jackknife over eight blocks of columns sees less than all of the noise. */
const SCAN_NOISE = 1.3;
/** How far either way errs on lamps of unlike families: about one standard deviation (accuracy run). */
const SCAN_SHAPE = 0.00012;
const JOINT_SHAPE = 0.0003;
/** The same for the joint fit's elbow, per cent, and tilt, deg: 0.02 % of height over 3 deg (room light dims sideways). */
const JOINT_ELBOW_PCT = 0.025;
const JOINT_TILT_DEG = 0.2;

/** The flat part's height from the scan at its own column and from the fit of the whole profile. */
function settleHeight(
  flat: FlatPart,
  joint: JointReading | null,
  heightAt: (u: number) => number,
): SettledHeight {
  const scan = { v: flat.v, uNoise: SCAN_NOISE * flat.uNoise, uShape: Math.hypot(flat.uShape, SCAN_SHAPE) };
  if (joint === null) return { ...scan, share: 1, apart: 0 };
  return settle(scan, { v: heightAt(flat.u) + joint.above, uNoise: joint.uAbove, uShape: JOINT_SHAPE });
}

/** The joint fit's elbow, on the settled flat part. */
function jointElbow(
  { onBoard, uBoard }: EdgeLineFit,
  flatV: number,
  flatU: number,
): { readonly u: number; readonly v: number; readonly uU: number } {
  const tilt = Math.tan(radFromDeg(onBoard.tiltDeg));
  return { u: onBoard.u, v: flatV + tilt * (onBoard.u - flatU), uU: uBoard.u };
}

/** The flat part at `at`, or as near to it as the board allows, still on the flat side. */
function measureNear(
  grid: LightGrid,
  at: number,
  riseSide: number,
  heightAt: (u: number) => number,
  edge: TracedEdge,
  doubts: FlatPartDoubts,
): FlatPart | null {
  for (const towardsElbow of [0, 0.5, 1.0, -0.7, -1.4]) {
    const u = at + riseSide * tanFromDeg(towardsElbow);
    const near = edge.points.filter((p) => p.used && Math.abs(p.u - u) < tanFromDeg(1)).length;
    if (near < 5) continue;
    const flat = measureFlatPart(grid, u, heightAt, doubts);
    if (flat) return flat;
  }
  return null;
}

/** What smearing and the choice of shape leave open in the elbow's place, per cent. */
function elbowShape(edge: TracedEdge): number {
  const { line } = edge;
  return (
    100 * Math.max(tanFromDeg(0.01), 0.15 * line.smear, (0.25 * edge.spread) / Math.max(0.1, line.slope))
  );
}

function tiltUncertainty(edge: TracedEdge): number {
  const used = edge.points.filter((p) => p.used);
  const mean = used.reduce((s, p) => s + p.u, 0) / used.length;
  const spreadU = Math.sqrt(used.reduce((s, p) => s + (p.u - mean) ** 2, 0));
  // Neighbouring points share columns: seven of them are worth about one.
  return degFromRad((edge.spread * Math.sqrt(7)) / Math.max(1e-6, spreadU));
}

/** Spread of the inflection at 1.5, 2.5 and 3.5 deg from the elbow, deg (cut-off annex, linearity; not judged here). */
function linearity(edge: TracedEdge, elbowU: number, side: number): number | null {
  const heights: number[] = [];
  for (const deg of [1.5, 2.5, 3.5]) {
    const u = elbowU - side * tanFromDeg(deg);
    const near = edge.points.filter((p) => p.used && Math.abs(p.u - u) < tanFromDeg(0.16));
    if (near.length === 0) return null;
    heights.push(near.reduce((s, p) => s + p.v, 0) / near.length);
  }
  return degFromRad(Math.max(...heights) - Math.min(...heights));
}

/** Median light 1 to 2.5 % above the flat part, as a share of the peak. */
function glareShare(grid: LightGrid, flat: FlatPart, spot: HotSpotMeasure): number | null {
  const values: number[] = [];
  for (let c = 0; c < grid.columns; c++) {
    if (Math.abs(grid.u0 + c * grid.du - flat.u) > tanFromDeg(1.5)) continue;
    for (let r = 0; r < grid.rows; r++) {
      const above = grid.v0 + r * grid.dv - flat.v;
      if (above < 0.01 || above > 0.025) continue;
      const e = grid.light[r * grid.columns + c]!;
      if (Number.isFinite(e)) values.push(e);
    }
  }
  if (values.length < 50) return null;
  values.sort((a, b) => a - b);
  return values[values.length >> 1]! / spot.peak;
}

function hotSpotFinding(
  grid: LightGrid,
  spot: HotSpotMeasure,
  context: BeamContext,
  why: string,
): HotSpotFinding | NothingFound {
  const halfWidth = 0.03;
  const nearEdge =
    spot.u < grid.u0 + halfWidth / 3 ||
    spot.u > grid.u0 + grid.du * grid.columns - halfWidth / 3 ||
    spot.v < grid.v0 + halfWidth / 3 ||
    spot.v > grid.v0 + grid.dv * grid.rows - halfWidth / 3;
  if (nearEdge) {
    return nothing(
      'edge-off-board',
      'the brightest place lies at the end of the board or the photo',
      'Move the board so that the whole bright zone falls on it.',
    );
  }
  const noise = causeId('noise', context.shot) as `noise@${string}`;
  const top = topEdge(grid, spot);
  const left = leftEdge(grid, spot);
  return {
    found: 'hot-spot',
    hotSpot: hotSpotOf(spot, noise),
    topEdgeDropPct: top && { value: -100 * top.at, parts: { [noise]: 100 * top.u } },
    leftEdgeOffsetPct: left && { value: 100 * left.at, parts: { [noise]: 100 * left.u } },
    whyNoCutOff: why,
    signs: [],
  };
}

function drawnLine(edge: TracedEdge): { u: number; v: number }[] {
  const used = edge.points.filter((p) => p.used);
  const first = used[0]!.u;
  const last = used[used.length - 1]!.u;
  const steps = 120;
  return Array.from({ length: steps + 1 }, (_, k) => {
    const u = first + ((last - first) * k) / steps;
    return { u, v: bentLineAt(edge.line, u) };
  });
}

function countKnown(grid: LightGrid): { share: number; clipped: number } {
  let known = 0;
  let clipped = 0;
  for (let i = 0; i < grid.light.length; i++) {
    if (!Number.isFinite(grid.light[i]!)) continue;
    known++;
    if (grid.clipped[i]! > 0.5) clipped++;
  }
  const total = grid.light.length || 1;
  return { share: known / total, clipped: known > 0 ? clipped / known : 0 };
}

function nothing(why: NothingFound['why'], detail: string, advice: string): NothingFound {
  const signs: readonly BeamSign[] = [];
  return { found: 'nothing', why, detail, advice, signs };
}
