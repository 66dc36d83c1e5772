import type { BeamFinding, HotSpot } from '../core/beam/finding.ts';
import { exactly } from '../core/uncertainty/estimate.ts';
import { placeAim, placeTilt, type ShotPlace } from './bay-causes.ts';
import type { BeamAim } from './judge-shot.ts';
import type { ReadShot } from './result.ts';

/** Every figure of a beam with bay, lamp and marks added; null for what the beam does not show. */
export function aimOfBeam(
  place: ShotPlace,
  beam: BeamFinding,
): BeamAim & { readonly tiltDeg: ReadShot['tiltDeg'] } {
  const none = {
    dropPct: null,
    offsetPct: null,
    elbowDropPct: null,
    hotSpot: null,
    brightZone: null,
    tiltDeg: null,
  };
  if (beam.found === 'nothing') return none;
  if (beam.found === 'hot-spot') {
    const top = beam.topEdgeDropPct;
    const left = beam.leftEdgeOffsetPct;
    return {
      ...none,
      hotSpot: placeHotSpot(place, beam.hotSpot),
      brightZone: {
        topDropPct:
          top === null
            ? null
            : placeAim(place, { dropPct: top, offsetPct: exactly(beam.hotSpot.offsetPct.value) }).dropPct,
        leftOffsetPct:
          left === null
            ? null
            : placeAim(place, { dropPct: exactly(beam.hotSpot.dropPct.value), offsetPct: left }).offsetPct,
      },
    };
  }
  const flat = placeAim(place, { dropPct: beam.dropPct, offsetPct: exactly(beam.dropAtOffsetPct) });
  const elbow = beam.elbow.found ? placeAim(place, beam.elbow) : null;
  return {
    dropPct: flat.dropPct,
    offsetPct: elbow?.offsetPct ?? null,
    elbowDropPct: elbow?.dropPct ?? null,
    hotSpot: beam.hotSpot === null ? null : placeHotSpot(place, beam.hotSpot),
    brightZone: null,
    tiltDeg: placeTilt(place, beam.tiltDeg, beam.dropPct.value, beam.dropAtOffsetPct),
  };
}

function placeHotSpot(place: ShotPlace, spot: HotSpot): NonNullable<BeamAim['hotSpot']> {
  return placeAim(place, spot);
}
