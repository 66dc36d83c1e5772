import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import {
  type CauseId,
  causeId,
  causeKind,
  combine,
  type Estimate,
  withParts,
} from '../../uncertainty/estimate.ts';
import type { FarReading, FarWay } from './far-reading.ts';
import type { LampFilling } from './lamp-filling.ts';

/** One lamp's reading on one board. */
export interface BoardReading {
  readonly shot: string;
  readonly distanceMm: number;
  /** On the board, with every cause in it. */
  readonly dropPct: Estimate;
  readonly far: FarReading;
  /** Lit height over distance, per cent. */
  readonly smearPct: number;
}

/** One far edge behind all boards. */
export interface FarByDistances {
  readonly farDropPct: Estimate;
  readonly shots: readonly string[];
  /** How much each board counts, in the order of `shots`; they add up to 1. */
  readonly weights: readonly number[];
  readonly ways: readonly { readonly filling: LampFilling; readonly weight: number }[];
  /** Squared misfit between the boards for the likeliest filling, and what chance alone would pass in 199 of 200 times. */
  readonly misfit: number;
  readonly mostByChance: number;
}

/** Boards nearer to each other than this ratio tell nothing of the smear that noise does not drown. */
export const LEAST_RATIO = 1.25;
/** Misfits of several boards are compared as those of one: see TEMPER of the joint reading. */
const TEMPER = 3;
/**
 * Causes that are not the same any more once board or vehicle has been moved: measured anew, or another piece of floor.
 */
const MOVED: readonly string[] = [
  'floor',
  'board-height',
  'board-lean',
  'board-turn',
  'marks-placed',
  'cross-fall',
  'distance',
  'lamp-mark',
];
/** What is left of the doubt about unlisted ways of filling once boards at unlike distances agree. */
const STILL_UNKNOWN = 0.65;
/** chi-squared at 0.995 for 1 to 5 degrees of freedom (NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4). */
const CHI_995 = [7.879, 10.597, 12.838, 14.86, 16.75] as const;

/**
 * One lamp on boards at several distances: the smear in mm stays, so in per cent it shrinks with distance. For each way
 * of filling the boards' far values are averaged by generalised least squares over their shared causes; the ways are
 * weighed by how well they explain each board and how well the boards then agree. The bare slope between two boards is
 * never used: it is biased the other way (design, two distances).
 *
 * @param readings of one lamp; at least two, whose distances differ by a quarter.
 * @returns null when there are not two such boards.
 * @see JCGM 100:2008, 5.2.2 (shared causes), F.1.2.3.
 */
export function farByDistances(readings: readonly BoardReading[], lampId: string): FarByDistances | null {
  if (readings.length < 2) return null;
  const distances = readings.map((r) => r.distanceMm);
  if (Math.max(...distances) < LEAST_RATIO * Math.min(...distances)) return null;
  const each = readings.map((r) => ({ ...r, dropPct: ownCauses(r.dropPct, r.shot) }));
  const fillings = each[0]!.far.ways
    .map((w) => w.filling)
    .filter((f) => each.every((r) => r.far.ways.some((w) => w.filling === f)));
  if (fillings.length === 0) return null;
  const ways = fillings.map((filling) => {
    const terms = each.map((r) => farOf(r, r.far.ways.find((w) => w.filling === filling)!, lampId));
    const cost = each.reduce((s, r) => s + r.far.ways.find((w) => w.filling === filling)!.cost, 0);
    return { filling, cost, ...average(terms) };
  });
  const costs = ways.map((w) => w.cost / TEMPER + w.misfit / 2);
  const least = Math.min(...costs);
  const likely = costs.map((c) => Math.exp(least - c));
  const sum = likely.reduce((a, b) => a + b, 0);
  const weights = likely.map((l) => l / sum);
  const mean = combine(ways.map((w, i) => ({ weight: weights[i]!, of: w.mean })));
  const between = Math.sqrt(ways.reduce((s, w, i) => s + weights[i]! * (w.mean.value - mean.value) ** 2, 0));
  const boards = each.map((_, k) => ways.reduce((s, w, i) => s + weights[i]! * w.weights[k]!, 0));
  const told = each.every((r) => r.far.fillingTold);
  const floor = told
    ? 0
    : STILL_UNKNOWN * each.reduce((s, r, k) => s + Math.abs(boards[k]!) * leastFillingU(r), 0);
  const misfit = ways[weights.indexOf(Math.max(...weights))]!.misfit;
  const mostByChance = CHI_995[Math.min(CHI_995.length, each.length - 1) - 1]!;
  // Boards that contradict each other are not averaged into a sure number: Birge's ratio widens all that is theirs, so
  // that U reaches to the board that is right, whichever it is.
  const widen = misfit > mostByChance ? Math.sqrt(misfit / (each.length - 1)) : 1;
  return {
    farDropPct: withParts(scaled(mean, widen), {
      [causeId('filling', lampId)]: Math.max(between, floor),
    }),
    shots: each.map((r) => r.shot),
    weights: boards,
    ways: ways.map((w, i) => ({ filling: w.filling, weight: weights[i]! })),
    misfit,
    mostByChance,
  };
}

