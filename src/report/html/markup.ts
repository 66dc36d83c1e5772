import type { Verdict } from '../../core/rules/verdict.ts';
import { escapeXml } from '../picture/draw.ts';
import { holdFigures } from '../picture/lettering.ts';

/** Text for the page: escaped, with figures kept together. */
export function esc(text: string): string {
  return escapeXml(holdFigures(text));
}

/** `<tag>text</tag>`, or nothing for null. */
export function el(tag: string, text: string | null, attributes = ''): string {
  if (text === null) return '';
  return `<${tag}${attributes === '' ? '' : ` ${attributes}`}>${esc(text)}</${tag}>`;
}

/** A place in the page to jump to; job ids are lower-case letters, digits and dashes, others are made so. */
export function anchor(id: string): string {
  return `shot-${id.toLowerCase().replace(/[^a-z0-9-]+/g, '-')}`;
}

/** The verdict's sign: each has a form of its own, so that colour is never needed. */
export function verdictIcon(verdict: Verdict): string {
  const cut =
    'fill="none" stroke="var(--card)" stroke-width="3" stroke-linecap="round" stroke-linejoin="round"';
  const inner = {
    within: `<circle cx="12" cy="12" r="11" fill="currentColor"/><path d="M6.5 12.5l4 4 7-8.5" ${cut}/>`,
    over: `<path d="M12 2.2L22.4 21H1.6Z" fill="currentColor" stroke="currentColor" stroke-width="2" stroke-linejoin="round"/><path d="M12 9v5.5M12 18.2v.1" ${cut}/>`,
    'too-close': `<path d="M12 0.6L23.4 12 12 23.4 .6 12Z" fill="currentColor"/><path d="M9 9.3a3.1 3.1 0 1 1 4.2 2.9q-1.2.5-1.2 2M12 17.6v.1" ${cut} stroke-width="2.6"/>`,
    'no-verdict': `<rect x="2" y="2" width="20" height="20" rx="4" fill="currentColor"/><path d="M7.5 12h9" ${cut}/>`,
  }[verdict.kind];
  return `<svg viewBox="0 0 24 24" aria-hidden="true">${inner}</svg>`;
}
