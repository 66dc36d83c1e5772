import { type AccuracyRow, rms, row, rowAtLeast } from './rows.ts';
import type { CaseOutcome } from './run-case.ts';

const known = (values: readonly (number | null)[]): number[] => values.filter((v): v is number => v !== null);
const share = (zs: readonly number[]): number => zs.filter((z) => Math.abs(z) <= 2).length / zs.length;
/** A band with fewer photos says nothing. */
const LEAST = 60;

/** Whether U is honest, band by band, and whether a verdict is ever surer than it may be. */
export function doubtRows(all: readonly CaseOutcome[], seed: number): AccuracyRow[] {
  const rows: AccuracyRow[] = [];
  const z = (c: CaseOutcome) => (c.typedDrop ? (2 * c.typedDrop.error) / c.typedDrop.U : null);
  const bands: readonly (readonly [string, (c: CaseOutcome) => boolean])[] = [
    ...['flat', 'rise', 'step', 'short-ramp'].map(
      (kind) => [kind, (c: CaseOutcome) => c.label.kind === kind] as const,
    ),
    ...(
      [
        [3, 5],
        [5, 7],
        [7, 11],
      ] as const
    ).map(
      ([a, b]) =>
        [`${a} to ${b} m`, (c: CaseOutcome) => c.label.distanceM >= a && c.label.distanceM < b] as const,
    ),
    ...[-1, 0, 1, 2].map((s) => [`exposure ${s}`, (c: CaseOutcome) => c.label.stops === s] as const),
  ];
  for (const [name, is] of bands) {
    const zs = known(all.filter(is).map(z));
    const judged = zs.length >= LEAST;
    rows.push(row(`z of drop, ${name}: rms`, rms(zs), '', judged ? 1.15 : null, zs.length, seed));
    rows.push(
      rowAtLeast(`z of drop, ${name}: rms, at least`, rms(zs), '', judged ? 0.7 : null, zs.length, seed),
    );
    rows.push(
      rowAtLeast(`z of drop, ${name}: within U`, share(zs), '', judged ? 0.88 : null, zs.length, seed),
    );
  }
  const light = known(all.map((c) => c.zElbowLight));
  rows.push(row('true numbers: elbow, rms of z', rms(light), '', null, light.length, seed));
  const tilt = known(all.map((c) => c.zTiltLight));
  rows.push(row('true numbers: tilt, rms of z', rms(tilt), '', null, tilt.length, seed));
  const apart = known(all.map((c) => c.apart));
  rows.push(
    row('scan and joint fit: rms of difference over its u', rms(apart), '', null, apart.length, seed),
  );
  rows.push(
    row(
      'scan and joint fit at odds (3 u)',
      apart.filter((a) => Math.abs(a) > 3).length / Math.max(1, apart.length),
      '',
      null,
      apart.length,
      seed,
    ),
  );

  const limits = all.flatMap((c) => c.limits);
  for (const place of ['board', 'far'] as const) {
    const here = limits.filter((l) => l.place === place);
    const near = here.filter((l) => Math.abs(l.insideU) <= 2);
    rows.push(
      rowAtLeast(
        `limits, ${place}: truths within 2U of a limit`,
        near.length / here.length,
        '',
        0.4,
        here.length,
        seed,
      ),
    );
    const outside = here.filter((l) => l.insideU < 0 && l.insideU > -2);
    const beyond = here.filter((l) => l.insideU <= -2);
    const within = (some: typeof here) => some.filter((l) => l.verdict === 'within').length;
    rows.push(
      row(
        `limits, ${place}: false 'within', outside by less than 2U`,
        within(outside) / Math.max(1, outside.length),
        '',
        0.03,
        outside.length,
        seed,
      ),
    );
    rows.push(
      row(
        `limits, ${place}: false 'within', outside by more`,
        within(beyond),
        'count',
        0,
        beyond.length,
        seed,
      ),
    );
    const inside = here.filter((l) => l.insideU > 0);
    rows.push(
      row(
        `limits, ${place}: 'within' among those inside`,
        within(inside) / Math.max(1, inside.length),
        '',
        null,
        inside.length,
        seed,
      ),
    );
    const over = here.filter((l) => l.insideU > 0 && l.verdict === 'over').length;
    rows.push(
      row(`limits, ${place}: false 'over'`, over / Math.max(1, inside.length), '', null, inside.length, seed),
    );
  }
  return rows;
}
