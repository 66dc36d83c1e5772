import { lineHeight } from '../core/beam/doubt/edge-survey.ts';
import type { BeamFinding, BeamSign, CutOffFinding, NothingFound } from '../core/beam/finding.ts';
import type { Registration } from '../core/board-view.ts';
import type { BoardPoint } from '../core/frames.ts';
import { boardPointAt, tangentOf } from '../core/geometry/lamp-tangents.ts';
import type { LampView } from '../core/lamp-view.ts';
import type { PhotoFacts, Raster } from '../core/raster.ts';
import type { LampFunction, Scheme } from '../core/rules/scheme.ts';
import type { BoardExtent } from '../core/sampling/sample-grid.ts';
import { causeId, withParts } from '../core/uncertainty/estimate.ts';
import { degFromRad, tanFromDeg } from '../core/units.ts';
import type { FoundMark } from '../vision/find-marks.ts';
import { lightAboveShare } from '../vision/photo-doubt/light-above.ts';
import { blurOnBoard, mmPerPixel } from '../vision/photo-doubt/mark-blur.ts';
import { isSqueezed, plainBars } from '../vision/photo-doubt/squeezed.ts';

/** What the photo's own pixels are asked after the beam was read. */
export interface PhotoDoubtInput {
  readonly shot: string;
  /** The photo that shows the beam, and what its file says. */
  readonly raster: Raster;
  readonly facts: PhotoFacts;
  /** Marks of this very photo; none when they were found in another one. */
  readonly marks: readonly FoundMark[];
  readonly registration: Registration;
  readonly view: LampView;
  readonly extent: BoardExtent | null;
}

/** Board as bright above the edge as this share of the beam: no lamp, or not the lamp alone, lights it. */
const BRIGHT_ABOVE = 0.45;
/** Marks too few, too small or too far off to place the edge: one standard uncertainty, per cent. */
const MOST_PLACE_PCT = 0.35;
/** Blur beyond which nobody should want a number, deg. */
const TOO_BLURRED_DEG = 0.25;
/**
 * Blur before the log is taken moves the edge up: 0.02, 0.06 and 0.12 % for 0.05, 0.08 and 0.12 deg (simulated; design
 * 4), so about 8.5 times the square.
 */
const PER_DEG2 = 8.5;
/** What a squeezed block of 8 px leaves open, as a share of its height. */
const PART_OF_BLOCK = 0.6;

/**
 * What speaks against a reading in the photo itself: light where a dipped beam leaves darkness, blur, a file squeezed too
 * small, a screenshot. Samples some thousand pixels.
 */
export function photoDoubts(beam: BeamFinding, of: PhotoDoubtInput): BeamFinding {
  if (beam.found !== 'cut-off') return beam;
  const share = lightAboveShare(
    of.raster,
    of.registration,
    aboveEdge(beam, of),
    clearMm(of.view),
    deepMm(of.view),
  );
  if (share !== null && share > BRIGHT_ABOVE) return refusal(beam, brightAbove(share));
  const vague = placeDoubtPct(beam, of);
  if (vague > MOST_PLACE_PCT) return refusal(beam, marksTooFar(vague));
  const blurMm = blurOnBoard(of.marks);
  const blurDeg = blurMm === null ? 0 : degFromRad(Math.atan(blurMm / of.view.distanceMm));
  if (blurDeg > TOO_BLURRED_DEG) return refusal(beam, BLURRED);
  const signs: BeamSign[] = [];
  const focusPct = PER_DEG2 * blurDeg ** 2;
  if (focusPct > 0.03) signs.push(SOFT_PHOTO);
  const squeezed = isSqueezed(of.raster);
  const blockPct = squeezed
    ? (100 * PART_OF_BLOCK * 8 * mmPerPixel(of.registration)) / of.view.distanceMm
    : 0;
  if (squeezed) signs.push(SQUEEZED_PHOTO);
  if (of.facts.exposureS === null && Math.min(...Object.values(plainBars(of.raster))) > 0.015)
    signs.push(SCREENSHOT);
  const focus = Math.hypot(focusPct, blockPct);
  const dropPct =
    focus < 0.002 ? beam.dropPct : withParts(beam.dropPct, { [causeId('focus', of.shot)]: focus });
  return { ...beam, dropPct, signs: [...beam.signs, ...signs] };
}

