/** One line of the accuracy table, also printed as JSON. `limit` null: told, not judged. */
export interface AccuracyRow {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly limit: number | null;
  readonly ok: boolean;
  readonly n: number;
  readonly seed: number;
}

/** The q-quantile (0 to 1) of values, by the nearest rank above: never better than what was seen. */
export function quantile(values: readonly number[], q: number): number {
  if (values.length === 0) return Number.NaN;
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(q * sorted.length) - 1))]!;
}

/** Root mean square. */
export function rms(values: readonly number[]): number {
  return Math.sqrt(values.reduce((s, x) => s + x * x, 0) / values.length);
}

/** A judged row: the value may not exceed the limit; with nothing measured it fails. */
export function row(
  name: string,
  value: number,
  unit: string,
  limit: number | null,
  n: number,
  seed: number,
): AccuracyRow {
  return { name, value, unit, limit, ok: limit === null || (n > 0 && value <= limit), n, seed };
}

/** A row that must stay at or above its limit. */
export function rowAtLeast(
  name: string,
  value: number,
  unit: string,
  limit: number | null,
  n: number,
  seed: number,
): AccuracyRow {
  return { name, value, unit, limit, ok: limit === null || (n > 0 && value >= limit), n, seed };
}

/** The table as text, widest column first. */
export function tableOf(rows: readonly AccuracyRow[]): string {
  const width = Math.max(...rows.map((r) => r.name.length));
  return rows
    .map((r) => {
      const digits = r.unit === 'count' ? 0 : 3;
      const limit = r.limit === null ? '' : `limit ${r.limit} ${r.ok ? 'ok' : 'MISSED'}`;
      return `${r.name.padEnd(width)}  ${r.value.toFixed(digits).padStart(8)} ${r.unit.padEnd(5)} n=${String(r.n).padEnd(4)} ${limit}`;
    })
    .join('\n');
}
