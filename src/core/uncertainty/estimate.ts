import { InputError } from '../errors.ts';

/** How far a cause reaches: readings that share a cause share its error. */
export type Scope = 'shot' | 'lamp' | 'bay' | 'camera' | 'job';

/** Every kind of cause the project knows, with its reach. Adding a kind is adding a line. */
export const CAUSE_SCOPES = {
  noise: 'shot',
  'marks-found': 'shot',
  'shape-model': 'shot',
  focus: 'shot',
  levelness: 'bay',
  distance: 'bay',
  floor: 'bay',
  'cross-fall': 'bay',
  'board-lean': 'bay',
  'board-turn': 'bay',
  'board-height': 'bay',
  'vehicle-axis': 'bay',
  'marks-placed': 'bay',
  ambient: 'bay',
  'lamp-height': 'lamp',
  'lamp-side': 'lamp',
  'lamp-mark': 'lamp',
  'lit-size': 'lamp',
  filling: 'lamp',
  tone: 'camera',
  glare: 'camera',
  'lens-distortion': 'camera',
  'uneven-light': 'camera',
  'exposure-ratio': 'camera',
  load: 'job',
} as const satisfies Record<string, Scope>;

export type CauseKind = keyof typeof CAUSE_SCOPES;
/** `kind` or `kind@instance`, e.g. 'lamp-height@left-dip'; one error in the world has one id. */
export type CauseId = CauseKind | `${CauseKind}@${string}`;

/** The id of a cause; give an instance wherever a second one could exist. */
export function causeId(kind: CauseKind, instance?: string): CauseId {
  return instance === undefined ? kind : `${kind}@${instance}`;
}

/** The kind in an id. */
export function causeKind(id: CauseId): CauseKind {
  return id.split('@', 1)[0] as CauseKind;
}

/** The reach of a cause. */
export function causeScope(id: CauseId): Scope {
  return CAUSE_SCOPES[causeKind(id)];
}

/**
 * A value with what makes it unsure. `parts` holds, for each cause, (df/dx)·u(x): the signed change of the value, in
 * its own unit, when the cause is off by one standard uncertainty. Signs matter: they let shared causes cancel.
 */
export interface Estimate {
  readonly value: number;
  readonly parts: Readonly<Partial<Record<CauseId, number>>>;
}

/** A value known exactly. */
export function exactly(value: number): Estimate {
  return { value, parts: {} };
}

/** A value with one cause of standard uncertainty `u`. */
export function estimate(value: number, cause: CauseId, u: number): Estimate {
  return { value, parts: { [cause]: u } };
}

/**
 * The linear combination sum(weight·term) + offset. Parts of one cause are added before anything is squared.
 * @see JCGM 100:2008, 5.1.2 and 5.2.2 (a shared cause is a correlation of 1).
 */
export function combine(
  terms: readonly { readonly weight: number; readonly of: Estimate }[],
  offset = 0,
): Estimate {
  let value = offset;
  const parts: Partial<Record<CauseId, number>> = {};
  for (const { weight, of } of terms) {
    value += weight * of.value;
    for (const [id, part] of entries(of.parts)) parts[id] = (parts[id] ?? 0) + weight * part;
  }
  return { value, parts };
}

/** a - b; what both share cancels. */
export function difference(a: Estimate, b: Estimate): Estimate {
  return combine([
    { weight: 1, of: a },
    { weight: -1, of: b },
  ]);
}

/** The same estimate with further parts; parts of a cause already there are added to it. */
export function withParts(e: Estimate, more: Readonly<Partial<Record<CauseId, number>>>): Estimate {
  return combine([
    { weight: 1, of: e },
    { weight: 1, of: { value: 0, parts: more } },
  ]);
}

/** Combined standard uncertainty: the root of the sum of squares over causes (JCGM 100, 5.1.2). */
export function standardUncertainty(e: Estimate): number {
  let sum = 0;
  for (const [, part] of entries(e.parts)) sum += part * part;
  return Math.sqrt(sum);
}

/** Expanded uncertainty U = 2 u, about 95 % for many degrees of freedom. */
export function expandedUncertainty(e: Estimate): number {
  return 2 * standardUncertainty(e);
}

/** The causes of an estimate, the biggest first; `share` is the part of the variance, 0 to 1. */
export function budget(
  e: Estimate,
): readonly { readonly cause: CauseId; readonly u: number; readonly share: number }[] {
  const variance = standardUncertainty(e) ** 2;
  return entries(e.parts)
    .map(([cause, part]) => ({
      cause,
      u: Math.abs(part),
      share: variance > 0 ? (part * part) / variance : 0,
    }))
    .sort((a, b) => b.u - a.u);
}

/** One number that goes into a calculation: its value, standard uncertainty and cause. */
export interface UncertainInput {
  readonly value: number;
  readonly u: number;
  readonly cause: CauseId;
}

/**
 * First-order propagation through any function by central differences of one standard uncertainty.
 *
 * @param inputs n inputs; two may share a cause.
 * @param f takes n numbers, returns m numbers; must be finite within one u of the inputs.
 * @returns m estimates.
 * @throws InputError when f returns something that is not finite at the inputs.
 * @see JCGM 100:2008, 5.1.3 note 2 (numerical sensitivity coefficients).
 */
export function propagate(
  inputs: readonly UncertainInput[],
  f: (x: readonly number[]) => readonly number[],
): readonly Estimate[] {
  const x0 = inputs.map((i) => i.value);
  const y0 = f(x0);
  y0.forEach((y, k) => {
    if (!Number.isFinite(y)) throw new InputError(`output ${k}`, 'a finite number', y);
  });
  const parts = y0.map((): Partial<Record<CauseId, number>> => ({}));
  inputs.forEach((input, i) => {
    if (input.u === 0) return;
    const up = f(x0.with(i, input.value + input.u));
    const down = f(x0.with(i, input.value - input.u));
    y0.forEach((_, k) => {
      const into = parts[k]!;
      into[input.cause] = (into[input.cause] ?? 0) + (up[k]! - down[k]!) / 2;
    });
  });
  return y0.map((value, k) => ({ value, parts: parts[k]! }));
}

function entries(parts: Readonly<Partial<Record<CauseId, number>>>): [CauseId, number][] {
  return Object.entries(parts) as [CauseId, number][];
}
