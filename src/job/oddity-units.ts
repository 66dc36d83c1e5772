import { MM_PER_FOOT, MM_PER_INCH } from '../core/units.ts';

/** Slips of the unit: the factor that the typed figure would have to be multiplied by, and what it was meant to be. */
const SLIPS: readonly { readonly factor: number; readonly meant: string }[] = [
  { factor: 10, meant: 'cm' },
  { factor: MM_PER_INCH, meant: 'in' },
  { factor: 1000, meant: 'm' },
  { factor: MM_PER_FOOT, meant: 'ft' },
  { factor: 0.1, meant: 'mm, typed with cm' },
  { factor: 1 / MM_PER_INCH, meant: 'mm, typed with in' },
];

/**
 * What a figure far out of its usual range may have been meant to be: " Perhaps 65 cm?", or nothing.
 *
 * @param mm the figure as it was taken, mm.
 * @param usual range that makes sense, mm; only a slip that leads into it is named, and only when one unit does.
 */
export function unitSlip(mm: number, usual: { readonly from: number; readonly to: number }): string {
  if (mm >= usual.from && mm <= usual.to) return '';
  const fits = SLIPS.filter(({ factor }) => mm * factor >= usual.from && mm * factor <= usual.to);
  if (fits.length === 0) return '';
  const said = fits
    .slice(0, 2)
    .map(({ factor, meant }) =>
      meant.startsWith('mm') ? `${whole(mm * factor)} ${meant}` : `${whole(mm)} ${meant}`,
    );
  return ` Perhaps ${said.join(' or ')}?`;
}

/** A figure as it may have been typed: no needless noughts. */
function whole(value: number): string {
  return String(Math.round(value * 10) / 10);
}
