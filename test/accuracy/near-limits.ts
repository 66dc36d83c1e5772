import { ownTableScheme } from '../../src/core/rules/schemes/typed-in.ts';
import type { Verdict } from '../../src/core/rules/verdict.ts';
import { expandedUncertainty } from '../../src/core/uncertainty/estimate.ts';
import type { Job } from '../../src/job/job.ts';
import { judgeShot } from '../../src/job/judge-shot.ts';
import type { ReadShot } from '../../src/job/result.ts';
import type { Random } from '../../src/renderer/index.ts';

/** One verdict by a limit that was put near the truth. */
export interface LimitOutcome {
  readonly place: 'board' | 'far';
  readonly limit: 'dazzle' | 'too-low';
  /** How far inside (+) or outside (-) the truth lies, in expanded uncertainties of the drop on the board. */
  readonly insideU: number;
  readonly verdict: Verdict['kind'];
}

/** A band this wide, per cent: its other end plays no part. */
const WIDE = 4;

/**
 * Judges a reading by limits put within three expanded uncertainties of the truth, so that many verdicts are close calls:
 * one on this board, one as seen from far.
 */
export function judgeNearLimits(
  job: Job,
  read: ReadShot,
  truth: { readonly onBoard: number; readonly far: number },
  random: Random,
): readonly LimitOutcome[] {
  if (read.dropPct === null) return [];
  const U = expandedUncertainty(read.dropPct);
  return (['board', 'far'] as const).flatMap((place): LimitOutcome[] => {
    const insideU = random.uniform(-3, 3);
    const limit = random.pick(['dazzle', 'too-low'] as const);
    const at = place === 'board' ? truth.onBoard : truth.far;
    const edge = limit === 'dazzle' ? at - insideU * U : at + insideU * U;
    const scheme = ownTableScheme([
      {
        id: 'near',
        lamp: 'passing',
        feature: 'flat-part',
        minDropPct: limit === 'dazzle' ? edge : edge - WIDE,
        maxDropPct: limit === 'dazzle' ? edge + WIDE : edge,
        aimDropPct: null,
        minOffsetPct: null,
        maxOffsetPct: null,
        onBoardAtMm: place === 'board' ? read.view.distanceMm : null,
        source: 'a limit near the truth',
      },
    ]);
    const aim = {
      dropPct: read.dropPct,
      offsetPct: read.offsetPct,
      elbowDropPct: read.dropPct,
      hotSpot: read.hotSpot,
      brightZone: null,
    };
    const lamp = job.lamps[0]!;
    const { verdicts } = judgeShot({ ...job, schemes: [scheme] }, lamp, read.view, read.beam, aim);
    return verdicts.map(({ verdict }) => ({ place, limit, insideU, verdict: verdict.kind }));
  });
}
