import { type AccuracyRow, quantile, rms, row, rowAtLeast } from './rows.ts';
import type { CaseOutcome } from './run-case.ts';

const numbers = (values: readonly (number | null | undefined)[]): number[] =>
  values.filter((x): x is number => typeof x === 'number' && Number.isFinite(x));
const abs = (values: readonly number[]) => values.map(Math.abs);

/** All rows of the table. Limits as the project's targets state them; rows without a limit are told, not judged. */
export function rowsOf(all: readonly CaseOutcome[], crashes: number, seed: number): AccuracyRow[] {
  const rows: AccuracyRow[] = [
    row('photos that crashed the reader', crashes, 'count', 0, all.length + crashes, seed),
  ];
  const add = (name: string, cases: readonly CaseOutcome[], limits: Limits = {}) => {
    const drop = abs(numbers(cases.map((c) => c.drop)));
    const elbow = abs(numbers(cases.map((c) => c.elbow)));
    rows.push(
      row(`${name}: drop, median`, quantile(drop, 0.5), '%', limits.drop?.[0] ?? null, drop.length, seed),
    );
    rows.push(
      row(`${name}: drop, 95 %`, quantile(drop, 0.95), '%', limits.drop?.[1] ?? null, drop.length, seed),
    );
    if (elbow.length === 0) return;
    rows.push(
      row(`${name}: elbow, median`, quantile(elbow, 0.5), '%', limits.elbow?.[0] ?? null, elbow.length, seed),
    );
    rows.push(
      row(`${name}: elbow, 95 %`, quantile(elbow, 0.95), '%', limits.elbow?.[1] ?? null, elbow.length, seed),
    );
  };

  const lowRoom = all.filter((c) => c.label.ambientLux <= 3);
  add('one photo, up to 3 lx, any exposure, tone and ISO', lowRoom, { drop: [0.025, 0.12] });
  const bright = abs(numbers(all.filter((c) => c.label.ambientLux > 3).map((c) => c.drop)));
  rows.push(row('one photo, 3 to 10 lx: drop, 95 %', quantile(bright, 0.95), '%', 0.25, bright.length, seed));
  const beyond5 = abs(numbers(all.filter((c) => c.label.distanceM >= 5).map((c) => c.elbow)));
  rows.push(row('elbow from 5 m: median', quantile(beyond5, 0.5), '%', 0.04, beyond5.length, seed));
  rows.push(row('elbow from 5 m: 95 %', quantile(beyond5, 0.95), '%', 0.2, beyond5.length, seed));
  const plain = (c: CaseOutcome) => c.label.stops === 0 && c.label.ambientLux <= 1 && c.label.tone === 'srgb';
  const good = all.filter(plain);
  add('right exposure, up to 1 lx', good, { drop: [0.02, 0.08], elbow: [0.05, 0.25] });
  for (const family of unique(good.map((c) => c.label.family))) {
    const held = good.find((c) => c.label.family === family)!.label.heldBack
      ? ' (held back from tuning)'
      : '';
    add(
      `  ${family}${held}`,
      good.filter((c) => c.label.family === family),
    );
  }
  for (const stops of [-1, 0, 1, 2])
    add(
      `exposure ${stops >= 0 ? '+' : ''}${stops}`,
      all.filter((c) => c.label.stops === stops),
    );
  add(
    'S-shaped tone',
    all.filter((c) => c.label.tone === 's-curve'),
  );
  add(
    '1 to 3 lx',
    all.filter((c) => c.label.ambientLux > 1 && c.label.ambientLux <= 3),
  );
  add(
    '3 to 10 lx',
    all.filter((c) => c.label.ambientLux > 3),
  );
  add(
    '12 MP',
    all.filter((c) => c.label.megapixels === 12),
  );
  add(
    'tape crosses',
    all.filter((c) => c.label.marks === 'crosses'),
  );
  const tilts = abs(numbers(all.map((c) => c.tiltDeg)));
  rows.push(row('tilt, median', quantile(tilts, 0.5), 'deg', null, tilts.length, seed));
  const spots = all.map((c) => c.hotSpot).filter((h) => h !== null);
  rows.push(
    row(
      'hot spot offset, median',
      quantile(abs(spots.map((h) => h.offset)), 0.5),
      '%',
      null,
      spots.length,
      seed,
    ),
  );
  rows.push(
    row('hot spot drop, median', quantile(abs(spots.map((h) => h.drop)), 0.5), '%', null, spots.length, seed),
  );

  // Typed numbers wrong as their uncertainties allow.
  const typed = all.map((c) => c.typedDrop).filter((t) => t !== null);
  const zs = typed.map((t) => (2 * t.error) / t.U);
  rows.push(
    row(
      'typed numbers: drop error, median',
      quantile(abs(typed.map((t) => t.error)), 0.5),
      '%',
      null,
      typed.length,
      seed,
    ),
  );
  rows.push(
    row(
      'typed numbers: U of drop, median',
      quantile(
        typed.map((t) => t.U),
        0.5,
      ),
      '%',
      null,
      typed.length,
      seed,
    ),
  );
  rows.push(row('typed numbers: rms of z', rms(zs), '', 1.15, zs.length, seed));
  rows.push(
    rowAtLeast(
      'typed numbers: within U',
      share(zs, (z) => Math.abs(z) <= 2),
      '',
      0.93,
      zs.length,
      seed,
    ),
  );
  const elbows = all.map((c) => c.typedElbow).filter((t) => t !== null);
  const ez = elbows.map((t) => (2 * t.error) / t.U);
  rows.push(row('typed numbers: elbow, rms of z', rms(ez), '', 1.15, ez.length, seed));
  const light = numbers(all.map((c) => c.zLight));
  rows.push(row('true numbers: rms of z (light and marks alone)', rms(light), '', null, light.length, seed));
  const far = all.map((c) => c.farCovered).filter((f) => f !== null);
  rows.push(
    rowAtLeast(
      'far value inside its stated interval',
      share(far, (f) => f),
      '',
      0.93,
      far.length,
      seed,
    ),
  );

  const kinds = all.filter((c) => c.kindRead !== null);
  const right = (c: CaseOutcome) => c.kindRead === (c.label.kind === 'short-ramp' ? 'step' : c.label.kind);
  rows.push(rowAtLeast('kind of cut-off told right', share(kinds, right), '', null, kinds.length, seed));

  const bent = all.filter((c) => c.label.kind !== 'flat' && c.refused === null);
  rows.push(
    row(
      'elbow unclear on the board, not judged',
      share(bent, (c) => c.unclearElbow),
      '',
      null,
      bent.length,
      seed,
    ),
  );

  const refusedOf = (cases: readonly CaseOutcome[]) => share(cases, (c) => c.refused !== null);
  const legitimate = all.filter((c) => c.label.ambientLux <= 3);
  rows.push(row('refused', refusedOf(legitimate), '', 0.03, legitimate.length, seed));
  for (const stops of [-1, 0, 1, 2]) {
    const some = all.filter((c) => c.label.stops === stops);
    rows.push(
      row(
        `  refused at exposure ${stops >= 0 ? '+' : ''}${stops}`,
        refusedOf(some),
        '',
        null,
        some.length,
        seed,
      ),
    );
  }
  for (const family of unique(all.map((c) => c.label.family))) {
    const some = all.filter((c) => c.label.family === family);
    rows.push(row(`  refused, ${family}`, refusedOf(some), '', null, some.length, seed));
  }
  for (const why of unique(all.flatMap((c) => (c.refused ? [`${c.refused.stage}: ${c.refused.why}`] : [])))) {
    const n = all.filter((c) => c.refused && `${c.refused.stage}: ${c.refused.why}` === why).length;
    rows.push(row(`  refused because of ${why}`, n, 'count', null, all.length, seed));
  }
  return rows;
}

interface Limits {
  readonly drop?: readonly [number, number];
  readonly elbow?: readonly [number, number];
}

function share<T>(items: readonly T[], is: (item: T) => boolean): number {
  return items.length === 0 ? 0 : items.filter(is).length / items.length;
}

function unique<T>(items: readonly T[]): T[] {
  return [...new Set(items)].sort();
}
