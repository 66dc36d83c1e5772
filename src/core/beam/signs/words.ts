import type { BeamSign } from '../finding.ts';

/** What was seen with its number, what causes it (likeliest first), what to do. */
export interface SignWords {
  readonly seen: string;
  readonly causes: string;
  readonly advice: string;
}

/** Hands, eyes and glass: for every advice that sends someone to the bulb (design 10). */
export const AT_THE_BULB =
  'Switch off and let the lamp cool first; leave the wiring of a discharge lamp shut.';

/** A sign from its words: the person reads three sentences or so in one run. */
export function sign(code: string, { seen, causes, advice }: SignWords): BeamSign {
  return { code, text: `${seen} ${causes} ${advice}` };
}

/** "3.4 degrees", one decimal. */
export function degrees(deg: number): string {
  const text = Math.abs(deg).toFixed(1);
  return `${text} ${text === '1.0' ? 'degree' : 'degrees'}`;
}

/** "4 %": a share in whole per cent, one decimal below 2. */
export function percent(share: number): string {
  const pct = 100 * share;
  return `${pct < 2 ? pct.toFixed(1) : Math.round(pct)} %`;
}
