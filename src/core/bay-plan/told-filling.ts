import { type LampFilling, litHeights } from '../beam/joint/lamp-filling.ts';
import { nearFieldShift } from '../beam/near-field.ts';
import type { ShiftPct } from '../rules/judge-input.ts';
import { tanFromDeg } from '../units.ts';

/** An edge as the standards' rule sees it: log10 E = -b tanh(v/s), v in degrees (standards' section 10.5). */
export interface TanhEdge {
  readonly b: number;
  readonly sDeg: number;
}

/** Edges from soft to sharp, as G over 0.1 deg: the law allows 0.13 to 0.40 (standards' row G-3). */
const SHARPNESS: readonly number[] = [0.15, 0.25, 0.35];
/** What is left when size and filling are told: U of the edge's family and of the size, per cent. */
const LEFT_OPEN_PCT = 0.08;
/** Facets aimed apart leave this much more, on no one knows which side, as U per cent. */
const FACETS_PCT = 0.24;

const known = new Map<string, ShiftPct>();

/**
 * Far less board, per cent, for a lamp whose filling is told: from a soft edge to a sharp one, and never less than none.
 * With the filling unknown it is `nearFieldShift`'s interval.
 */
export function farShiftOf(
  filling: LampFilling | 'unknown',
  litHeightMm: number | null,
  distanceMm: number,
): ShiftPct {
  const near = nearFieldShift(litHeightMm, distanceMm);
  if (filling === 'unknown' || litHeightMm === null) return { min: near.minPct, max: near.maxPct };
  const key = `${filling} ${((1e6 * litHeightMm) / distanceMm).toFixed(0)}`;
  const before = known.get(key);
  if (before !== undefined) return before;
  // "Towards the centre" says not how strongly: from a parabola to a bright lens in a dim bowl.
  const ways: readonly LampFilling[] = filling === 'centre-weighted' ? [filling, 'lens'] : [filling];
  const shifts = ways.flatMap((way) =>
    SHARPNESS.map((G) =>
      smearedShift(way, litHeightMm, distanceMm, { b: 1, sDeg: 0.05 / Math.atanh(G / 2) }),
    ),
  );
  const open = LEFT_OPEN_PCT + (filling === 'facets' ? FACETS_PCT : 0);
  const shift = { min: Math.max(0, Math.min(...shifts) - open), max: Math.max(...shifts) + open };
  known.set(key, shift);
  return shift;
}

const STEP_DEG = 0.01;

/**
 * How far the steepest 0.1 deg of log light lies above the edge's own place when every part of the lamp sends out the
 * same edge: a sum over the lit heights.
 *
 * @returns per cent, + up, 0 for a lamp without height.
 * @see CIE/UN cut-off rule (standards' rows G-1, G-5); the greatest step starts 0.05 deg below its middle.
 */
export function smearedShift(
  filling: LampFilling,
  litHeightMm: number,
  distanceMm: number,
  edge: TanhEdge,
): number {
  const perDeg = tanFromDeg(1);
  const half = litHeightMm / 2 / distanceMm / perDeg;
  const rows = litHeights(filling, 60);
  const from = -half - 4 * edge.sDeg;
  const count = Math.ceil((2 * half + 8 * edge.sDeg) / STEP_DEG);
  const logs = Array.from({ length: count }, (_, i) => {
    const v = from + i * STEP_DEG;
    const light = rows.reduce(
      (sum, row) => sum + row.share * 10 ** (-edge.b * Math.tanh((v - row.z * half) / edge.sDeg)),
      0,
    );
    return Math.log10(light);
  });
  const over = Math.round(0.1 / STEP_DEG);
  let best = 0;
  let steepest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i + over < count; i++) {
    const step = logs[i]! - logs[i + over]!;
    if (step > steepest) {
      steepest = step;
      best = i;
    }
  }
  return 100 * perDeg * (from + (best + over / 2) * STEP_DEG);
}
