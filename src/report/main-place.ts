/** The place on a beam that the tape measures and the target speaks of. */
import { tangentOf } from '../core/geometry/lamp-tangents.ts';
import { dropOnEdgeLine, VOR_OFFSET_PCT } from '../core/rules/top-edge.ts';
import type { Estimate } from '../core/uncertainty/estimate.ts';
import type { ReadShot } from '../job/result.ts';

export interface MainPlace {
  readonly kind: 'edge' | 'hot-spot' | 'zone-top';
  /** As it stands in a sentence: "edge", "hot spot". */
  readonly what: string;
  /** Drop with all its causes, per cent, and the column where it holds, per cent to the right. */
  readonly drop: Estimate;
  readonly offsetPct: number;
}

/**
 * The main place of a reading: the level part of the edge where it was read; or, where the chosen schemes aim by
 * something else, that: the edge 2° right, the hot spot, the top of its bright zone. null when there is neither.
 */
export function mainPlace(shot: ReadShot): MainPlace | null {
  const feature = shot.aim?.kind === 'shared' ? shot.aim.feature : null;
  const { beam, dropPct, hotSpot } = shot;
  if (beam.found === 'cut-off' && dropPct !== null && feature !== 'hot-spot' && feature !== 'bright-zone') {
    if (feature === 'cut-off-2.0R') {
      const there = dropOnEdgeLine(beam.line, beam.dropAtOffsetPct, dropPct, VOR_OFFSET_PCT);
      if (there !== null)
        return { kind: 'edge', what: 'edge 2° to the right', drop: there, offsetPct: VOR_OFFSET_PCT };
    }
    return { kind: 'edge', what: 'edge', drop: dropPct, offsetPct: beam.dropAtOffsetPct };
  }
  if (hotSpot === null) return null;
  const offsetPct = hotSpot.offsetPct.value;
  if (feature === 'bright-zone' && shot.target !== null) {
    // The target tells where the top of the bright zone stands now; bay and lamp make it as unsure as the hot spot.
    const { aboveCentreMm, moveMm } = shot.target;
    const { axisFoot } = shot.view;
    const now = tangentOf(shot.view, {
      X: axisFoot.X + (offsetPct * shot.view.distanceMm) / 100,
      Y: axisFoot.Y + aboveCentreMm - moveMm,
    });
    const drop = { value: -100 * now.v, parts: hotSpot.dropPct.parts };
    return { kind: 'zone-top', what: 'top of the bright zone', drop, offsetPct };
  }
  return { kind: 'hot-spot', what: 'hot spot', drop: hotSpot.dropPct, offsetPct };
}
