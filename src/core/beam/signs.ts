import type { BeamSign, CutOffFinding } from './finding.ts';
import { AT_ODDS } from './joint/two-opinions.ts';

/** What the shape of the beam gives away about lamp and photo, in plain words. */
export function beamSigns(
  finding: CutOffFinding,
  context: { readonly trafficSide: 'left' | 'right'; readonly function: string },
): readonly BeamSign[] {
  const signs: BeamSign[] = [];
  if (finding.riseSide !== 'none' && finding.riseSide !== context.trafficSide) {
    signs.push({
      code: 'wrong-side',
      text: `The edge rises to the ${finding.riseSide}, but traffic keeps to the ${context.trafficSide}. The lamp may be made for the other side of the road, or the photo may be mirrored. Look at the lens marking.`,
    });
  }
  if (Math.abs(finding.tiltDeg.value) > 1.2) {
    const up = finding.tiltDeg.value > 0 ? 'right' : 'left';
    signs.push({
      code: 'tilted',
      text: `The level part of the edge slopes by ${Math.abs(finding.tiltDeg.value).toFixed(1)} degrees, ${up} side up. The bulb may not be seated, the bowl may be twisted, or the vehicle may lean.`,
    });
  }
  if (finding.sharpnessG !== null && finding.sharpnessG < 0.08) {
    signs.push({
      code: 'soft-edge',
      text: 'The edge is very soft. A dirty or misted lens, a wide lamp close to the board, or a photo out of focus can do this.',
    });
  }
  if (finding.twoWays !== null && Math.abs(finding.twoWays.apart) > AT_ODDS) {
    signs.push({
      code: 'two-ways-differ',
      text: `Two ways of finding the edge differ: ${finding.twoWays.scanPct.toFixed(2)} % by its steepest place, ${finding.twoWays.jointPct.toFixed(2)} % by the whole run of its light. Half of that is in the uncertainty. A shadow, a second edge or a hard-working camera can do this.`,
    });
  }
  if (finding.glareShare !== null && finding.glareShare > 0.06) {
    signs.push({
      code: 'light-above',
      text: 'Much light falls above the edge. Look for haze in the lens, a bulb not seated, or a light source that the lamp was not made for; room light does it too.',
    });
  }
  if (finding.hotSpot && finding.hotSpot.clippedShare > 0.3) {
    signs.push({
      code: 'hot-spot-burnt-out',
      text: 'The hot spot is burnt out, so its place is rough. The edge is not harmed. A darker photo would show the hot spot.',
    });
  }
  return signs;
}
