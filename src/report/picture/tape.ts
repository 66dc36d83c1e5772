import { MM_PER_INCH } from '../../core/units.ts';
import { fixed, type Units } from '../format.ts';
import type { LimitOnBoard } from '../limits.ts';
import { cased, INK, letters, type PagePoint } from './draw.ts';
import { type Lettering, n } from './lettering.ts';

/** Page width of the drawn tape. */
export const TAPE = 150;

/** Board heights, mm above the centre mark, at the two ends of what a pane shows. */
export interface Ends {
  readonly top: number;
  readonly bottom: number;
}

/** Whether a board height is in view. */
export function inside(ends: Ends, mm: number): boolean {
  return mm <= ends.top && mm >= ends.bottom;
}

/** A steel tape hung beside the reading column: a tick for every 10 mm (1/4 in), numbers where there is room. */
export function drawTape(
  lettering: Lettering,
  at: (mm: number) => PagePoint,
  ends: Ends,
  units: Units,
  side: 1 | -1,
): string {
  const top = at(ends.top);
  const bottom = at(ends.bottom);
  const quad = `M${n(top.px)} ${n(top.py)}L${n(top.px + side * TAPE)} ${n(top.py)}L${n(bottom.px + side * TAPE)} ${n(bottom.py)}L${n(bottom.px)} ${n(bottom.py)}Z`;
  let out = `<path d="${quad}" fill="${INK.tape}" fill-opacity="0.94" stroke="${INK.night}" stroke-width="4"/>`;
  const step = units === 'in' ? MM_PER_INCH / 4 : 10;
  const perStep = Math.abs(at(0).py - at(step).py);
  const big = units === 'in' ? 4 : 5;
  // Numbers stand at every 5th tick (every inch), or rarer when they would touch.
  const every = [1, 2, 4, 10, 20].map((k) => k * big).find((k) => k * perStep >= 58) ?? 40 * big;
  const fine = perStep >= 7 ? 1 : big;
  for (let k = Math.ceil(ends.bottom / step); k <= Math.floor(ends.top / step); k++) {
    if (k % fine !== 0) continue;
    const p = at(k * step);
    const numbered = k % every === 0;
    const length = numbered ? 46 : k % big === 0 ? 36 : 20;
    out += `<path d="M${n(p.px)} ${n(p.py)}h${side * length}" stroke="${INK.tapeInk}" stroke-width="${numbered ? 5 : 3.5}"/>`;
    if (numbered && p.py > at(ends.top).py + 26 && p.py < at(ends.bottom).py - 20) {
      const value =
        units === 'in'
          ? fixed(Math.abs(k) / 4, 0)
          : units === 'cm'
            ? String(Math.abs(k))
            : String(Math.abs(k) * 10);
      out += letters(
        lettering,
        value,
        { px: p.px + side * 56, py: p.py + 15 },
        { size: 44, weight: 'bold', fill: INK.tapeInk, anchor: side > 0 ? 'start' : 'end' },
      );
    }
  }
  return out;
}

/**
 * A scheme's limits: a bracket beside the tape from the highest to the lowest place, open where there is no limit;
 * a dotted line without hooks where no place on this board proves anything (see boardBand).
 */
export function drawBracket(
  lettering: Lettering,
  at: (mm: number) => PagePoint,
  ends: Ends,
  limit: LimitOnBoard,
  side: 1 | -1,
  x: number,
): string {
  const high = limit.highestMm ?? Number.POSITIVE_INFINITY;
  const low = limit.lowestMm ?? Number.NEGATIVE_INFINITY;
  const ink = INK.tape;
  const from = at(Math.min(high, ends.top));
  const to = at(Math.max(low, ends.bottom));
  const empty = high < low;
  const px = from.px + side * x;
  const hook = (p: PagePoint): string =>
    cased(
      [
        { px: p.px + side * (x - 22), py: p.py },
        { px: p.px + side * x, py: p.py },
      ],
      ink,
      7,
    );
  let out = cased(
    [
      { px, py: from.py },
      { px: to.px + side * x, py: to.py },
    ],
    ink,
    7,
    empty ? { dash: '2 16' } : {},
  );
  if (!empty && inside(ends, high)) out += hook(at(high));
  if (!empty && inside(ends, low)) out += hook(at(low));
  const mid = { px: (px + to.px + side * x) / 2, py: (from.py + to.py) / 2 };
  out += `<circle cx="${n(mid.px)}" cy="${n(mid.py)}" r="27" fill="${INK.night}" stroke="${ink}" stroke-width="5"/>`;
  return (
    out +
    letters(
      lettering,
      limit.letter,
      { px: mid.px, py: mid.py + 14 },
      { size: 42, weight: 'bold', fill: ink, anchor: 'middle' },
    )
  );
}
