import type { LightGrid } from '../sampling/light-grid.ts';
import type { BeamSign, CutOffFinding } from './finding.ts';
import type { HotSpotMeasure } from './hot-spot.ts';
import { AT_ODDS } from './joint/two-opinions.ts';
import { patchesAbove } from './signs/bright-places.ts';
import { lightMap } from './signs/light-map.ts';
import {
  doubleEdgeSign,
  isSoft,
  lightAboveSign,
  patchySign,
  softEdgeSign,
  twoSpotsSign,
  unfitSourceSign,
} from './signs/light-words.ts';
import { type BeamMeasures, measureBeam } from './signs/measures.ts';
import { hotSpotAstraySign, upsideDownSign, wrongSideSign } from './signs/place-words.ts';
import type { SeenLight } from './signs/seen-light.ts';
import { turnedSign } from './signs/turned-words.ts';
import { lowerEdge } from './signs/upside-down.ts';
import { sign } from './signs/words.ts';

/**
 * What the shape of the beam gives away about lamp and photo, gravest first: what was seen with its number, likely
 * causes in order, what to do. Each is said only when its measure is beyond its own uncertainty.
 *
 * @param seen the light that the finding was read from.
 */
export function beamSigns(
  finding: CutOffFinding,
  context: { readonly trafficSide: 'left' | 'right'; readonly function: string },
  seen: SeenLight,
): readonly BeamSign[] {
  const m = measureBeam(seen, finding);
  const light = lightSigns(m);
  // Haze fades upwards in folds of its own.
  const hazy = light.some((s) => s?.code === 'haze') && (m.second?.aboveDeg ?? 0) > 0;
  const double = hazy ? null : doubleEdgeSign(m.second);
  // A patchy or doubled picture may bend the traced edge anyhow: side, slope and heights are then not counted from it.
  const one = double === null && !light.some((s) => s?.code === 'unfit-source');
  const edgeClear = one && !isSoft(m.softness);
  const signs = [
    context.function === 'passing' && one ? wrongSideSign(finding, m.elbowSure, context.trafficSide) : null,
    double,
    ...light,
    edgeClear ? turnedSign(m.turned, m.softness) : null,
    context.function === 'passing' ? hotSpotAstraySign(m.hotSpot, edgeClear) : null,
    twoWaysSign(finding),
    burntOutSign(finding),
  ];
  return signs.filter((s) => s !== null);
}

/** Signs of a passing beam that shows no cut-off. */
export function signsWithoutCutOff(
  grid: LightGrid,
  spot: HotSpotMeasure,
  context: { readonly function: string },
  smear: number,
): readonly BeamSign[] {
  if (context.function !== 'passing') return [];
  const edge = lowerEdge(grid, spot, smear);
  if (edge !== null) return [upsideDownSign(edge)];
  const patchy = patchySign(patchesAbove(lightMap(grid, 4), spot));
  return patchy === null ? [] : [patchy];
}

/** One fault shows in several ways: a wider explanation takes the place of those that it holds. */
function lightSigns(m: BeamMeasures): readonly (BeamSign | null)[] {
  const unfit = unfitSourceSign(m);
  if (unfit !== null) return [unfit];
  const above = lightAboveSign(m);
  // Haze says itself whether the edge is soft.
  return [above, above?.code === 'haze' ? null : softEdgeSign(m.softness), twoSpotsSign(m.places)];
}

function twoWaysSign({ twoWays }: CutOffFinding): BeamSign | null {
  if (twoWays === null || Math.abs(twoWays.apart) <= AT_ODDS) return null;
  return sign('two-ways-differ', {
    seen: `Two ways of finding the edge differ: ${twoWays.scanPct.toFixed(2)} % by its steepest place, ${twoWays.jointPct.toFixed(2)} % by the whole run of its light.`,
    causes: 'Half of that is in the uncertainty.',
    advice: 'A shadow, a second edge or a hard-working camera can do this.',
  });
}

function burntOutSign({ hotSpot }: CutOffFinding): BeamSign | null {
  if (hotSpot === null || hotSpot.clippedShare <= 0.3) return null;
  return {
    code: 'hot-spot-burnt-out',
    text: 'The hot spot is burnt out, so its place is rough. The edge is not harmed. A darker photo would show the hot spot.',
  };
}
