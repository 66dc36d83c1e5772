import type { BeamSign } from '../finding.ts';
import type { Softness } from './softness.ts';
import { NOMINAL_RISE, type Turned } from './turned.ts';
import { AT_THE_BULB, degrees, sign } from './words.ts';

/**
 * Less tilt than this is left unsaid, deg: it lifts the edge 12 % aside by 0.25 %, half the width of the usual band for
 * the first aim (R48-A1, 1.0 to 1.5 %, from memory). No rule that we hold limits the tilt itself.
 */
const LEAST_TILT = 1.2;
/** The rise is said to lean along when its angle against the level part is right within this, deg, beyond its own 2u. */
const ALONG = 1.5;
/** More than this no car with soft tyres, and no garage floor, leans: 61 mm over a track of 1400 mm. */
const MORE_THAN_FLOOR = 2.5;

/** An edge softer than the rules allow (G-3) does not hold its slope as well as its scatter says. */
const SOFT = 0.13;
const LEAST_WHEN_SOFT = 2.5;

/** Level part tilted; with the rise leaning along, the whole picture is turned. */
export function turnedSign(turned: Turned, softness: Softness | null): BeamSign | null {
  const { tiltDeg, uDeg, rise } = turned;
  if (Math.abs(tiltDeg) - 2 * uDeg < LEAST_TILT) return null;
  if (softness !== null && softness.g.mean < SOFT && Math.abs(tiltDeg) < LEAST_WHEN_SOFT) return null;
  const side = tiltDeg > 0 ? 'right' : 'left';
  const seen = `The level part of the edge slopes by ${degrees(tiltDeg)}, ${side} side up`;
  const much = Math.abs(tiltDeg) > MORE_THAN_FLOOR;
  const outside =
    'the board or its level line is not level, the vehicle leans (a soft tyre, a sloping floor, a motorcycle not upright)';
  const inside = 'the bulb is not seated in its notches, or bowl or lens sits twisted';
  const check = `Check the board's line with a spirit level first: it costs nothing. If the other lamp slopes the same way by as much, it is board or vehicle; if only this one does, look at its bulb and seat. ${AT_THE_BULB}`;
  if (rise !== null && Math.abs(rise.fromFlatDeg - NOMINAL_RISE) < ALONG + 2 * rise.uDeg) {
    return sign('twisted', {
      seen: `${seen}, and the rise leans along with it (${degrees(rise.deg)} instead of ${NOMINAL_RISE}): the whole picture is turned.`,
      causes: much
        ? `Likely, in this order: bowl, lens or bulb turned in its seat; a motorcycle not upright; the board or its level line not level.`
        : `Likely, in this order: ${outside}; ${inside}.`,
      advice: check,
    });
  }
  const apart =
    rise === null
      ? '.'
      : `, but the rise does not lean along with it (${degrees(rise.deg)}, against ${NOMINAL_RISE} by the rules).`;
  return sign('tilted', {
    seen: `${seen}${apart}`,
    causes:
      much || rise !== null
        ? `Likely, in this order: ${inside}; a motorcycle not upright; the board or its level line not level.`
        : `Likely, in this order: ${outside}; ${inside}.`,
    advice: check,
  });
}
