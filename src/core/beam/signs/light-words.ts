import type { BeamSign } from '../finding.ts';
import type { BrightPlaces, Patches } from './bright-places.ts';
import type { LightAbove } from './light-above.ts';
import type { BeamMeasures } from './measures.ts';
import type { SecondEdge } from './second-edge.ts';
import type { Softness } from './softness.ts';
import { AT_THE_BULB, degrees, percent, sign } from './words.ts';

/**
 * Light above the edge that is worth a word, share of the peak: 0.6 lx at 25 m on the oncoming side (textbook, standards
 * S14) over the 24 lx that a weak but sound lamp has at its brightest (common practice, no source).
 */
const MUCH_LIGHT = 0.025;
/** The same over the bright light just below the edge: what is left to go by when the peak is burnt out. */
const MUCH_OF_BRIGHT = 0.035;
const MUCH_OF_BRIGHT_BURNT = 0.05;
/** With room light: 10 lx on a board where a weak lamp gives 180 lx at 10 m is 5.5 %; more is no dark garage. */
const MUCH_WITH_ROOM = 0.08;
/** Scattered light reaches far up: this share of the near light is still there 2.5 to 4.5 deg up. */
const WIDESPREAD = 0.2;
/** Softer than this is no cut-off that an instrument takes: 0.13 far away (standards G-3), less what our fit may be off. */
const SOFT = 0.1;
/** With G at its limit two decades of light fall from three quarters to one quarter within 0.7 deg: wider is blurred. */
const SOFTISH = 0.14;
const WIDE = 0.9;
/** A streak's light beyond its surroundings, share of the peak, and its area, deg2. */
const STREAK = 0.02;
const STREAK_AREA = 0.25;
/** Streaks as bright as this are more than drops and dirt make. */
const BRIGHT_STREAK = 0.05;
const GAP = 0.75;
const SECOND_SPOT = 0.85;

export function muchLight(above: LightAbove | null): boolean {
  if (above === null) return false;
  const ofBright = above.atMost ? MUCH_OF_BRIGHT_BURNT : MUCH_OF_BRIGHT;
  return above.near - 2 * above.u > MUCH_LIGHT && above.ofBright > ofBright;
}

export function isSoft(softness: Softness | null): boolean {
  return (
    softness !== null &&
    (softness.g.most < SOFT || (softness.g.most < SOFTISH && softness.widthDeg.least > WIDE))
  );
}

const hasStreaks = (above: LightAbove | null, places: BrightPlaces): boolean =>
  (above !== null && above.streak > STREAK && above.streakArea > STREAK_AREA) || places.patches > 0;

export function hasSecondSpot(places: BrightPlaces): boolean {
  const { second } = places;
  return second !== null && second.between < SECOND_SPOT && Math.hypot(second.rightDeg, second.upDeg) > 1.5;
}

const isHollow = (places: BrightPlaces): boolean => places.gap !== null && places.gap.left < GAP;

/**
 * What a source of the wrong size or place does, all together: said with two of these and streaks among them, or with
 * three, and never as a certainty.
 */
export function unfitSourceSign(m: BeamMeasures): BeamSign | null {
  const streaks = hasStreaks(m.above, m.places);
  const share = streakShare(m);
  // Streaks as bright as this, or several patches, count twice: dirt alone seldom does that.
  const bright = streaks && (share > BRIGHT_STREAK || m.places.patches > 1);
  const parts = [
    streaks ? `streaks or patches above the edge (up to ${percent(share)} of the peak)` : null,
    isHollow(m.places)
      ? `a dark gap in the bright part (${percent(1 - m.places.gap!.left)} darker than beside it)`
      : null,
    hasSecondSpot(m.places) ? `${m.places.spots} separate bright spots` : null,
    isSoft(m.softness) ? 'a blurred edge' : null,
  ].filter((p) => p !== null);
  if (parts.length + (bright ? 1 : 0) < (streaks ? 2 : 3)) return null;
  return sign('unfit-source', { seen: `The light is patchy: ${parts.join(', ')}.`, ...PATCHY });
}

const PATCHY = {
  causes:
    'Likely, in this order: water drops, dirt or cracks on the lens; a bulb not seated; perhaps a light source that the lamp was not made for.',
  advice: `Clean and dry the lens, then compare the bulb's marking with the one on the lamp or in the handbook. ${AT_THE_BULB} A source that the lamp was not made for can be unlawful on the road: ask a licensed tester.`,
} as const;

/** Patches of light in a beam that shows no cut-off at all. */
export function patchySign({ patches, patchShare }: Patches): BeamSign | null {
  if (patches < 2) return null;
  return sign('unfit-source', {
    seen: `The light is patchy: ${patches} patches of up to ${percent(patchShare)} of the peak stand apart from the brightest place, and no edge runs through.`,
    ...PATCHY,
  });
}

function streakShare(m: BeamMeasures): number {
  return Math.max(m.above?.streak ?? 0, m.places.patchShare);
}

