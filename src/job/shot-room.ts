import type { Registration } from '../core/board-view.ts';
import { ratioU, solveGains } from '../core/photometry/merge-ratios.ts';
import type { ToneFit } from '../core/photometry/tone-fit.ts';
import { boardAlbedo, withoutAlbedo } from '../core/sampling/board-albedo.ts';
import type { LightGrid } from '../core/sampling/light-grid.ts';
import { withoutRoom } from '../core/sampling/merge-room.ts';
import { sampleLightGrid } from '../core/sampling/sample-grid.ts';
import { shiftedView } from '../vision/camera-shift.ts';
import { followCamera } from './camera-moves.ts';
import type { LightRun } from './shot-light.ts';
import { cardOf, exposureOf, type ShotPhotos } from './shot-photos.ts';

/** The lit board on its scale. */
export interface LitBoard {
  readonly grid: LightGrid;
  /** Of a merged grid: ln exposure of its scale and of the lamps-off photo, and the doubt of their ratio. */
  readonly unitLn: number;
  readonly offLn: number | null;
  readonly uLn: number | null;
  /** Of a single frame: its exposure by the file. */
  readonly frame: { readonly exposure: number | null };
}

export interface RoomOutcome {
  readonly grid: LightGrid;
  readonly out: boolean;
  readonly uLeft: number;
  readonly warnings: readonly string[];
}

/**
 * Takes the room's light out by the photo with the lamps off, scaled by the ratio of the exposures; where that photo is
 * bright and even enough to tell the board's uneven reflectance, that is divided out too. A photo that can't serve is
 * named in a warning, and the light stays as it was.
 */
export async function subtractRoom(
  run: LightRun,
  photos: Extract<ShotPhotos, { ok: true }>,
  registration: Registration,
  tone: ToneFit,
  lit: LitBoard,
): Promise<RoomOutcome> {
  const { lampsOff, reference } = photos;
  const kept = { grid: lit.grid, out: false, uLeft: 0 };
  if (lampsOff === null) return { ...kept, warnings: [] };
  const leftOut = (why: string): RoomOutcome => ({
    ...kept,
    warnings: [`The lamps-off photo was not subtracted: ${why}.`],
  });
  const offExposure = exposureOf(lampsOff.facts);
  if (offExposure === null || (lit.offLn === null && lit.frame.exposure === null))
    return leftOut('its file, or that of the lit photo, does not say how it was exposed');
  run.signal?.throwIfAborted();
  const open = await run.shelf.open(lampsOff.path);
  const went = await followCamera(reference, open, cardOf(run.shelf, reference), false);
  if (!went.found && went.why === 'size') return leftOut(`it has another size; ${went.detail}`);
  if (!went.found && went.why === 'moved') return leftOut(went.detail);
  // Room light has no edges: a nudge that can't be seen does it no harm.
  const view = went.found ? shiftedView(registration.view, went) : registration.view;
  const { grid } = lit;
  const off = sampleLightGrid(
    open.photo.raster,
    { view, printedAreas: registration.printedAreas },
    run.view,
    {
      extent: run.extent,
      spec: {
        minU: grid.u0 - grid.du / 2,
        maxU: grid.u0 + (grid.columns - 0.5) * grid.du + 1e-9,
        minV: grid.v0 - grid.dv / 2,
        maxV: grid.v0 + (grid.rows - 0.5) * grid.dv + 1e-9,
        du: grid.du,
        dv: grid.dv,
      },
      tone: tone.params,
    },
  );
  const ratio = ratioOf(lit, offExposure);
  const taken = withoutRoom(grid, off, ratio);
  if (!taken.taken) {
    return leftOut(
      {
        'burnt-out': 'the room is burnt out in it; expose it no longer than the lit photo',
        'brighter-than-lit':
          'the room is brighter in it than with the lamps lit; it was exposed differently from what its file says, or the light changed',
        'unknown-ratio': 'how its exposure compares is not known well enough; lock the exposure for both',
      }[taken.why],
    );
  }
  const albedo = boardAlbedo(off);
  return {
    grid: albedo === null ? taken.grid : withoutAlbedo(taken.grid, albedo),
    out: true,
    uLeft: taken.uLeft,
    warnings: [],
  };
}

/** Exposure of the lit grid's scale over that of the lamps-off photo. */
function ratioOf(lit: LitBoard, offExposure: number): { readonly value: number; readonly uLn: number } {
  if (lit.offLn !== null && lit.uLn !== null)
    return { value: Math.exp(lit.unitLn - lit.offLn), uLn: lit.uLn };
  const gains = solveGains([lit.frame, { exposure: offExposure }], []);
  return { value: Math.exp(gains.ln[0]! - gains.ln[1]!), uLn: ratioU(gains, 0, 1) };
}
