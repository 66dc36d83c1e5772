import { boardPointAt, tangentOf } from '../geometry/lamp-tangents.ts';
import type { LampGeometry } from '../lamp-view.ts';
import { type CauseId, causeId, type Estimate, propagate, withParts } from '../uncertainty/estimate.ts';
import { type PlannedShot, plannedGeometry } from './methods.ts';

/** Drop and offset as a reading made here would give them: values are the aim's, parts are what each cause adds. */
export interface Forecast {
  readonly dropPct: Estimate;
  readonly offsetPct: Estimate;
  readonly geometry: LampGeometry;
}

/** Sheets on the board of a plan: their places average. */
const SHEETS = 3;

/**
 * What a reading at a planned place would be, with its budget: bay and lamp by the geometry of a real reading
 * (first-order, JCGM 100, 5.1.3), the photo by its measured figures, the sheets by how well they are hung.
 *
 * @param aim where the edge is supposed to stand on this board, per cent, drop + down, offset + right.
 */
export function forecast(
  shot: PlannedShot,
  aim: { readonly dropPct: number; readonly offsetPct: number },
): Forecast {
  const geometry = plannedGeometry(shot);
  const nominal = geometry.view(geometry.inputs.map((input) => input.value));
  // The light fixes a place on the board; the numbers of bay and lamp then make tangents of it.
  const at = boardPointAt(nominal, { u: aim.offsetPct / 100, v: -aim.dropPct / 100 });
  const [drop, offset] = propagate(geometry.inputs, (x) => {
    const t = tangentOf(geometry.view(x), at);
    return [-100 * t.v, 100 * t.u];
  });
  const place = shot.setup ?? 'planned';
  const hung = (100 * shot.u.sheetPlace) / Math.sqrt(SHEETS) / shot.distanceMm;
  const { photo } = shot.u;
  const here = (kind: 'shape-model' | 'marks-placed', what: string): CauseId =>
    causeId(kind, `${place}-${what}`);
  return {
    geometry,
    dropPct: withParts(drop!, {
      [here('shape-model', 'drop')]: photo.dropShotPct,
      tone: photo.dropCameraPct,
      [here('marks-placed', 'y')]: -hung,
    }),
    offsetPct: withParts(offset!, {
      [here('shape-model', 'elbow')]: photo.offsetPct,
      [here('marks-placed', 'x')]: hung,
    }),
  };
}