/** Much light above the edge: scattered over all of the dark part, in streaks, or close to the edge only. */
export function lightAboveSign(m: BeamMeasures): BeamSign | null {
  const { above } = m;
  if (hasStreaks(above, m.places)) {
    return sign('light-above', {
      seen: `Streaks or patches of light stand above the edge, up to ${percent(streakShare(m))} of the peak.`,
      causes:
        'Likely, in this order: water drops, dirt or cracks on the lens; something bright near the lamp that reflects; a bulb not seated.',
      advice: `Dry and clean the lens and take the photo again. If the streaks stay, look at the bulb's seat. ${AT_THE_BULB}`,
    });
  }
  if (above === null) return null;
  if (!muchLight(above)) return lampOrRoomSign(above);
  const most = above.atMost ? 'at most ' : '';
  const seen = `Above the edge the light is still ${most}${percent(above.near)} of the peak; 0.5 to 2 % is usual (common practice, no source)`;
  if (above.high !== null && above.high > WIDESPREAD * above.near) {
    const soft = isSoft(m.softness) ? ', and the edge is soft' : '';
    return sign('haze', {
      seen: `${seen}. It is spread evenly far up${soft}.`,
      causes:
        "Likely, in this order: a smear on the phone's lens; dirt, mist or water on or in the lamp's lens; a lens gone dull, or a bowl that has lost its shine; fog or dust in the air; light in the room.",
      advice: `Wipe the phone's lens, put out other lights, wash and dry the lamp's lens once it is cool, and take the photo again. If it stays, the lens wants polishing or the lamp replacing.`,
    });
  }
  return sign('light-above', {
    seen: `${seen}.`,
    causes:
      'Likely, in this order: a bulb not seated; a lens or bowl with a fault; perhaps a light source that the lamp was not made for.',
    advice: `Seat the bulb anew and take the photo again. ${AT_THE_BULB} It dazzles others: don't drive with it until it is put right.`,
  });
}

/** So much light above the edge that the rules' doubts begin, but one photo can't tell lamp and room apart. */
function lampOrRoomSign(above: LightAbove): BeamSign | null {
  if (above.atMost || above.withRoom < MUCH_WITH_ROOM) return null;
  return sign('lamp-or-room', {
    seen: `Above the edge the board shows ${percent(above.withRoom)} of the peak, and one photo can't tell whether room or lamp sends it.`,
    causes: 'Likely, in this order: light in the room; a dull or dirty lens; a bulb not seated.',
    advice:
      'Put out other lights, or take the same photo again with the lamps off, camera and exposure untouched, and add it to the shot.',
  });
}

export function softEdgeSign(softness: Softness | null): BeamSign | null {
  if (softness === null || !isSoft(softness)) return null;
  const g = softness.g.mean;
  const wide = softness.widthDeg.mean;
  return sign('soft-edge', {
    seen: `The edge is very soft: from bright to dark over ${degrees(wide)}, sharpness ${g.toFixed(2)} where the rules ask for 0.13 from far; what near field does to it is taken out.`,
    causes:
      'Likely, in this order: a photo out of focus; mist or dirt on a lens; a bulb not seated; a bulb or bowl of another kind than the lamp was made with.',
    advice: `Look whether the printed marks are sharp in the photo; if they are, wash the lamp's lens and seat the bulb anew. ${AT_THE_BULB}`,
  });
}

/** A share of the light that others may see as a second edge. */
const SECOND_EDGE = 0.03;

export function doubleEdgeSign(second: SecondEdge | null): BeamSign | null {
  if (second === null || second.share < SECOND_EDGE || second.share > 0.97) return null;
  const where = second.aboveDeg > 0 ? 'above' : 'below';
  return sign('double-edge', {
    seen: `There is a second edge ${degrees(second.aboveDeg)} ${where} the one that was measured; ${percent(second.share)} of the light goes up to the higher one. A lamp may show only one.`,
    causes:
      'Likely, in this order: another lamp is lit or not shaded; a shadow or a joint of the board; a bulb not seated; a part of the bowl or lens loose or aimed apart.',
    advice: `Shade every other lamp with a panel standing clear of it and take the photo again. If both edges stay, seat the bulb anew and feel whether the lamp sits firmly. ${AT_THE_BULB} Until then take the higher edge for the one that dazzles.`,
  });
}

export function twoSpotsSign(places: BrightPlaces): BeamSign | null {
  const { second } = places;
  if (second === null || !hasSecondSpot(places)) return null;
  const side = second.rightDeg > 0 ? 'right' : 'left';
  return sign('two-hot-spots', {
    seen: `There are ${places.spots} bright spots: the second has ${percent(second.ofFirst)} of the light of the first and lies ${degrees(second.rightDeg)} to its ${side}; between them the light falls by ${percent(1 - second.between)}.`,
    causes:
      "Likely, in this order: another lamp's light on the board; a part of the bowl or lens loose; a bulb not seated, or its filament sagged; perhaps a light source that the lamp was not made for.",
    advice: `Shade the other lamps with a panel standing clear of them and take the photo again. If both spots stay, look at bulb and bowl. ${AT_THE_BULB}`,
  });
}
