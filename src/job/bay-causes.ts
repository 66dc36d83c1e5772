import type { PlaceVariance, Registration } from '../core/board-view.ts';
import type { BoardPoint, Tangent } from '../core/frames.ts';
import { boardPointAt, tangentOf } from '../core/geometry/lamp-tangents.ts';
import type { LampGeometry, LampView } from '../core/lamp-view.ts';
import { type CauseId, causeId, type Estimate, propagate, withParts } from '../core/uncertainty/estimate.ts';
import { degFromRad } from '../core/units.ts';

type Parts = Readonly<Partial<Record<CauseId, number>>>;

/** What is needed to add bay, lamp and marks to what the light said. */
export interface ShotPlace {
  readonly shot: string;
  readonly geometry: LampGeometry;
  /** The geometry's view at its nominal numbers: where the light was sampled. */
  readonly view: LampView;
  readonly registration: Pick<Registration, 'points' | 'foundVar' | 'placedVar'>;
}

/** The lamp's view with every number at its value. */
export function nominalView(geometry: LampGeometry): LampView {
  return geometry.view(geometry.inputs.map((input) => input.value));
}

/** Drop and offset of one place of the beam, per cent, with every cause. */
export interface PlacedAim {
  readonly dropPct: Estimate;
  readonly offsetPct: Estimate;
}

/**
 * A drop and an offset read in the lamp's nominal tangents, with what bay, lamp and marks add.
 *
 * The light fixed a place on the board; that place stays while bay and lamp numbers are moved by their standard
 * uncertainties, and each is followed to the tangents it makes of the place (JCGM 100, 5.1.3). Marks move the place.
 *
 * @param light the two figures with the light's own causes, per cent.
 */
export function placeAim(
  place: ShotPlace,
  light: { readonly dropPct: Estimate; readonly offsetPct: Estimate },
): PlacedAim {
  const at = boardPointAt(place.view, tangentAt(light.offsetPct.value, light.dropPct.value));
  const [drop, offset] = propagate(place.geometry.inputs, (x) => {
    const t = tangentOf(place.geometry.view(x), at);
    return [-100 * t.v, 100 * t.u];
  });
  const marks = marksParts(place, at);
  return {
    dropPct: withParts(withParts(light.dropPct, drop!.parts), marks.drop),
    offsetPct: withParts(withParts(light.offsetPct, offset!.parts), marks.offset),
  };
}

/** Half the stretch of edge over which tilt is followed, per cent: 2.5 deg and more of flat part are usual. */
const TILT_REACH_PCT = 2;

/**
 * The tilt of the flat part, deg, + right side up, with what board and marks add to it.
 * @param dropPct, atOffsetPct a place on the flat part, in nominal tangents.
 */
export function placeTilt(
  place: ShotPlace,
  tiltDeg: Estimate,
  dropPct: number,
  atOffsetPct: number,
): Estimate {
  const slope = Math.tan((tiltDeg.value * Math.PI) / 180);
  const end = (side: number) =>
    boardPointAt(
      place.view,
      tangentAt(atOffsetPct + side * TILT_REACH_PCT, dropPct - side * TILT_REACH_PCT * slope),
    );
  const left = end(-1);
  const right = end(1);
  const [tilt] = propagate(place.geometry.inputs, (x) => {
    const view = place.geometry.view(x);
    const a = tangentOf(view, left);
    const b = tangentOf(view, right);
    return [degFromRad(Math.atan2(b.v - a.v, b.u - a.u))];
  });
  const turnOf = (variance: PlaceVariance) => degFromRad(Math.sqrt(Math.max(0, variance.yVarMm2[1])));
  const { foundVar, placedVar } = place.registration;
  return withParts(withParts(tiltDeg, tilt!.parts), {
    [foundCause(place, 'y-turn')]: turnOf(foundVar),
    [placedCause(place, 'y-turn')]: turnOf(placedVar),
  });
}

function tangentAt(offsetPct: number, dropPct: number): Tangent {
  return { u: offsetPct / 100, v: -dropPct / 100 };
}

function foundCause(place: ShotPlace, what: string): CauseId {
  return causeId('marks-found', `${place.shot}-${what}`);
}

/**
 * Marks misplaced on the board are one error for all shots that used the same marks, and then cancel from a difference;
 * shots that used different ones are taken as independent.
 */
function placedCause(place: ShotPlace, what: string): CauseId {
  const used = place.registration.points.filter((p) => p.used).map((p) => bodyOf(p.name));
  return causeId('marks-placed', `${[...new Set(used)].sort().join('+')}-${what}`);
}

/** 'sheet 3 mark 1 corner 2' moves with its sheet: 'sheet3'; a cross stands for itself. */
function bodyOf(pointName: string): string {
  return pointName.replace(/ mark \d+ corner \d+$/, '').replace(/\s+/g, '');
}

/** What marks add at a board place: a common shift, a turn (grows with X) and a scale (grows with Y), each signed. */
function marksParts(place: ShotPlace, at: BoardPoint): { readonly drop: Parts; readonly offset: Parts } {
  const drop: Partial<Record<CauseId, number>> = {};
  const offset: Partial<Record<CauseId, number>> = {};
  const perMm = 100 / place.view.distanceMm;
  const add = (variance: PlaceVariance, cause: typeof placedCause) => {
    const across = at.X - variance.centre.X;
    const up = at.Y - variance.centre.Y;
    const root = (v: number) => Math.sqrt(Math.max(0, v));
    const [y0, yX, yY] = variance.yVarMm2;
    const [x0, xX, xY] = variance.xVarMm2;
    drop[cause(place, 'y')] = -perMm * root(y0);
    drop[cause(place, 'y-turn')] = -perMm * root(yX) * across;
    drop[cause(place, 'y-scale')] = -perMm * root(yY) * up;
    offset[cause(place, 'x')] = perMm * root(x0);
    offset[cause(place, 'x-scale')] = perMm * root(xX) * across;
    offset[cause(place, 'x-turn')] = perMm * root(xY) * up;
  };
  add(place.registration.foundVar, foundCause);
  add(place.registration.placedVar, placedCause);
  return { drop, offset };
}
