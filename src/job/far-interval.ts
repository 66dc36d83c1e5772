import type { BeamFinding } from '../core/beam/finding.ts';
import { type NearFieldShift, nearFieldShift } from '../core/beam/near-field.ts';
import { expandedUncertainty } from '../core/uncertainty/estimate.ts';

/**
 * The interval that is judged by rules which speak of far away: with the filling unknown from no correction to the full
 * one; with the filling told, the fitted correction with its U, but never less than none (doubt errs away from dazzle).
 */
export function farInterval(
  litHeightMm: number | null,
  distanceMm: number,
  beam: BeamFinding,
): NearFieldShift {
  const near = nearFieldShift(litHeightMm, distanceMm);
  const far = beam.found === 'cut-off' ? beam.far : null;
  if (far === null || !far.fillingTold) return near;
  const { value } = far.shiftPct;
  const U = expandedUncertainty(far.shiftPct);
  const minPct = Math.max(0, value - U);
  return { ...near, minPct, maxPct: Math.max(minPct, value + U) };
}