/** The same drop, with what was set up anew for this board as causes of its own. */
function ownCauses(drop: Estimate, shot: string): Estimate {
  const parts: Partial<Record<CauseId, number>> = {};
  for (const [id, part] of Object.entries(drop.parts) as [CauseId, number][]) {
    const own = MOVED.includes(causeKind(id))
      ? (`${id}${id.includes('@') ? '-' : '@'}${shot}` as CauseId)
      : id;
    parts[own] = (parts[own] ?? 0) + part;
  }
  return { value: drop.value, parts };
}

/** What one board says of far if the lamp is lit that way. */
function farOf(reading: BoardReading, way: FarWay, lampId: string): Estimate {
  return withParts(
    { value: reading.dropPct.value + way.shiftPct, parts: reading.dropPct.parts },
    {
      // The board's own fit of the edge: another error than that of the place of the edge.
      [causeId('shape-model', `${reading.shot} far`)]: way.uPct,
      // An edge unlike the fitted family errs the same way on every board.
      [causeId('shape-model', lampId)]: way.familyPct,
      [causeId('lit-size', lampId)]: way.sizePartPct,
    },
  );
}

function leastFillingU(reading: BoardReading): number {
  const part = Object.entries(reading.far.shiftPct.parts).find(
    ([id]) => causeKind(id as CauseId) === 'filling',
  );
  return Math.min(Math.abs(part?.[1] ?? 0), (0.19 / 3.4) * reading.smearPct);
}

/** Generalised least squares mean of estimates that share causes. */
function average(terms: readonly Estimate[]): {
  readonly mean: Estimate;
  readonly weights: readonly number[];
  readonly misfit: number;
} {
  const n = terms.length;
  const covariance = new Matrix(n, n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      let sum = 0;
      for (const [id, part] of Object.entries(terms[i]!.parts))
        sum += part! * (terms[j]!.parts[id as CauseId] ?? 0);
      // A floor of 0.01 % of each board's own keeps a matrix of shared causes alone from being singular.
      covariance.set(i, j, sum + (i === j ? 1e-4 : 0));
    }
  }
  const solver = new CholeskyDecomposition(covariance);
  const ones = Matrix.ones(n, 1);
  const ratio = solver.solve(ones);
  const total = ratio.sum();
  const weights = Array.from({ length: n }, (_, i) => ratio.get(i, 0) / total);
  const mean = combine(terms.map((of, i) => ({ weight: weights[i]!, of })));
  const rest = Matrix.columnVector(terms.map((t) => t.value - mean.value));
  const misfit = rest.transpose().mmul(solver.solve(rest)).get(0, 0);
  return { mean, weights, misfit };
}

function scaled(e: Estimate, by: number): Estimate {
  return by === 1 ? e : { value: e.value, parts: combine([{ weight: by, of: e }]).parts };
}
