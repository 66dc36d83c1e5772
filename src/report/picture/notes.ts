import { INK, letters, type PagePoint } from './draw.ts';
import type { Pane } from './frame.ts';
import { type Lettering, n } from './lettering.ts';

/** Size of a label beside the tape, page units. */
const LABEL = 40;

/** One label beside the tape, joined to its height. */
export interface Note {
  readonly aboveMm: number;
  readonly text: string;
  readonly fill: string;
  readonly bold: boolean;
}

/** Labels in one column, pushed apart so that none covers another, each joined to its place by a thin line. */
export function drawNotes(
  lettering: Lettering,
  pane: Pane,
  at: (mm: number) => PagePoint,
  notes: readonly Note[],
  side: 1 | -1,
  x0: number,
): string {
  const gap = 58;
  const sorted = [...notes].sort((a, b) => b.aboveMm - a.aboveMm);
  const y = sorted.map((s) => at(s.aboveMm).py);
  for (let round = 0; round < 200; round++) {
    for (let i = 1; i < y.length; i++) {
      const overlap = gap - (y[i]! - y[i - 1]!);
      if (overlap > 0) {
        y[i - 1]! -= overlap / 2;
        y[i]! += overlap / 2;
      }
    }
    for (let i = 0; i < y.length; i++) {
      const low = pane.y + 40 + i * gap;
      const high = pane.y + pane.height - 30 - (y.length - 1 - i) * gap;
      y[i] = Math.min(Math.max(y[i]!, low), high);
    }
  }
  const left = side > 0 ? at(0).px + x0 + 36 : pane.x;
  const width = side > 0 ? pane.x + pane.width - left : at(0).px - x0 - 36 - pane.x;
  let out = `<rect x="${n(left)}" y="${n(pane.y)}" width="${n(width)}" height="${n(pane.height)}" fill="${INK.night}" fill-opacity="0.94"/>`;
  sorted.forEach((note, i) => {
    const from = at(note.aboveMm);
    const edge = side > 0 ? left + 12 : left + width - 12;
    out += `<path d="M${n(from.px + side * (x0 - 2))} ${n(from.py)}L${n(edge)} ${n(y[i]!)}" stroke="${note.fill}" stroke-width="3" fill="none" opacity="0.9"/>`;
    out += letters(
      lettering,
      note.text,
      { px: edge + side * 14, py: y[i]! + LABEL * 0.33 },
      {
        size: LABEL,
        weight: note.bold ? 'bold' : 'regular',
        fill: note.fill,
        anchor: side > 0 ? 'start' : 'end',
      },
    );
  });
  return out;
}
