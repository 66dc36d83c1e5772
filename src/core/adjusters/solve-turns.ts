import { Matrix, pseudoInverse, SVD } from 'ml-matrix';
import type { AimChange } from './effects.ts';

/**
 * Two screws pull nearly the same way when the condition number of J is above this: with equal levers it is the
 * cotangent of half the angle between them, so 10 stands for 11 degrees.
 */
export const LARGEST_CONDITION = 10;

export type SolvedAmounts =
  | { readonly kind: 'solved'; readonly amounts: readonly number[] }
  | { readonly kind: 'near-singular'; readonly detail: string };

/**
 * How much of each screw gives a wanted change of aim: J x = change, with J 2 x n in per cent per unit of screw.
 * n = 1: the drop alone is solved. n = 2: both. n = 3: the smallest sum of squared amounts.
 *
 * @param effects n columns of J, each per turn or per mm.
 * @returns n amounts in the same unit as the columns, signed; or why none can be trusted.
 */
export function solveAmounts(effects: readonly AimChange[], wanted: AimChange): SolvedAmounts {
  if (effects.length === 1) {
    const { dropPct, offsetPct } = effects[0]!;
    if (!(LARGEST_CONDITION * Math.abs(dropPct) >= Math.hypot(dropPct, offsetPct)) || dropPct === 0)
      return { kind: 'near-singular', detail: 'This screw hardly moves the beam up or down.' };
    return { kind: 'solved', amounts: [wanted.dropPct / dropPct] };
  }
  // Written n x 2, J transposed: ml-matrix wants the long side down. J+ is then the transpose of what it gives.
  const transposed = new Matrix(effects.map((e) => [e.dropPct, e.offsetPct]));
  if (!(new SVD(transposed).condition <= LARGEST_CONDITION))
    return {
      kind: 'near-singular',
      detail: `The screws pull the beam nearly the same way (condition number above ${LARGEST_CONDITION}), so small errors would call for large turns. Measure the places of pivot and screws again.`,
    };
  const change = Matrix.columnVector([wanted.dropPct, wanted.offsetPct]);
  return { kind: 'solved', amounts: pseudoInverse(transposed).transpose().mmul(change).to1DArray() };
}

/**
 * Whole eighths near exact turns. Rounding each screw alone can leave more than need be, so every neighbouring
 * pair or triple is tried; ending above the wanted aim costs twice as much as ending below it, since high dazzles.
 *
 * @param exact n signed turns. @returns n signed whole eighths.
 */
export function roundToEighths(exact: readonly number[], perTurn: readonly AimChange[]): readonly number[] {
  const wanted = sumOf(perTurn, exact);
  let best: readonly number[] = [];
  let bestCost = Number.POSITIVE_INFINITY;
  const floors = exact.map((t) => Math.floor(8 * t));
  for (let mask = 0; mask < 2 ** exact.length; mask++) {
    const eighths = floors.map((f, i) => f + ((mask >> i) & 1));
    const got = sumOf(
      perTurn,
      eighths.map((e) => e / 8),
    );
    const drop = got.dropPct - wanted.dropPct;
    const cost = (drop < 0 ? 4 : 1) * drop ** 2 + (got.offsetPct - wanted.offsetPct) ** 2;
    if (cost < bestCost) [best, bestCost] = [eighths, cost];
  }
  return best.map((e) => (e === 0 ? 0 : e));
}

/** What signed amounts of each screw do together. */
export function sumOf(effects: readonly AimChange[], amounts: readonly number[]): AimChange {
  let dropPct = 0;
  let offsetPct = 0;
  effects.forEach((e, i) => {
    dropPct += e.dropPct * amounts[i]!;
    offsetPct += e.offsetPct * amounts[i]!;
  });
  return { dropPct, offsetPct };
}
