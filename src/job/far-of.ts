import type { BeamFinding } from '../core/beam/finding.ts';
import { combine, type Estimate } from '../core/uncertainty/estimate.ts';

/** What an instrument far away would see of a beam, with every cause; null where the light can't tell. */
export interface FarAim {
  readonly dropPct: Estimate | null;
  readonly offsetPct: Estimate | null;
}

/** The far value behind what was read on the board. */
export function farOf(
  beam: BeamFinding,
  onBoard: { readonly dropPct: Estimate | null; readonly offsetPct: Estimate | null },
): FarAim {
  if (beam.found !== 'cut-off' || beam.far === null) return { dropPct: null, offsetPct: null };
  const { shiftPct, elbowShiftPct } = beam.far;
  return { dropPct: sum(onBoard.dropPct, shiftPct), offsetPct: sum(onBoard.offsetPct, elbowShiftPct) };
}

function sum(a: Estimate | null, b: Estimate | null): Estimate | null {
  if (a === null || b === null) return null;
  return combine([
    { weight: 1, of: a },
    { weight: 1, of: b },
  ]);
}
