import { judgeScheme } from '../../../src/core/rules/judge.ts';
import type { JudgeInput } from '../../../src/core/rules/judge-input.ts';
import { schemeById } from '../../../src/core/rules/schemes/list.ts';
import type { Verdict } from '../../../src/core/rules/verdict.ts';
import { type Estimate, estimate, exactly } from '../../../src/core/uncertainty/estimate.ts';

/** A left-traffic dipped beam with a rise, read exactly on a board far off; tests change what they are about. */
export function reading(changes: Partial<JudgeInput> = {}): JudgeInput {
  return {
    lamp: {
      function: 'passing',
      centreHeight: { mm: 650, uMm: 0 },
      lowerEdge: { mm: 585, uMm: 0 },
      marking: 'unknown',
    },
    trafficSide: 'left',
    cutOffKind: 'rise',
    riseSide: 'left',
    dropPct: exactly(1.3),
    offsetPct: exactly(-0.2),
    hotSpot: null,
    brightZone: null,
    boardDistanceMm: 9800,
    farShiftPct: { min: 0, max: 0 },
    farProvable: true,
    ...changes,
  };
}

/** The lamp of `reading` with heights in mm and their standard uncertainty. */
export function lampAt(
  centreMm: number | null,
  lowerMm: number | null,
  uMm = 0,
  rest: Partial<JudgeInput['lamp']> = {},
): JudgeInput['lamp'] {
  const height = (mm: number | null): { mm: number; uMm: number } | null =>
    mm === null ? null : { mm, uMm };
  return {
    function: 'passing',
    marking: 'unknown',
    ...rest,
    centreHeight: height(centreMm),
    lowerEdge: height(lowerMm),
  };
}

/** A drop with one cause of standard uncertainty `u`. */
export function unsure(value: number, u: number): Estimate {
  return estimate(value, 'lamp-height', u);
}

/** The verdict of one row of a scheme with a fixed id. */
export function verdictOf(scheme: string, row: string, input: JudgeInput): Verdict | undefined {
  return judgeScheme(schemeById(scheme)!, input).find((v) => v.row === row);
}
/** 'within', 'too-close', 'no-verdict', or which way it is over. */
export function kindOf(v: Verdict | undefined): string {
  return v === undefined ? 'no such row' : v.kind === 'over' ? v.how : v.kind;
}
