/** A local maximum of a map, and how far one must go down to reach a higher place. */
export interface Summit {
  /** Index in the map. */
  readonly at: number;
  readonly height: number;
  /** Height of the highest way to a higher summit; -Infinity for the highest of all. */
  readonly saddle: number;
}

/**
 * The summits of a map by flooding it from the top: places join what is higher beside them, and where two summits'
 * lands meet lies the lower one's saddle.
 *
 * @param light values; NaN is no land. @param allowed cells to look at.
 * @returns highest first.
 */
export function summits(
  light: ArrayLike<number>,
  columns: number,
  rows: number,
  allowed: (at: number) => boolean,
): readonly Summit[] {
  const order: number[] = [];
  for (let i = 0; i < columns * rows; i++) if (Number.isFinite(light[i]!) && allowed(i)) order.push(i);
  order.sort((a, b) => light[b]! - light[a]!);
  const land = new Int32Array(columns * rows).fill(-1);
  const joined: number[] = [];
  const found: { at: number; height: number; saddle: number }[] = [];
  const rootOf = (k: number): number => {
    let r = k;
    while (joined[r] !== r) r = joined[r]!;
    return r;
  };
  for (const i of order) {
    const c = i % columns;
    const r = (i - c) / columns;
    let own = -1;
    for (let y = Math.max(0, r - 1); y <= Math.min(rows - 1, r + 1); y++) {
      for (let x = Math.max(0, c - 1); x <= Math.min(columns - 1, c + 1); x++) {
        const beside = land[y * columns + x]!;
        if (beside < 0) continue;
        const root = rootOf(beside);
        if (own < 0) own = root;
        else if (root !== own) {
          // Summits are numbered from the highest down: the lower one ends here.
          const [high, low] = root < own ? [root, own] : [own, root];
          found[low]!.saddle = light[i]!;
          joined[low] = high;
          own = high;
        }
      }
    }
    if (own < 0) {
      own = found.length;
      found.push({ at: i, height: light[i]!, saddle: Number.NEGATIVE_INFINITY });
      joined.push(own);
    }
    land[i] = own;
  }
  return found;
}
