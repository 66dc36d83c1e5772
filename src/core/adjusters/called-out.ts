import { InputError } from '../errors.ts';
import type { Band } from '../rules/scheme.ts';
import { exactly } from '../uncertainty/estimate.ts';
import { MM_PER_INCH, pctFromDeg } from '../units.ts';
import type { LampMechanics, TurnsAdvice } from './lamp-mechanics.ts';
import { adviseTurns } from './turns.ts';

/** A figure that an inspector calls out: "0.4 % too high", "2 inches low at 25 ft". */
export interface CalledOut {
  /** 0 or more; `direction` carries the sense. */
  readonly amount: number;
  readonly unit: 'pct' | 'deg' | 'min' | 'mm-at' | 'in-at';
  /** Distance at which a length counts, mm; null for angles and per cent. */
  readonly atMm: number | null;
  readonly direction: 'high' | 'low' | 'left' | 'right';
  /** From the lamp's own level or straight-ahead line, from the nearest limit (it is outside it), or from the aim. */
  readonly countedFrom: 'level-line' | 'nearest-limit' | 'target';
}

/** What it is counted against, per cent; drop + down, offset + right. */
export interface CalledOutContext {
  readonly targetDropPct: number;
  readonly targetOffsetPct: number | null;
  readonly dropBand: Band | null;
  readonly offsetBand: Band | null;
}

/** The aim that the figure stands for, and the change that mends it. */
export interface CalledOutChange {
  readonly axis: 'drop' | 'offset';
  readonly nowPct: number;
  readonly targetPct: number;
  /** Wanted change, per cent: drop + lower, offset + further right. */
  readonly changePct: number;
}

/**
 * A called-out figure as the aim it stands for and the change it asks for.
 * Angles become per cent by their tangent; between two aims near level that is off by less than 0.3 % of the figure.
 *
 * @throws InputError when the amount is negative or not a number; when a length has no distance; when it is counted
 *   from a limit or an aim that there is not.
 */
export function calledOutChange(figure: CalledOut, context: CalledOutContext): CalledOutChange {
  const size = sizePct(figure);
  const axis = figure.direction === 'high' || figure.direction === 'low' ? 'drop' : 'offset';
  // Towards the larger figure: low is a larger drop, right a larger offset.
  const larger = figure.direction === 'low' || figure.direction === 'right';
  const signed = larger ? size : -size;
  const targetPct = axis === 'drop' ? context.targetDropPct : context.targetOffsetPct;
  if (targetPct === null)
    throw new InputError('targetOffsetPct', 'a sideways aim, since the figure is sideways', targetPct);
  const nowPct = countedFromPct(figure, context, axis, larger, targetPct) + signed;
  return { axis, nowPct, targetPct, changePct: targetPct - nowPct };
}

/** The turns that a called-out figure asks for; the other direction of the aim is left as it is. */
export function calledOutTurns(
  mechanics: LampMechanics,
  figure: CalledOut,
  context: CalledOutContext,
): TurnsAdvice {
  const { axis, nowPct, targetPct } = calledOutChange(figure, context);
  const drop = context.targetDropPct;
  return axis === 'drop'
    ? adviseTurns(
        mechanics,
        { dropPct: exactly(nowPct), offsetPct: null },
        { dropPct: drop, offsetPct: null },
      )
    : adviseTurns(
        mechanics,
        { dropPct: exactly(drop), offsetPct: exactly(nowPct) },
        { dropPct: drop, offsetPct: targetPct },
      );
}

function sizePct({ amount, unit, atMm }: CalledOut): number {
  if (!(amount >= 0) || !Number.isFinite(amount))
    throw new InputError('amount', 'a figure of 0 or more; say high or low, left or right', amount);
  if (unit === 'pct') return amount;
  if (unit === 'deg' || unit === 'min') {
    const deg = unit === 'deg' ? amount : amount / 60;
    if (deg >= 45) throw new InputError('amount', 'an angle below 45 degrees', amount);
    return pctFromDeg(deg);
  }
  if (atMm === null || !(atMm > 0))
    throw new InputError('atMm', 'the distance at which a length counts', atMm);
  return (100 * amount * (unit === 'in-at' ? MM_PER_INCH : 1)) / atMm;
}

function countedFromPct(
  figure: CalledOut,
  context: CalledOutContext,
  axis: 'drop' | 'offset',
  larger: boolean,
  targetPct: number,
): number {
  switch (figure.countedFrom) {
    case 'level-line':
      return 0;
    case 'target':
      return targetPct;
    case 'nearest-limit': {
      const limits = axis === 'drop' ? context.dropBand : context.offsetBand;
      const limit = larger ? limits?.maxPct : limits?.minPct;
      if (limit === null || limit === undefined)
        throw new InputError('countedFrom', `a limit on the ${figure.direction} side to count from`, limit);
      return limit;
    }
  }
}
