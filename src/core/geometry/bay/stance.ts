import { causeId, type UncertainInput } from '../../uncertainty/estimate.ts';
import type { Known } from './input-table.ts';

/**
 * What every method shares: how the board stands, how far it is, and how well the vehicle's springs have settled.
 * `setup` names the placing of vehicle and board; give one when a job holds several placings (two distances), since
 * each placing has errors of its own.
 */
export interface BaySetup {
  readonly lampId: string;
  readonly setup: string | null;
  /** From the lamp's reference centre forward to the board, mm; `shared` when one taped figure serves every lamp. */
  readonly distanceMm: Known;
  readonly distanceShared: boolean;
  /** + top away from the vehicle, deg, against gravity. */
  readonly outOfPlumbDeg: Known;
  /** + right edge further away, deg. */
  readonly yawDeg: Known;
  /** Board X line, + right end up, deg; against what is the method's affair. */
  readonly rollDeg: Known;
  /** Pitch of the body from load and springs, tangent, standard uncertainty only. */
  readonly loadU: number;
}

/** A cause of the bay: one error for every lamp of one placing. */
export function bayInput(
  setup: BaySetup,
  kind: 'floor' | 'levelness' | 'board-height' | 'board-lean' | 'board-turn' | 'cross-fall' | 'vehicle-axis',
  known: Known,
  what?: string,
): UncertainInput {
  const instance = [setup.setup, what].filter((part) => part !== null && part !== undefined).join('-');
  return { ...known, cause: instance === '' ? causeId(kind) : causeId(kind, instance) };
}

/** A cause of one lamp: the same error in every shot of it. */
export function lampInput(
  setup: BaySetup,
  kind: 'lamp-height' | 'lamp-side' | 'lamp-mark',
  known: Known,
): UncertainInput {
  return { ...known, cause: causeId(kind, setup.lampId) };
}

/** The inputs that every method needs, ready for an input table. */
export function stanceInputs(
  setup: BaySetup,
): Readonly<Record<'distance' | 'lean' | 'turn' | 'levelLine' | 'load', UncertainInput>> {
  const distanceOf = [setup.setup, setup.distanceShared ? null : setup.lampId].filter(
    (part) => part !== null,
  );
  return {
    distance: {
      ...setup.distanceMm,
      cause: distanceOf.length === 0 ? 'distance' : causeId('distance', distanceOf.join('-')),
    },
    lean: bayInput(setup, 'board-lean', setup.outOfPlumbDeg),
    turn: bayInput(setup, 'board-turn', setup.yawDeg),
    levelLine: bayInput(setup, 'levelness', setup.rollDeg, 'level-line'),
    load: { value: 0, u: setup.loadU, cause: 'load' },
  };
}
