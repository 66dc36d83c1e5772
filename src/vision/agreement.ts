import { type Body, CAMERA_PARAMS, type PhotoSize, type SolvedView, solveView } from './solve-view.ts';

/** A view that the kept bodies agree on, and the bodies that contradict it. */
export interface Agreement {
  readonly solved: SolvedView;
  /** For each body whether it was used. */
  readonly kept: readonly boolean[];
}

/** Why there is no such view. */
export interface Disagreement {
  readonly why: 'no-view' | 'disagree';
  /** Two bodies that would fit if they changed places, if exactly one such pair does. */
  readonly swapped: readonly [string, string] | null;
  /** Bodies any one of which would bring agreement if it were left out; more than one, or it would have been. */
  readonly suspects: readonly string[];
  /** The body farthest from where the others put it; null when that can't be told. */
  readonly worst: string | null;
}

/** Points of one body may be off by this many of their uncertainties, root mean square, before it is a blunder. */
const MOST_MISFIT = 4;
/** A view from fewer bodies than this can't be used to throw one out. */
const LEAST_LEFT = { sheets: 2, crosses: 4 } as const;

/**
 * Solves the view and makes sure that the marks agree on it. One body (of six or more bodies two) that contradicts all
 * others is set aside and named; never more, and only when no other choice does nearly as well: a view must not be
 * made to fit by dropping what disagrees.
 */
export function agreeOnView(
  bodies: readonly Body[],
  photo: PhotoSize,
  kind: 'sheets' | 'crosses',
): Agreement | Disagreement {
  const everyone = bodies.map(() => true);
  const first = solveKept(bodies, everyone, photo);
  if (first !== null && agrees(first, bodies, everyone, kind)) return { solved: first, kept: everyone };
  const choices: { kept: boolean[]; solved: SolvedView; score: number }[] = [];
  const tryDrop = (drop: readonly number[]): void => {
    const kept = bodies.map((_, i) => !drop.includes(i));
    if (bodies.length - drop.length < LEAST_LEFT[kind]) return;
    const solved = solveKept(bodies, kept, photo);
    if (solved !== null && agrees(solved, bodies, kept, kind)) {
      choices.push({ kept, solved, score: solved.chiSquared });
    }
  };
  for (let i = 0; i < bodies.length; i++) tryDrop([i]);
  if (choices.length === 0 && bodies.length >= 6) {
    for (let i = 0; i < bodies.length; i++) for (let j = 0; j < i; j++) tryDrop([i, j]);
  }
  choices.sort((a, b) => a.score - b.score);
  const [best, second] = choices;
  if (best && (second === undefined || second.score > best.score + 12)) {
    return { solved: best.solved, kept: best.kept };
  }
  return {
    why: first === null ? 'no-view' : 'disagree',
    swapped: findSwap(bodies, photo, kind),
    suspects: [...new Set(choices.flatMap((c) => bodies.filter((_, i) => !c.kept[i]).map((b) => b.name)))],
    worst: first === null ? null : worstOf(bodies, first),
  };
}

function solveKept(bodies: readonly Body[], kept: readonly boolean[], photo: PhotoSize): SolvedView | null {
  return solveView(
    bodies,
    photo,
    bodies.flatMap((b, i) => b.points.map(() => (kept[i] ? 1 : 0))),
  );
}

/** Whether residuals and shifts are no more than the stated uncertainties explain, and all is before the camera. */
function agrees(
  solved: SolvedView,
  bodies: readonly Body[],
  kept: readonly boolean[],
  kind: 'sheets' | 'crosses',
): boolean {
  const used = bodies.map((_, i) => i).filter((i) => kept[i]);
  if (used.some((i) => solved.bodyMisfit[i]! > MOST_MISFIT)) return false;
  const { translation: t, rotation: r } = solved.pose;
  for (const i of used) {
    const p = bodies[i]!.at;
    if (r[6]! * p.X + r[7]! * p.Y + t[2] <= 0) return false;
  }
  if (kind === 'crosses') {
    return solved.chiSquared < solved.freedom + 4 * Math.sqrt(2 * solved.freedom) + 6;
  }
  // Sheets: their places against each other. A common shift of all means nothing, hence one less.
  let sum = 0;
  for (const i of used) {
    const b = bodies[i]!;
    const s = solved.shifts[i]!;
    sum += (s.X / b.uXMm) ** 2 + (s.Y / b.uYMm) ** 2 + (s.turnDeg / b.uTurnDeg) ** 2;
  }
  const freedom = 3 * (used.length - 1);
  return used.length < 2 || sum < freedom + 4 * Math.sqrt(2 * freedom) + 6;
}

/** Noncentrality at which the agreement test is as likely as not to notice: four uncertainties. */
const NOTICED = 4;

/**
 * The largest mistake in the place of a kept body, in X or Y, mm, that would still pass for chance: what the redundancy
 * of the view can't see (internal reliability; Baarda 1968, from memory).
 */
export function unnoticedMm(
  solved: SolvedView,
  bodies: readonly Body[],
  kept: readonly boolean[],
): { readonly name: string; readonly mm: number } | null {
  let worst: { name: string; mm: number } | null = null;
  bodies.forEach((b, i) => {
    if (!kept[i]) return;
    for (const [offset, u] of [
      [0, b.uXMm],
      [1, b.uYMm],
    ] as const) {
      const at = CAMERA_PARAMS + 3 * i + offset;
      const redundancy = 1 - solved.covariance[at]![at]! / (u * u);
      const mm = (NOTICED * u) / Math.sqrt(Math.max(redundancy, 1e-6));
      if (worst === null || mm > worst.mm) worst = { name: b.name, mm };
    }
  });
  return worst;
}

function findSwap(
  bodies: readonly Body[],
  photo: PhotoSize,
  kind: 'sheets' | 'crosses',
): readonly [string, string] | null {
  const everyone = bodies.map(() => true);
  const hits: [string, string][] = [];
  for (let i = 0; i < bodies.length; i++) {
    for (let j = 0; j < i; j++) {
      const a = bodies[i]!;
      const b = bodies[j]!;
      const place = (from: Body, to: Body): Body => ({ ...to, name: from.name, points: from.points });
      const swapped = bodies.with(i, place(a, b)).with(j, place(b, a));
      const solved = solveKept(swapped, everyone, photo);
      if (solved !== null && agrees(solved, swapped, everyone, kind) && facesCamera(solved)) {
        hits.push([b.name, a.name]);
      }
    }
  }
  return hits.length === 1 ? hits[0]! : null;
}

/** Whether the camera stands on the vehicle's side of the board. */
export function facesCamera(solved: SolvedView): boolean {
  const { rotation: r, translation: t } = solved.pose;
  return r[2]! * t[0] + r[5]! * t[1] + r[8]! * t[2] < 0;
}

function worstOf(bodies: readonly Body[], solved: SolvedView): string | null {
  let worst: string | null = null;
  let most = 0;
  bodies.forEach((b, i) => {
    const s = solved.shifts[i]!;
    const off = Math.hypot(s.X / b.uXMm, s.Y / b.uYMm) + solved.bodyMisfit[i]!;
    if (off > most) {
      most = off;
      worst = b.name;
    }
  });
  return worst;
}
