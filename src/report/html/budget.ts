import { budget, type Estimate, expandedUncertainty } from '../../core/uncertainty/estimate.ts';
import { causeWords } from '../../core/uncertainty/words.ts';
import { fixed, roundWithU } from '../format.ts';
import { sentence } from '../text.ts';
import { el, esc } from './markup.ts';

/** Causes below this share of the variance are added up in one line. */
const SMALL_SHARE = 0.02;
const MOST_BARS = 6;

/** The doubt of a reading as bars, one per cause, the biggest first; what would shrink it stands below. */
export function budgetTable(reading: Estimate, unit: string): string {
  const causes = budget(reading).filter((c) => c.u > 0);
  if (causes.length === 0) return '';
  const shown = causes.filter((c, i) => i < MOST_BARS && (c.share >= SMALL_SHARE || i === 0));
  const rest = causes.slice(shown.length);
  const total = expandedUncertainty(reading);
  const { places } = roundWithU(0, total);
  const shownU = (U: number): string =>
    Number(fixed(U, places)) > 0
      ? `± ${fixed(U, places)} ${unit}`
      : `under ${fixed(10 ** -places, places)} ${unit}`;
  const row = (what: string, U: number, kind = ''): string => {
    const width = (100 * U) / total;
    return `<tr${kind}><td>${esc(what)}</td><td><svg viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true"><rect width="100" height="14" fill="var(--bar-soft)"/><rect width="${width.toFixed(1)}" height="14" fill="var(--bar)"/></svg></td><td>${esc(shownU(U))}</td></tr>`;
  };
  const rows = shown.map((c) => row(sentence(causeWords(c.cause).what).replace(/\.$/, ''), 2 * c.u));
  if (rest.length > 0)
    rows.push(
      row(
        rest.length === 1 ? 'One smaller one' : `${rest.length} smaller ones together`,
        2 * Math.sqrt(rest.reduce((s, c) => s + c.u * c.u, 0)),
      ),
    );
  rows.push(row('All together', total, ' class="sum"'));
  const advice = causeWords(shown[0]!.cause).shrink;
  return `<h4>Where the doubt comes from</h4><table class="budget"><tbody>${rows.join('')}</tbody></table>${el('p', `What would shrink it most: ${advice}`)}${el('p', 'The parts add up as squares, so together they are less than their sum.', 'class="note"')}`;
}