/** Standard uncertainty, per cent of distance, that finding the marks leaves at the measured place. */
function placeDoubtPct(beam: CutOffFinding, { registration, view }: PhotoDoubtInput): number {
  const at = boardPointAt(view, { u: beam.dropAtOffsetPct / 100, v: -beam.dropPct.value / 100 });
  const { centre, yVarMm2 } = registration.foundVar;
  const [even, across, up] = yVarMm2;
  const variance = even + across * (at.X - centre.X) ** 2 + up * (at.Y - centre.Y) ** 2;
  return (100 * Math.sqrt(variance)) / view.distanceMm;
}

/** What a row of a scheme may ask of a dipped beam that has no cut-off. */
const WITHOUT_CUT_OFF = ['hot-spot-centre', 'bright-zone-top-left'];

/**
 * A dipped or fog lamp whose light shows no edge: a reading only where a chosen scheme judges such lamps by their hot
 * spot (older ones, made so). Elsewhere it is a main beam, a torch, fog, or a photo that lost the edge.
 */
export function withoutCutOff(
  beam: BeamFinding,
  lamp: { readonly function: LampFunction },
  schemes: readonly Scheme[],
): BeamFinding {
  if (beam.found !== 'hot-spot' || lamp.function === 'driving') return beam;
  const judged = schemes.some((s) => s.rows.some((row) => WITHOUT_CUT_OFF.includes(row.feature)));
  if (judged) return beam;
  return {
    found: 'nothing',
    why: 'no-edge',
    detail: `the light has a brightest place but no edge above it (${beam.whyNoCutOff}): main beam, a lamp without cut-off, or other light than the lamp's`,
    advice:
      'Switch to dipped beam, put other lights out and see that the whole edge falls on the board. For an old lamp without a cut-off choose a scheme that judges the hot spot.',
    signs: beam.signs,
  };
}

/** Height over the edge, mm; not a number outside the board and beside the line that was read. */
function aboveEdge(beam: CutOffFinding, of: PhotoDoubtInput): (p: BoardPoint) => number {
  const height = lineHeight(beam);
  const from = beam.line[0]!.u;
  const to = beam.line[beam.line.length - 1]!.u;
  const area = of.extent ?? boxOf(of.registration.points.map((p) => p.board));
  return (p) => {
    if (p.X < area.left || p.X > area.right || p.Y < area.bottom || p.Y > area.top) return Number.NaN;
    const t = tangentOf(of.view, p);
    if (t.u < from || t.u > to) return Number.NaN;
    return (t.v - height(t.u)) * of.view.distanceMm;
  };
}

const clearMm = (view: LampView): number => tanFromDeg(1.5) * view.distanceMm;
const deepMm = (view: LampView): number => tanFromDeg(2.5) * view.distanceMm;

function boxOf(points: readonly BoardPoint[]): BoardExtent {
  const xs = points.map((p) => p.X);
  const ys = points.map((p) => p.Y);
  return {
    left: Math.min(...xs),
    right: Math.max(...xs),
    bottom: Math.min(...ys),
    top: Math.max(...ys),
  };
}

function refusal(beam: CutOffFinding, words: Pick<NothingFound, 'why' | 'detail' | 'advice'>): NothingFound {
  return { found: 'nothing', ...words, signs: beam.signs };
}

const brightAbove = (share: number) => ({
  why: 'other-light' as const,
  detail: `well above the edge the board is ${Math.round(100 * share)} % as bright as in the beam, where a dipped beam leaves it dark: the board is lit by something else, or this is a picture of a beam`,
  advice:
    "Put out every other light, wait for darkness, and photograph the lamp's own light on a plain board.",
});

const marksTooFar = (pct: number) => ({
  why: 'marks-too-vague' as const,
  detail: `the marks that were recognised place the edge only to ${(2 * pct).toFixed(1)} % of the distance: too few, blurred, or all in one corner`,
  advice:
    'Bring more sheets into the picture, spread over the board and sharp; hold the camera still and focus on them.',
});

const BLURRED = {
  why: 'blurred',
  detail: 'the photo is so blurred that the marks have lost their outlines, and with them the edge',
  advice: 'Put the camera on a tripod, use the timer, tap the marks to focus, and take the photo again.',
} as const;

const SOFT_PHOTO: BeamSign = {
  code: 'soft-photo',
  text: 'The photo is not sharp: the printed marks are blurred, and the edge with them. Use a tripod and the timer, and tap the marks to focus.',
};

const SQUEEZED_PHOTO: BeamSign = {
  code: 'squeezed-photo',
  text: 'The file was squeezed so small that its light comes in steps. Use the photo as the camera saved it, not a copy from a message.',
};

const SCREENSHOT: BeamSign = {
  code: 'screenshot',
  text: 'This looks like a screenshot: plain bars above and below, and no word of how it was taken. Use the photo itself.',
};
