import type { CutOffFinding } from '../finding.ts';
import { type HotSpotPlace, hotSpotPlace } from './astray.ts';
import { type BrightPlaces, brightPlaces } from './bright-places.ts';
import { type LightAbove, lightAbove } from './light-above.ts';
import { lightMap } from './light-map.ts';
import { type SecondEdge, secondEdge } from './second-edge.ts';
import type { SeenLight } from './seen-light.ts';
import { type Softness, softnessOf } from './softness.ts';
import { elbowSure, type Turned, turnedOf } from './turned.ts';

/** Everything that is measured before a word is said. */
export interface BeamMeasures {
  readonly turned: Turned;
  /** There is an elbow beyond doubt. */
  readonly elbowSure: boolean;
  /** Null where the joint fit failed. */
  readonly softness: Softness | null;
  readonly above: LightAbove | null;
  readonly second: SecondEdge | null;
  readonly places: BrightPlaces;
  readonly hotSpot: HotSpotPlace;
}

export function measureBeam(seen: SeenLight, finding: CutOffFinding): BeamMeasures {
  const fine = lightMap(seen.grid, 1);
  const turned = turnedOf(seen, finding);
  const sure = elbowSure(seen, turned, finding);
  return {
    turned,
    elbowSure: sure,
    softness: seen.joint === null ? null : softnessOf(seen.joint),
    above: lightAbove(seen, fine),
    second: secondEdge(seen),
    places: brightPlaces(seen, lightMap(seen.grid, 4)),
    hotSpot: hotSpotPlace(seen, finding, sure),
  };
}
