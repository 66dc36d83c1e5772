import { inverse, Matrix, pseudoInverse } from 'ml-matrix';
import type { Support } from './lamp-mechanics.ts';

type ScrewSupport = Extract<Support, { kind: 'screw' }>;

/** One screw and what 1 mm forward travel of its support does to the aim, all other screws held. */
export interface ScrewLever {
  readonly screw: ScrewSupport;
  /** Per cent per mm: drop + down, offset + right. */
  readonly perMm: AimChange;
}

export interface AimChange {
  readonly dropPct: number;
  readonly offsetPct: number;
}

export type SupportEffects =
  | { readonly kind: 'levers'; readonly levers: readonly ScrewLever[] }
  | { readonly kind: 'refused'; readonly why: 'near-singular' | 'no-screws'; readonly detail: string };

/** Shortest lever worth believing: below it, 1 mm in the measured place of a support changes the effect by a tenth. */
export const SHORTEST_LEVER_MM = 10;

/**
 * What each screw does to the aim: the lamp is the plane through its supports, dz = c + a x + b y (dz forward, x right,
 * y up), and turns with it: du = -a, dv = -b, so drop changes by 100 b and offset by -100 a.
 *
 * With a fixed support, that is the pivot. With none and one or two screws, the pivot is where places are counted from.
 * With none and three screws there is no pivot and the plane moves as a whole. Springs only press. Where one screw and
 * one pivot leave a turn open, the lamp is taken to tilt straight along the line between them (least movement).
 *
 * @param supports places in mm, + right and + up in the vehicle's frame, from one common point.
 * @returns a lever for each screw in the order given, or why there is none.
 * @see design: `[x1 y1; x2 y2][a b]' = [dz1 dz2]'`; least movement by the Moore-Penrose inverse (ml-matrix).
 */
export function supportEffects(supports: readonly Support[]): SupportEffects {
  const screws = supports.filter((s): s is ScrewSupport => s.kind === 'screw');
  if (screws.length === 0)
    return { kind: 'refused', why: 'no-screws', detail: 'None of the supports is a screw.' };
  const fixed = supports.filter((s) => s.kind === 'fixed');
  const pivot = fixed[0] ?? (screws.length <= 2 ? { rightMm: 0, upMm: 0 } : null);

  // Rows of the plane's equations: fixed supports first, then screws.
  const held = pivot === null ? [] : fixed.slice(1);
  const rows = [...held, ...screws].map((s) =>
    pivot === null ? [s.rightMm, s.upMm, 1] : [s.rightMm - pivot.rightMm, s.upMm - pivot.upMm],
  );
  const unknowns = pivot === null ? 3 : 2;
  if (rows.length > unknowns)
    return refused(
      'More supports than it takes to hold a plane: turning one of them alone would bend or unseat the lamp. Say which of them are springs.',
    );

  const equations = new Matrix(rows);
  const solved =
    rows.length === unknowns && !isSingular(equations) ? inverse(equations) : leastMovement(equations);
  const levers = screws.map((screw, i): ScrewLever => {
    const column = held.length + i;
    const a = solved.get(0, column);
    const b = solved.get(1, column);
    return { screw, perMm: { dropPct: 100 * b, offsetPct: -100 * a } };
  });
  const short = levers.find(({ perMm }) => !(leverMm(perMm) >= SHORTEST_LEVER_MM));
  const idle = rows.length === unknowns && isSingular(equations);
  if (short !== undefined || idle) {
    const name = (short ?? levers[0]!).screw.name;
    return refused(
      `Screw "${name}" lies nearly in line with the other supports (less than ${SHORTEST_LEVER_MM} mm off), so what it does can't be told. Measure the places of pivot and screws again.`,
    );
  }
  return { kind: 'levers', levers };
}

/** The Moore-Penrose inverse; ml-matrix wants it tall, and the inverse of the transpose is the transpose of the inverse. */
function leastMovement(equations: Matrix): Matrix {
  return pseudoInverse(equations.transpose()).transpose();
}

/** Length of the lever in mm: how far the support stands from the line that the lamp turns about. */
function leverMm({ dropPct, offsetPct }: AimChange): number {
  const effect = Math.hypot(dropPct, offsetPct);
  // A support on the pivot has no equation of its own: its effect comes out as nought, not as large.
  return effect > 0 ? 100 / effect : 0;
}

/** All supports in one line: the area (or product) that they span is below a thousandth of what their size allows. */
function isSingular(equations: Matrix): boolean {
  const [r0, r1, r2] = equations.to2DArray();
  if (equations.rows === 2 && equations.columns === 2) {
    const area = Math.abs(r0![0]! * r1![1]! - r0![1]! * r1![0]!);
    return !(area > 1e-3 * Math.hypot(...r0!) * Math.hypot(...r1!));
  }
  if (equations.rows === 3) {
    const [x1, y1] = [r1![0]! - r0![0]!, r1![1]! - r0![1]!];
    const [x2, y2] = [r2![0]! - r0![0]!, r2![1]! - r0![1]!];
    return !(Math.abs(x1 * y2 - x2 * y1) > 1e-3 * Math.hypot(x1, y1) * Math.hypot(x2, y2));
  }
  return !(Math.hypot(...r0!) > 0);
}

function refused(detail: string): SupportEffects {
  return { kind: 'refused', why: 'near-singular', detail };
}
