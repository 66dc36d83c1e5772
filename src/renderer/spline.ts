/**
 * Natural cubic spline through values at rising places: smooth to the second derivative, so that the inflection
 * of what it draws is not tied to the nodes.
 * @see Press et al., Numerical Recipes, cubic spline interpolation.
 */
export class Spline {
  readonly #x: readonly number[];
  readonly #y: readonly number[];
  readonly #bend: Float64Array;

  /** @param x n strictly rising places, n at least 2. @param y n values. */
  constructor(x: readonly number[], y: readonly number[]) {
    const n = x.length;
    const bend = new Float64Array(n);
    const work = new Float64Array(n);
    for (let i = 1; i < n - 1; i++) {
      const [x0, x1, x2] = [x[i - 1] as number, x[i] as number, x[i + 1] as number];
      const [y0, y1, y2] = [y[i - 1] as number, y[i] as number, y[i + 1] as number];
      const sig = (x1 - x0) / (x2 - x0);
      const p = sig * (bend[i - 1] as number) + 2;
      bend[i] = (sig - 1) / p;
      const jump = (y2 - y1) / (x2 - x1) - (y1 - y0) / (x1 - x0);
      work[i] = ((6 * jump) / (x2 - x0) - sig * (work[i - 1] as number)) / p;
    }
    for (let i = n - 2; i >= 0; i--)
      bend[i] = (bend[i] as number) * (bend[i + 1] as number) + (work[i] as number);
    bend[0] = 0;
    this.#x = x;
    this.#y = y;
    this.#bend = bend;
  }

  /** Value at `t`; beyond the ends the end value holds. */
  at(t: number): number {
    const x = this.#x;
    const last = x.length - 1;
    if (t <= (x[0] as number)) return this.#y[0] as number;
    if (t >= (x[last] as number)) return this.#y[last] as number;
    let low = 0;
    let high = last;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if ((x[middle] as number) > t) high = middle;
      else low = middle;
    }
    const h = (x[high] as number) - (x[low] as number);
    const a = ((x[high] as number) - t) / h;
    const b = 1 - a;
    return (
      a * (this.#y[low] as number) +
      b * (this.#y[high] as number) +
      (((a * a * a - a) * (this.#bend[low] as number) + (b * b * b - b) * (this.#bend[high] as number)) *
        h *
        h) /
        6
    );
  }
}
