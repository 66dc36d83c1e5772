import type { SeriesOutcome } from './brackets-run.ts';
import { type AccuracyRow, quantile, rms, row } from './rows.ts';

/** Targets, absolute per cent, median and 95 %; null: told, not judged. */
interface SeriesLimits {
  readonly drop: readonly [number, number] | null;
  readonly elbow: readonly [number, number] | null;
  readonly hotSpot: readonly [number, number] | null;
}

/** What the project asks of each kind of series. */
export const SERIES_LIMITS: Readonly<Record<string, SeriesLimits>> = {
  bracket: { drop: [0.02, 0.06], elbow: [0.04, 0.2], hotSpot: [0.15, 0.6] },
  'bracket-and-off': { drop: [0.02, 0.06], elbow: [0.04, 0.2], hotSpot: [0.15, 0.6] },
  'one-and-off': { drop: [0.025, 0.12], elbow: null, hotSpot: null },
  one: { drop: null, elbow: null, hotSpot: null },
};

/**
 * Rows of the accuracy table for one kind of series, read with the world's true numbers. z is error over standard
 * uncertainty of the light's and the marks' own parts.
 */
export function seriesRows(name: string, outcomes: readonly SeriesOutcome[], seed: number): AccuracyRow[] {
  const limits = SERIES_LIMITS[name] ?? SERIES_LIMITS.one!;
  const numbers = (of: (o: SeriesOutcome) => number | null): number[] =>
    outcomes.map(of).filter((x): x is number => x !== null && Number.isFinite(x));
  const rows: AccuracyRow[] = [];
  const add = (
    what: string,
    errors: readonly number[],
    zs: readonly number[],
    most: readonly [number, number] | null,
  ) => {
    const sizes = errors.map(Math.abs);
    const n = sizes.length;
    rows.push(row(`${name}: ${what}, median`, quantile(sizes, 0.5), '%', most?.[0] ?? null, n, seed));
    rows.push(row(`${name}: ${what}, 95 %`, quantile(sizes, 0.95), '%', most?.[1] ?? null, n, seed));
    rows.push(row(`${name}: ${what}, rms of z`, rms(zs), '', null, zs.length, seed));
  };
  add(
    'drop',
    numbers((o) => o.drop),
    numbers((o) => o.zDrop),
    limits.drop,
  );
  add(
    'elbow',
    numbers((o) => o.elbow),
    numbers((o) => o.zElbow),
    limits.elbow,
  );
  add(
    'hot spot',
    numbers((o) => o.hotSpot),
    numbers((o) => o.zHotSpot),
    limits.hotSpot,
  );
  const refused = outcomes.filter((o) => o.refused !== null).length;
  rows.push(row(`${name}: refused`, refused / Math.max(1, outcomes.length), '', null, outcomes.length, seed));
  return rows;
}
