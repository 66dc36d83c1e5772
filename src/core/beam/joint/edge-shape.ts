import { tanFromDeg } from '../../units.ts';

/**
 * The vertical run of log10 light across a cut-off as an instrument far away sees it. Heights in deg (small angles as
 * 1 deg = tan 1 deg), light in log10 of the profile's unit.
 */
export interface EdgeShape {
  /** Middle of the fall. */
  readonly at: number;
  /** Natural log of its width, deg. */
  readonly logWidth: number;
  /** Natural log of the skew: 0 falls alike on both sides, above 0 the dark side is the longer one. */
  readonly logSkew: number;
  /** Bright side at the fall, and its slope, bend and twist per deg, deg2, deg3. */
  readonly bright: number;
  readonly brightSlope: number;
  readonly brightBend: number;
  readonly brightTwist: number;
  /** Dark side at the fall, and its slope per deg: the shelf of stray light. */
  readonly dark: number;
  readonly darkSlope: number;
}

/** One table packs and unpacks every parameter: its name, and what is likely before the light is looked at. */
export const SHAPE_PARAMETERS: readonly {
  readonly name: keyof EdgeShape;
  /** Standard deviation of the prior. */
  readonly spread: number;
}[] = [
  { name: 'at', spread: 1.2 },
  { name: 'logWidth', spread: 0.8 },
  { name: 'logSkew', spread: 0.7 },
  { name: 'bright', spread: 0.6 },
  { name: 'brightSlope', spread: 0.5 },
  { name: 'brightBend', spread: 0.3 },
  { name: 'brightTwist', spread: 0.15 },
  { name: 'dark', spread: 0.5 },
  { name: 'darkSlope', spread: 0.06 },
];

/** Tangent of one degree: the profile's heights are given in it. */
export const DEG = tanFromDeg(1);

/** A shape from its packed parameters, in the table's order. */
export function unpackShape(packed: ArrayLike<number>): EdgeShape {
  const out: Record<string, number> = {};
  SHAPE_PARAMETERS.forEach(({ name }, i) => {
    out[name] = packed[i]!;
  });
  return out as unknown as EdgeShape;
}

/** The packed parameters of a shape, in the table's order. */
export function packShape(shape: EdgeShape): number[] {
  return SHAPE_PARAMETERS.map(({ name }) => shape[name]);
}

/**
 * log10 light at the heights: the dark shelf plus the step between the two sides times (1 + e^(2x/width))^-skew, x
 * counted from the middle. Skew 1 is the usual logistic fall of log light (a tanh), great skews come near to a Gompertz
 * curve, small ones to a fall of linear light, so that unlike lamps' edges are all near to one member of the family.
 *
 * @param first height of the first value, deg. @param step between values, deg. @param out filled with log10 light.
 */
export function shapeLog(shape: EdgeShape, first: number, step: number, out: Float64Array): void {
  const perWidth = 2 / Math.exp(shape.logWidth);
  const skew = Math.exp(shape.logSkew);
  for (let i = 0; i < out.length; i++) {
    const x = first + i * step - shape.at;
    const dark = shape.dark + shape.darkSlope * x;
    // Above the fall the bright side is not seen; it goes on level so that no far-off power of x takes over.
    const b = Math.min(x, 0.01);
    const bright = shape.bright + b * (shape.brightSlope + b * (shape.brightBend + b * shape.brightTwist));
    const t = x * perWidth;
    const share = t > 40 ? Math.exp(-skew * t) : t < -40 ? 1 : Math.exp(-skew * Math.log1p(Math.exp(t)));
    out[i] = dark + Math.max(0.02, bright - dark) * share;
  }
}
