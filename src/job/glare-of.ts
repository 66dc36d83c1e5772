import type { BeamFinding, BeamSign } from '../core/beam/finding.ts';
import type { CommonAim } from '../core/rules/common-aim.ts';
import { type Estimate, expandedUncertainty } from '../core/uncertainty/estimate.ts';

/** The edge's own softness reaches this far above it, per cent: light there is no glare yet (common practice, no source). */
const SHOULDER = 0.25;
/** Less than this share of the peak there is what sound lamps send above their edge anyway. */
const WORTH_SAYING = 0.05;

/**
 * Light where the chosen schemes want none: higher than they let the edge stand, on the level side, where oncoming eyes
 * are. Said only when the edge is too high beyond its uncertainty, and with the least share that the doubt allows.
 *
 * @param drop of the edge with all its causes, per cent.
 */
export function glareSign(beam: BeamFinding, drop: Estimate | null, aim: CommonAim | null): BeamSign | null {
  if (beam.found !== 'cut-off' || drop === null || aim === null || aim.kind !== 'shared') return null;
  if (aim.feature !== 'cut-off' || aim.dropBand.minPct === null) return null;
  const highest = aim.dropBand.minPct;
  // Near field lifts the edge on a near board: all of what it may have lifted is granted.
  const doubt = expandedUncertainty(drop) + Math.max(0, aim.farShiftPct.max);
  if (drop.value + doubt >= highest) return null;
  const sure = (beam.lightByDrop ?? []).filter((l) => l.dropPct <= highest - SHOULDER - doubt);
  const share = sure.reduce((most, l) => Math.max(most, l.share), 0);
  if (share < WORTH_SAYING) return null;
  return {
    code: 'glare-in-zone',
    text: `At least ${Math.round(100 * share)} % of the beam's peak goes higher than the chosen rules let the edge stand (${highest.toFixed(2)} % down), on the side of oncoming traffic. Likely: the lamp is aimed too high, or the vehicle sits low at the back. Bring the edge down before anything else, and don't drive with it until then: it dazzles.`,
  };
}
