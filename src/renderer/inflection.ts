/** Where log10 light falls fastest going up one vertical line, and how sharply. */
export interface SteepestFall {
  /** Place of the inflection, in the units of the scan. */
  readonly at: number;
  /** Greatest fall of log10 light over `span`: the standards' G when span is 0.1 deg (standards G-1). */
  readonly fall: number;
}

/**
 * The inflection of log10 light on a line by dense evaluation: a coarse search for the steepest step, then the
 * largest slope on a fine grid around it, then a parabola through its three highest points.
 *
 * @param light positive light at a place of the line.
 * @param from lower end, `to` upper end, `coarse` first step, `fine` second step, `span` of G: all in one unit. With span 0 the fall is not worked out.
 * @returns the place of the fastest fall; not a number when light does not fall anywhere.
 */
export function steepestFall(
  light: (t: number) => number,
  from: number,
  to: number,
  coarse: number,
  fine: number,
  span: number,
): SteepestFall {
  const n = Math.max(4, Math.round((to - from) / coarse));
  const step = (to - from) / n;
  let best = -1;
  let bestFall = 0;
  let previous = Math.log10(light(from));
  for (let i = 1; i <= n; i++) {
    const here = Math.log10(light(from + i * step));
    if (previous - here > bestFall) {
      bestFall = previous - here;
      best = i;
    }
    previous = here;
  }
  if (best < 0) return { at: Number.NaN, fall: 0 };
  const low = from + (best - 2.5) * step;
  const m = Math.ceil((4 * step) / fine);
  const values: number[] = [];
  for (let i = 0; i <= m; i++) values.push(Math.log10(light(low + i * fine)));
  const slopes = values.slice(1).map((value, i) => (values[i] as number) - value);
  let k = 1;
  for (let i = 1; i < slopes.length - 1; i++) if ((slopes[i] as number) > (slopes[k] as number)) k = i;
  const [a, b, c] = [slopes[k - 1] as number, slopes[k] as number, slopes[k + 1] as number];
  const bend = a - 2 * b + c;
  const shift = bend < 0 ? (0.5 * (a - c)) / bend : 0;
  const at = low + (k + 0.5 + Math.max(-1, Math.min(1, shift))) * fine;
  return { at, fall: span > 0 ? greatestFall(light, at, span) : Number.NaN };
}

/** The greatest fall of log10 light over `span` with its lower end near `at - span/2`. */
function greatestFall(light: (t: number) => number, at: number, span: number): number {
  let greatest = 0;
  for (let i = -6; i <= 6; i++) {
    const low = at - span / 2 + (i * span) / 10;
    greatest = Math.max(greatest, Math.log10(light(low)) - Math.log10(light(low + span)));
  }
  return greatest;
}
