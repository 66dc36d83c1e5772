import type { BeamSign, CutOffFinding } from '../finding.ts';
import type { HotSpotPlace } from './astray.ts';
import type { LowerEdge } from './upside-down.ts';
import { AT_THE_BULB, degrees, sign } from './words.ts';

/**
 * Where the hot spot belongs, deg from the elbow towards the rise and below the level part. The test points that must be
 * brightest stand 1.15 and 1.72 deg aside, 0 to 0.3 deg below the edge (75R, 50R: R112, from memory), and a spot 1.8 deg
 * below the edge lights the road 16 m ahead of a lamp 0.65 m high; lamps differ, so the range is wide.
 */
const ASIDE = { least: -2, most: 4.5 } as const;
const BELOW = { least: -0.3, most: 1.8 } as const;

export function wrongSideSign(
  finding: CutOffFinding,
  elbowSure: boolean,
  trafficSide: 'left' | 'right',
): BeamSign | null {
  const { riseSide } = finding;
  if (riseSide === 'none' || riseSide === trafficSide || !elbowSure) return null;
  return sign('wrong-side', {
    seen: `The edge rises to the ${riseSide}, but traffic keeps to the ${trafficSide}.`,
    causes:
      'Likely, in this order: a lamp made for the other side of the road; a lever or mask in the lamp set for abroad; a mirrored photo.',
    advice:
      "Look at the arrow or letters on the lens, and for a lever behind the lamp. A lamp for the other side dazzles oncoming drivers whatever its aim: don't drive with it, ask a licensed tester.",
  });
}

/** @param edgeClear whether there is one sharp edge to count the height from. */
export function hotSpotAstraySign(place: HotSpotPlace, edgeClear: boolean): BeamSign | null {
  const { asideDeg, belowDeg, uAsideDeg, uBelowDeg } = place;
  const where: string[] = [];
  if (asideDeg !== null && asideDeg + 2 * uAsideDeg < ASIDE.least)
    where.push(`${degrees(asideDeg)} to the wrong side of the elbow`);
  if (asideDeg !== null && asideDeg - 2 * uAsideDeg > ASIDE.most)
    where.push(`${degrees(asideDeg)} from the elbow towards the rise`);
  if (edgeClear && belowDeg - 2 * uBelowDeg > BELOW.most) where.push(`${degrees(belowDeg)} below the edge`);
  if (edgeClear && belowDeg + 2 * uBelowDeg < BELOW.least)
    where.push(`${degrees(belowDeg)} above the level part of the edge`);
  if (where.length === 0) return null;
  return sign('hot-spot-astray', {
    seen: `The hot spot lies ${where.join(' and ')}; it belongs just below the edge, 0 to 3 degrees from the elbow towards the rise.`,
    causes:
      'Likely, in this order: a bulb not seated, or its filament sagged; a bowl bent, loose or of another lamp; a lens of another lamp.',
    advice: `Don't bring the hot spot to its place with the adjusters: the edge decides. Seat the bulb anew or try another one of the right marking. ${AT_THE_BULB}`,
  });
}

export function upsideDownSign(edge: LowerEdge): BeamSign {
  return sign('upside-down', {
    seen: `The beam has a sharp edge at its lower end, ${degrees(edge.belowSpotDeg)} below the hot spot and ${Math.round(edge.wideDeg)} degrees wide, and none above: it is thrown up.`,
    causes:
      'Likely, in this order: the bulb is in its holder the wrong way up; the lamp is mounted upside down; the photo is upside down.',
    advice: `Take the bulb out and look for the notch or the largest lug, which goes where the holder has room for it. ${AT_THE_BULB} It dazzles everybody: don't drive with it.`,
  });
}
