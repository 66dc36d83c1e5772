/** The standard normal distribution. */

/**
 * Probability that a standard normal variable is below `z`.
 * Near the middle by the power series of erf, in the tails by the continued fraction of erfc, so that small
 * probabilities keep their digits; both are good to about 1e-14 relative.
 *
 * @see Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 7.1.6 (series) and 7.1.14 (fraction).
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  const x = Math.abs(z) / Math.SQRT2;
  const upperTail = x < 2 ? (1 - erfBySeries(x)) / 2 : erfcByFraction(x) / 2;
  return z < 0 ? upperTail : 1 - upperTail;
}

/** erf x = 2/sqrt(pi) exp(-x²) sum 2^n x^(2n+1) / (1·3·...·(2n+1)); all terms positive, so nothing cancels. */
function erfBySeries(x: number): number {
  let term = x;
  let sum = x;
  for (let n = 1; term > 1e-17 * sum; n++) {
    term *= (2 * x * x) / (2 * n + 1);
    sum += term;
  }
  return (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum;
}

/** erfc x = exp(-x²)/sqrt(pi) · 1/(x + (1/2)/(x + 1/(x + (3/2)/(x + ...)))), from the inside out; x from 2 up. */
function erfcByFraction(x: number): number {
  let tail = x;
  for (let n = 100; n >= 1; n--) tail = x + n / 2 / tail;
  return Math.exp(-x * x) / Math.sqrt(Math.PI) / tail;
}
