import { causeId, type Estimate } from '../../uncertainty/estimate.ts';
import type { JointReading, LitLamp } from './joint-reading.ts';
import type { LampFilling } from './lamp-filling.ts';

/** What an instrument far away would see, counted from what the board shows. Per cent. */
export interface FarReading {
  /** Far drop less the board's: the likeliest, with what leaves it open. */
  readonly shiftPct: Estimate;
  /** Far elbow's offset less the board's; null without elbow. */
  readonly elbowShiftPct: Estimate | null;
  /** Each way in which the lamp may be lit: its own shift, how well it explains this board, how likely that makes it. */
  readonly ways: readonly FarWay[];
  /** True when the person said how the lamp is lit. */
  readonly fillingTold: boolean;
}

export interface FarWay {
  readonly filling: LampFilling;
  readonly shiftPct: number;
  /** Standard uncertainty without the size's part: of this board's fit, and of the family of edges, which errs alike on all boards. */
  readonly uPct: number;
  readonly familyPct: number;
  /** The size's signed part. */
  readonly sizePartPct: number;
  readonly cost: number;
  readonly weight: number;
}

/** No family of edges follows a lamp better than this: a constant, and a share of the shift (measured on unlike families). */
const FAMILY_PCT = 0.02;
const FAMILY_SHARE = 0.03;
/**
 * With the filling unknown U(far) is at least 0.38 % for 170 mm at 5 m (design, near field): lamps fill in more ways
 * than are tried here. As standard uncertainty per per cent of lit height over distance.
 */
const UNKNOWN_FILLING = 0.19 / 3.4;
/** Facets aimed apart by 0.1 deg or so on no one knows which side of the bowl, as a share of the smear. */
const FACETS_PCT = 0.12;

/** The far reading behind a joint fit. @param instance of the causes: the shot and the lamp. */
export function farReading(joint: JointReading, lamp: LitLamp, shot: string, lampId: string): FarReading {
  const ways = joint.fillings.map(({ filling, fit, weight }): FarWay => {
    const shiftPct = 100 * (fit.onBoard - fit.far);
    const sizePartPct = -100 * fit.sizePart;
    const own = Math.sqrt(Math.max(0, (100 * fit.uShift) ** 2 - sizePartPct ** 2));
    // An edge whose fit leaves its far place open says no more than the lamp's size allows.
    const most = (100 * lamp.heightMm) / lamp.distanceMm / 3;
    const uPct = Math.min(own, most);
    const familyPct = Math.hypot(FAMILY_PCT, FAMILY_SHARE * shiftPct);
    return { filling, shiftPct, uPct, familyPct, sizePartPct, cost: fit.cost, weight };
  });
  const mean = (of: (w: FarWay) => number) => ways.reduce((s, w) => s + w.weight * of(w), 0);
  const value = mean((w) => w.shiftPct);
  const between = Math.sqrt(mean((w) => (w.shiftPct - value) ** 2));
  const told = lamp.filling !== 'unknown';
  const smearPct = (100 * lamp.heightMm) / lamp.distanceMm;
  const uFilling = told
    ? lamp.filling === 'facets'
      ? FACETS_PCT
      : 0
    : Math.max(between, UNKNOWN_FILLING * smearPct);
  const line = joint.line;
  return {
    shiftPct: {
      value,
      parts: {
        [causeId('shape-model', shot)]: mean((w) => Math.hypot(w.uPct, w.familyPct)),
        [causeId('lit-size', lampId)]: mean((w) => w.sizePartPct),
        [causeId('filling', lampId)]: uFilling,
      },
    },
    elbowShiftPct: line && {
      value: 100 * (line.far.u - line.onBoard.u),
      parts: {
        [causeId('shape-model', shot)]: Math.hypot(0.04, 0.3 * 100 * Math.abs(line.far.u - line.onBoard.u)),
      },
    },
    ways,
    fillingTold: told,
  };
}
