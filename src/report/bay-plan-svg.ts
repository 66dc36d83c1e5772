/** The plan drawing of one place as SVG for the page; colours are the page's own. */
import type { BayDrawing, BayShape, DrawInk, DrawPoint } from './bay-plan-drawing.ts';
import { escapeXml } from './picture/draw.ts';

/** Width of every drawing in its own units: about the pixels of a phone's column, so that lettering stays readable. */
const WIDE = 400;
const LETTER = 15;
const PAD = 4;

const INKS: Readonly<Record<DrawInk, string>> = {
  wall: 'var(--ink)',
  ground: 'var(--line)',
  vehicle: 'var(--bar)',
  glass: 'var(--card)',
  beam: 'var(--beam)',
  board: 'var(--target)',
  dim: 'var(--ink)',
  soft: 'var(--soft)',
};
/** Width of a bold letter over its height, on average and on the safe side. */
const WIDEST_LETTER = 0.62;
const OPACITY: Readonly<Partial<Record<DrawInk, number>>> = { ground: 0.55, beam: 0.55, glass: 0.85 };

/**
 * A drawing as an inline SVG.
 * @param extent the ends of the widest drawing: all share its scale.
 */
export function baySvg(
  drawing: BayDrawing,
  extent: { readonly from: number; readonly to: number },
  label: string,
): string {
  const scale = (WIDE - 2 * PAD) / (extent.to - extent.from);
  const above = (drawing.halfAcross + 380) * scale + LETTER * 1.1;
  const below = drawing.halfAcross * scale + LETTER * 1.6;
  const high = above + below;
  const to = ({ along, across }: DrawPoint): string =>
    `${n(PAD + (along - extent.from) * scale)} ${n(above + across * scale)}`;
  const body = drawing.shapes.map((s) => shape(s, to)).join('');
  return `<svg viewBox="0 0 ${WIDE} ${n(high)}" role="img" aria-label="${escapeXml(label)}" class="bay">${body}</svg>`;
}

function shape(s: BayShape, to: (p: DrawPoint) => string): string {
  const ink = INKS[s.ink];
  const see = OPACITY[s.ink] === undefined ? '' : ` opacity="${OPACITY[s.ink]}"`;
  if (s.kind === 'area') return `<path d="M${s.points.map(to).join('L')}Z" fill="${ink}"${see}/>`;
  if (s.kind === 'line')
    return `<path d="M${s.points.map(to).join('L')}" fill="none" stroke="${ink}" stroke-width="${n(s.weight * LETTER)}" stroke-linejoin="round"${s.dashed === true ? ' stroke-dasharray="5 4"' : ''}/>`;
  const [wanted, y] = to(s.at).split(' ').map(Number) as [number, number];
  // A label over a short distance may be wider than it: it moves inwards rather than lose its first figure.
  const half = s.anchor === 'middle' ? (s.text.length * LETTER * WIDEST_LETTER) / 2 : 0;
  const x = Math.min(WIDE - half, Math.max(half, wanted));
  return `<text x="${n(x)}" y="${n(y + s.lines * LETTER)}" text-anchor="${s.anchor}" fill="${ink}" font-size="${LETTER}"${s.bold === true ? ' font-weight="700"' : ''}>${escapeXml(s.text)}</text>`;
}

function n(value: number): string {
  return String(Math.round(value * 10) / 10);
}
