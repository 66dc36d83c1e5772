import { CAP_HEIGHT, type Lettering, n, type Weight } from './lettering.ts';

/** A place on the page (the finished picture), units of 1/1600 of its width, y down. */
export interface PagePoint {
  readonly px: number;
  readonly py: number;
}

/**
 * The picture's colours, chosen so that edge, target and warnings differ in lightness as well as in hue, and every
 * one is also told apart by its form (solid, dashed, shape): nothing is said by colour alone.
 */
export const INK = {
  night: '#0e1420',
  panel: '#161e2d',
  paper: '#f6f1e4',
  soft: '#b9c0cc',
  edge: '#57d3ff',
  target: '#ffb3e2',
  hotSpot: '#ffa24d',
  mark: '#e9e3a6',
  tape: '#f3e6b3',
  tapeInk: '#23200f',
  within: '#7fd6c2',
  over: '#ff8a66',
  close: '#ffd166',
} as const;

/** Text safe inside SVG or HTML; control characters, which no XML may hold, are left out. */
export function escapeXml(text: string): string {
  return text
    .replace(/[^\P{Cc}\t\n\r]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');
}

export interface LetterStyle {
  readonly size: number;
  readonly weight?: Weight;
  readonly fill?: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  /** A dark rim, so that it reads on white light and on black alike. */
  readonly halo?: boolean;
}

/** One line of lettering; `at` is the baseline's start, middle or end. */
export function letters(lettering: Lettering, text: string, at: PagePoint, style: LetterStyle): string {
  const { size, weight = 'regular', fill = INK.paper, anchor = 'start', halo = false } = style;
  const width = lettering.width(text, size, weight);
  const x = at.px - (anchor === 'middle' ? width / 2 : anchor === 'end' ? width : 0);
  const d = lettering.path(text, x, at.py, size, weight);
  if (d === '') return '';
  const rim = halo
    ? `<path d="${d}" fill="none" stroke="${INK.night}" stroke-opacity="0.85" stroke-width="${n(size * 0.28)}" stroke-linejoin="round"/>`
    : '';
  return `${rim}<path d="${d}" fill="${fill}"/>`;
}

/** Lettering on a rounded dark tag; returns the markup and the tag's box. */
export function tag(
  lettering: Lettering,
  text: string,
  at: PagePoint,
  style: LetterStyle & { readonly page?: { readonly left: number; readonly right: number } },
): string {
  const { size, weight = 'bold', anchor = 'start' } = style;
  const width = lettering.width(text, size, weight);
  const pad = size * 0.35;
  let left = at.px - (anchor === 'middle' ? width / 2 : anchor === 'end' ? width : 0);
  if (style.page !== undefined)
    left = Math.min(Math.max(left, style.page.left + pad + 6), style.page.right - width - pad - 6);
  const top = at.py - size * CAP_HEIGHT - pad;
  const box = `<rect x="${n(left - pad)}" y="${n(top)}" width="${n(width + 2 * pad)}" height="${n(size * CAP_HEIGHT + 2 * pad)}" rx="${n(size * 0.25)}" fill="${INK.night}" fill-opacity="0.82"/>`;
  return box + letters(lettering, text, { px: left, py: at.py }, { ...style, weight, anchor: 'start' });
}

/** A line with a dark casing under it. */
export function cased(
  points: readonly PagePoint[],
  stroke: string,
  width: number,
  options: { readonly dash?: string; readonly opacity?: number } = {},
): string {
  if (points.length < 2) return '';
  const d = points.map((p, i) => `${i === 0 ? 'M' : 'L'}${n(p.px)} ${n(p.py)}`).join('');
  const dash = options.dash === undefined ? '' : ` stroke-dasharray="${options.dash}"`;
  const opacity = options.opacity === undefined ? '' : ` opacity="${options.opacity}"`;
  return (
    `<g fill="none" stroke-linecap="round" stroke-linejoin="round"${opacity}>` +
    `<path d="${d}" stroke="${INK.night}" stroke-opacity="0.75" stroke-width="${n(width + 5)}"${dash}/>` +
    `<path d="${d}" stroke="${stroke}" stroke-width="${n(width)}"${dash}/></g>`
  );
}

/** A filled shape with a dark rim. */
export function shape(d: string, fill: string, options: { readonly rim?: number } = {}): string {
  return `<path d="${d}" fill="${fill}" stroke="${INK.night}" stroke-width="${options.rim ?? 4}" stroke-linejoin="round"/>`;
}

/** Path of a diamond round a point. */
export function diamond(p: PagePoint, r: number): string {
  return `M${n(p.px)} ${n(p.py - r)}L${n(p.px + r)} ${n(p.py)}L${n(p.px)} ${n(p.py + r)}L${n(p.px - r)} ${n(p.py)}Z`;
}

/** Path of an arrow head with its tip at `p`; `angle` in degrees, 0 pointing right, 90 pointing down. */
export function arrowHead(p: PagePoint, angle: number, size: number): string {
  const a = (angle * Math.PI) / 180;
  const at = (back: number, side: number): string => {
    const x = p.px - back * Math.cos(a) - side * Math.sin(a);
    const y = p.py - back * Math.sin(a) + side * Math.cos(a);
    return `${n(x)} ${n(y)}`;
  };
  return `M${at(0, 0)}L${at(size, size * 0.5)}L${at(size, -size * 0.5)}Z`;
}
