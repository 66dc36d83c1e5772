import { InputError } from '../errors.ts';
import type { CauseId, UncertainInput } from './estimate.ts';

/** What the trials gave for one output. */
export interface TrialSummary {
  readonly mean: number;
  /** Standard deviation over the trials, the standard uncertainty. */
  readonly u: number;
  /** Ends of the interval that leaves 2.5 % of the trials out on each side. */
  readonly from: number;
  readonly to: number;
}

/**
 * Propagation of distributions by drawing: a check of `propagate` where a function bends within one u.
 * Every input is normal; inputs that share a cause are drawn together, as one error.
 *
 * @param inputs n inputs with value, standard uncertainty and cause.
 * @param f takes n numbers, returns m.
 * @param uniform gives numbers evenly spread from 0 up to, not with, 1; seeded by the caller.
 * @param trials how many draws, at least 100; 1e5 gives u to about 0.3 %.
 * @returns m summaries.
 * @throws InputError when `trials` is below 100.
 * @see JCGM 101:2008, 5 and 7 (Monte Carlo); Box and Muller (1958) for the normal draws.
 */
export function drawTrials(
  inputs: readonly UncertainInput[],
  f: (x: readonly number[]) => readonly number[],
  uniform: () => number,
  trials: number,
): readonly TrialSummary[] {
  if (!(trials >= 100)) throw new InputError('trials', 'at least 100', trials);
  const causes = [...new Set(inputs.map((input) => input.cause))];
  const columns: number[][] = [];
  for (let t = 0; t < trials; t++) {
    const error = new Map<CauseId, number>(causes.map((cause) => [cause, drawNormal(uniform)]));
    const outputs = f(inputs.map((input) => input.value + input.u * error.get(input.cause)!));
    outputs.forEach((y, k) => {
      const column = columns[k] ?? [];
      columns[k] = column;
      column.push(y);
    });
  }
  return columns.map(summarise);
}

function drawNormal(uniform: () => number): number {
  // 1 - u keeps the logarithm's argument above 0.
  return Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
}

function summarise(values: readonly number[]): TrialSummary {
  const n = values.length;
  const mean = values.reduce((a, b) => a + b, 0) / n;
  const variance = values.reduce((a, b) => a + (b - mean) ** 2, 0) / (n - 1);
  const sorted = values.toSorted((a, b) => a - b);
  return {
    mean,
    u: Math.sqrt(variance),
    from: sorted[Math.floor(0.025 * (n - 1))]!,
    to: sorted[Math.ceil(0.975 * (n - 1))]!,
  };
}
