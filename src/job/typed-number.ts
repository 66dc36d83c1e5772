/** Reading what people type: the marks that stand for feet and inches, the comma, the fraction. */

const SAME: readonly (readonly [RegExp, string])[] = [
  // Two single primes are how some keyboards make the inch mark.
  [/''|′′|’’/g, '"'],
  [/[“”„‟″˝ʺ]/g, '"'],
  [/[‘’‚‛′´`ʹ]/g, "'"],
  [/[−‒–—﹣－]/g, '-'],
  [/[⁄∕]/g, '/'],
  [/[\u00a0\u2000-\u200a\u202f\u3000]/g, ' '],
  [/[\u200b-\u200f\u2060\ufeff]/g, ''],
  [/[º˚]/g, '°'],
];

const FRACTIONS: Readonly<Record<string, string>> = {
  '½': '1/2',
  '⅓': '1/3',
  '⅔': '2/3',
  '¼': '1/4',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
};

/** The same text in plain ASCII marks, single spaces, decimal comma as given. */
export function plainText(text: string): string {
  let out = text.normalize('NFC');
  for (const [from, to] of SAME) out = out.replace(from, to);
  out = out.replace(/[½⅓⅔¼¾⅛⅜⅝⅞]/g, (f) => ` ${FRACTIONS[f]}`);
  return out.replace(/\s+/g, ' ').trim();
}

/**
 * Source of a pattern for one number without sign: 12, 12.5, 12,5, .5, 3/4, 2 3/4, 2-3/4.
 * Fractions come first, so that '2 3/4' is one number and not two.
 */
export const NUMBER = String.raw`\d+(?: +|-)\d+ ?\/ ?\d+|\d+ ?\/ ?\d+|\d+(?:[.,]\d+)*\.?|[.,]\d+`;

/**
 * The value of a text that NUMBER matched.
 * @returns null for what can be read in two ways ('1,200' is 1.2 to some and 1200 to others, '1.200,5') or divides by 0.
 */
export function numberOf(text: string): number | null {
  const fraction = /^(?:(\d+)(?: +|-))?(\d+) ?\/ ?(\d+)$/.exec(text);
  if (fraction) {
    const below = Number(fraction[3]);
    return below === 0 ? null : Number(fraction[1] ?? 0) + Number(fraction[2]) / below;
  }
  const marks = text.match(/[.,]/g) ?? [];
  if (marks.length > 1) return null;
  // '0,125' can only be a decimal; '1,200' may be a thousand.
  if (/^[1-9]\d{0,2},\d{3}$/.test(text)) return null;
  return Number(text.replace(',', '.'));
}
