import { steepestFall } from './inflection.ts';

/**
 * How light fades across the cut-off. `w` is the distance above the line in tangents, `scale` the width.
 * - `logistic`: log10 light falls by a tanh (standards 10.5, W31-W33).
 * - `erf`: linear light falls by an error function, so the steepest log light lies on the dark side of its middle.
 * - `tabulated`: a beam known only at the nodes of a coarse table, smoothly interpolated, as an LM-63 file gives it.
 * - `facets`: several sub-beams aimed a little apart, and a faint shelf.
 * - `skewed`: sharp towards the bright side, a long tail to the dark. Held back: nothing may be tuned on it.
 */
export type EdgeFamily = 'logistic' | 'erf' | 'tabulated' | 'facets' | 'skewed';

/** Families that settings may be tuned on, and the one held back to judge them. */
export const TUNING_FAMILIES: readonly EdgeFamily[] = ['logistic', 'erf', 'tabulated', 'facets'];
export const HELD_BACK_FAMILY: EdgeFamily = 'skewed';

/** Light at distance `w` above the line between the levels `below` and `above` (both > 0). */
export type EdgeProfile = (w: number, scale: number, below: number, above: number) => number;

/** Complementary error function to 1.2e-7 (Chebyshev fit by Press et al., Numerical Recipes, erfcc). */
export function erfc(x: number): number {
  const z = Math.abs(x);
  const t = 1 / (1 + 0.5 * z);
  const poly =
    -z * z -
    1.26551223 +
    t *
      (1.00002368 +
        t *
          (0.37409196 +
            t *
              (0.09678418 +
                t *
                  (-0.18628806 +
                    t *
                      (0.27886807 +
                        t * (-1.13520398 + t * (1.48851587 + t * (-0.82215223 + t * 0.17087277))))))));
  const r = t * Math.exp(poly);
  return x >= 0 ? r : 2 - r;
}

/** log10 light is `middle - b tanh(w/scale)`; b is half the difference of the log levels. */
const logistic: EdgeProfile = (w, scale, below, above) => {
  // (1 - tanh x)/2 = 1/(1 + e^2x)
  const share = 1 / (1 + Math.exp((2 * w) / scale));
  return above * (below / above) ** share;
};

const gaussian: EdgeProfile = (w, scale, below, above) => above + (below - above) * 0.5 * erfc(w / scale);

/** Linear light falls by a logistic: the table of the tabulated family is filled with it. */
const linearLogistic: EdgeProfile = (w, scale, below, above) =>
  above + (below - above) / (1 + Math.exp((2 * w) / scale));

/** log10 light falls as a Gompertz curve: doubly exponential on the bright side, exponential on the dark. */
const skewed: EdgeProfile = (w, scale, below, above) => {
  const share = -Math.expm1(-Math.exp(-w / scale));
  return above * (below / above) ** share;
};

/**
 * A profile moved so that log10 light falls fastest at w = 0 whatever its two levels are. Profiles that fall in linear
 * light are steepest in log light on their dark side, the further the more the levels differ: unmoved, a beam that
 * grows dimmer to the side would have a crooked cut-off.
 */
export function centredProfile(profile: EdgeProfile): EdgeProfile {
  if (profile !== gaussian && profile !== linearLogistic) return profile;
  const table = profile === gaussian ? GAUSSIAN_PLACES : LOGISTIC_PLACES;
  return (w, scale, below, above) => profile(w + scale * placeFor(table, below / above), scale, below, above);
}

/** Place of the inflection in widths, for ratios of the levels from 1 to 1e4, evenly in their logarithm. */
function inflectionPlaces(profile: EdgeProfile): Float64Array {
  return Float64Array.from({ length: 81 }, (_, k) => {
    const below = 10 ** Math.max(0.01, (4 * k) / 80);
    return steepestFall((w) => profile(w, 1, below, 1), -3, 5, 0.1, 0.005, 0.1).at;
  });
}

const GAUSSIAN_PLACES = inflectionPlaces(gaussian);
const LOGISTIC_PLACES = inflectionPlaces(linearLogistic);

function placeFor(table: Float64Array, ratio: number): number {
  const x = Math.max(0, Math.min(79.999, 20 * Math.log10(ratio)));
  const i = x | 0;
  return table[i]! + (x - i) * (table[i + 1]! - table[i]!);
}

export const EDGE_PROFILES: Readonly<Record<EdgeFamily, EdgeProfile>> = {
  logistic,
  erf: gaussian,
  tabulated: linearLogistic,
  facets: logistic,
  skewed,
};
