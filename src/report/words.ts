/** The words a person meets, in their own country's trade language. Numbers are none of this file's business. */
import type { Side, TrafficSide } from '../core/frames.ts';
import type { LampFunction, Scheme, SchemeRow, Seen } from '../core/rules/scheme.ts';
import type { OverHow, Verdict } from '../core/rules/verdict.ts';
import { acrossRoom, drop, likelihood, limitNumber, type Units } from './format.ts';

export type Dialect = 'gb' | 'us';

/** How one person is spoken to. */
export interface Voice {
  readonly words: Dialect;
  readonly units: Units;
  readonly trafficSide: TrafficSide;
}

const LAMP_WORDS: Readonly<Record<Dialect, Readonly<Record<LampFunction, string>>>> = {
  gb: { passing: 'dipped beam', driving: 'main beam', 'front-fog': 'front fog lamp' },
  us: { passing: 'low beam', driving: 'high beam', 'front-fog': 'front fog lamp' },
};

/** "dipped beam" or "low beam". */
export function lampWord(lamp: LampFunction, words: Dialect): string {
  return LAMP_WORDS[words][lamp];
}

/** "left (nearside)", "right (passenger's side)"; "centre" or "center". */
export function sideWord(side: Side, voice: Pick<Voice, 'words' | 'trafficSide'>): string {
  if (side === 'centre') return voice.words === 'us' ? 'center' : 'centre';
  const kerb = side === voice.trafficSide;
  if (voice.words === 'us') return `${side} (${kerb ? "passenger's" : "driver's"} side)`;
  return `${side} (${kerb ? 'nearside' : 'offside'})`;
}

/** The rising part of a dipped beam's edge. */
export function riseWord(words: Dialect): string {
  return words === 'us' ? 'step' : 'kick-up';
}

/** "too high": how a beam is out. */
export function overWord(how: OverHow): string {
  return how.replaceAll('-', ' ');
}

/** A sign that needs no colour, three letters wide; small letters and a query where the figure is not checked. */
export function verdictSign(verdict: Verdict): string {
  if (verdict.kind === 'within') return verdict.figureChecked ? 'OK ' : 'ok?';
  if (verdict.kind === 'over') return verdict.figureChecked ? 'NO ' : 'no?';
  return verdict.kind === 'too-close' ? '???' : '---';
}

/** The verdict in one phrase, without the scheme's name. */
export function verdictHeadline(verdict: Verdict): string {
  switch (verdict.kind) {
    case 'within':
      return verdict.figureChecked ? 'within the limits' : 'within the figure we hold, not checked';
    case 'over':
      return `over the limit: ${overWord(verdict.how)}${verdict.figureChecked ? '' : ' (by the figure we hold, not checked)'}`;
    case 'too-close':
      return `too close to call: ${likelihood(verdict.probability)} likely to be within${verdict.figureChecked ? '' : ' the figure we hold (not checked)'}`;
    case 'no-verdict':
      return 'no verdict';
  }
}

/** What more there is to say: what would settle it, or why there is no verdict; null when nothing. */
export function verdictDetail(verdict: Verdict): string | null {
  if (verdict.kind === 'too-close')
    return `The nearest fault would be ${overWord(verdict.nearest)}. What would settle it: ${verdict.settledBy}`;
  if (verdict.kind === 'no-verdict') return verdict.why;
  return null;
}

/** "0.5 to 2.75 % down", "at least 1.3 % down", "4 in up to 4 in down"; per cent, signs in words. */
export function bandWords(row: Pick<SchemeRow, 'vertical'>): string {
  const { minPct, maxPct } = row.vertical;
  if (minPct !== null && maxPct !== null) {
    if (minPct >= 0) return `${limitNumber(minPct)} to ${limitNumber(maxPct)} % down`;
    return `${limitNumber(-minPct)} % up to ${limitNumber(Math.abs(maxPct))} % ${maxPct < 0 ? 'up' : 'down'}`;
  }
  if (minPct !== null) return `no higher than ${limitWord(minPct)}`;
  if (maxPct !== null) return `no lower than ${limitWord(maxPct)}`;
  return 'no limit up or down';
}

function limitWord(pct: number): string {
  return `${limitNumber(Math.abs(pct))} % ${pct < 0 ? 'up' : 'down'}`;
}

/** "0.5 % left to 2 % right"; null when the row has no sideways rule. */
export function lateralWords(row: Pick<SchemeRow, 'lateral'>): string | null {
  if (row.lateral === null) return null;
  const { minPct, maxPct } = row.lateral;
  const side = (pct: number): string =>
    pct === 0 ? 'straight ahead' : `${limitNumber(Math.abs(pct))} % ${pct < 0 ? 'left' : 'right'}`;
  if (minPct !== null && maxPct !== null) return `${side(minPct)} to ${side(maxPct)}`;
  if (minPct !== null) return `no further left than ${side(minPct)}`;
  if (maxPct !== null) return `no further right than ${side(maxPct)}`;
  return null;
}

/** Everything a row asks for: "0.5 to 2.75 % down, as an instrument sees it". */
export function askedWords(row: SchemeRow, units: Units): string {
  const lateral = lateralWords(row);
  const noHeight = row.vertical.minPct === null && row.vertical.maxPct === null;
  const limits = [noHeight && lateral !== null ? null : bandWords(row), lateral];
  return [...limits.filter((l) => l !== null), placeWords(row, units)].join(', ');
}

/** How far a figure can be trusted, for the person. */
export function seenWords(seen: Seen): string {
  return {
    seen: 'seen in print',
    'seen-second-hand': 'seen quoted by another page',
    memory: 'from memory: check it against the official text',
    'typed-in': 'typed in by you',
  }[seen];
}

/** Where a row holds. */
export function placeWords(row: Pick<SchemeRow, 'place'>, units: Units): string {
  return row.place.kind === 'far'
    ? 'as an instrument sees it'
    : `on a board ${acrossRoom(row.place.distanceMm, units)} away`;
}

/** The row that a verdict speaks of; null when the scheme does not hold it. */
export function rowOf(schemes: readonly Scheme[], scheme: string, row: string): SchemeRow | null {
  return schemes.find((s) => s.id === scheme)?.rows.find((r) => r.id === row) ?? null;
}

/** "aim at 1.3 % down", or null. */
export function aimWords(row: Pick<SchemeRow, 'aimPct'>): string | null {
  return row.aimPct === null ? null : `aim at ${drop(row.aimPct)}`;
}
