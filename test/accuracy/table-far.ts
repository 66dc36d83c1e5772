import { type AccuracyRow, quantile, rms, row, rowAtLeast } from './rows.ts';
import type { CaseOutcome, FarOutcome } from './run-case.ts';
import type { DistancesOutcome } from './run-distances.ts';

const known = <T>(values: readonly (T | null)[]): T[] => values.filter((v): v is T => v !== null);

/** What is seen from far: from one board, and from several together. */
export function farRows(
  all: readonly CaseOutcome[],
  distances: readonly DistancesOutcome[],
  seed: number,
): AccuracyRow[] {
  const rows: AccuracyRow[] = [];
  const beyond5 = all.filter((c) => c.label.distanceM >= 5 && c.label.ambientLux <= 3);
  const add = (
    name: string,
    of: (c: CaseOutcome) => FarOutcome | null,
    limits: readonly [number, number],
  ) => {
    const found = known(beyond5.map(of));
    const errors = found.map((f) => Math.abs(f.error));
    const n = errors.length;
    rows.push(row(`far, 5 to 10 m, ${name}: median`, quantile(errors, 0.5), '%', limits[0], n, seed));
    rows.push(row(`far, 5 to 10 m, ${name}: 95 %`, quantile(errors, 0.95), '%', limits[1], n, seed));
    rows.push(row(`far, 5 to 10 m, ${name}: rms of z`, rms(found.map((f) => f.z)), '', 1.15, n, seed));
    const elbows = known(found.map((f) => f.elbow)).map(Math.abs);
    rows.push(row(`  elbow: median`, quantile(elbows, 0.5), '%', null, elbows.length, seed));
    rows.push(row(`  elbow: 95 %`, quantile(elbows, 0.95), '%', null, elbows.length, seed));
  };
  add('size and filling true', (c) => c.farTrueLamp, [0.08, 0.25]);
  add('size within 10 %, filling unknown', (c) => c.farUnknown, [0.2, 0.5]);

  const whole = distances.filter(
    (d) => d.three !== null && d.two !== null && d.alone.every((a) => a !== null),
  );
  const typical = (values: readonly number[]) => rms(values);
  const alone = [0, 1, 2].map((k) => typical(whole.map((d) => d.alone[k]!)));
  const three = typical(whole.map((d) => d.three!));
  for (const [k, name] of ['nearest', 'middle', 'furthest'].entries())
    rows.push(row(`three distances: ${name} board alone, rms`, alone[k]!, '%', null, whole.length, seed));
  rows.push(
    row(
      'three distances: outer two together, rms',
      typical(whole.map((d) => d.two!)),
      '%',
      null,
      whole.length,
      seed,
    ),
  );
  rows.push(
    row(
      'three distances: all together, rms (limit: the best alone)',
      three,
      '%',
      Math.min(...alone),
      whole.length,
      seed,
    ),
  );
  rows.push(row('three distances: rms of z', rms(whole.map((d) => d.zThree!)), '', 1.15, whole.length, seed));
  rows.push(
    rowAtLeast(
      'three distances: within U',
      whole.filter((d) => Math.abs(d.zThree!) <= 2).length / Math.max(1, whole.length),
      '',
      0.88,
      whole.length,
      seed,
    ),
  );
  return rows;
}
