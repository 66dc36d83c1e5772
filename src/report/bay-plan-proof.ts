/** What each scheme would say, at one place, of a lamp that is aimed perfectly. */
import type { OpenPlace } from '../core/bay-plan/plan.ts';
import type { Provable } from '../core/bay-plan/provable.ts';
import type { BayRequest } from './bay-plan-facts.ts';
import { pct, TOO_WIDE } from './bay-plan-words.ts';

const SIGN: Readonly<Record<Provable['outcome'], string>> = {
  within: '[OK ]',
  'within-unchecked': '[ok?]',
  'too-close': '[???]',
  'too-wide': '[---]',
  'not-from-here': '[---]',
  'no-figure': '[---]',
};

/** One line per scheme, the worst lamp's; "[OK ] title: what a perfectly aimed lamp would get". */
export function proofLines(place: OpenPlace, request: BayRequest): readonly string[] {
  const schemes = [...new Map(request.facts.lamps.flatMap((l) => l.schemes).map((s) => [s.id, s])).values()];
  if (schemes.length === 0)
    return ['[---] No rules were chosen, so nothing can be proven. Choose some: --country gb, or --scheme.'];
  return schemes.map((scheme) => {
    const each = place.forecast.lamps.flatMap((l) => l.proof.each.filter((p) => p.scheme === scheme.id));
    const worst = each.reduce((a, b) => (ORDER.indexOf(b.outcome) > ORDER.indexOf(a.outcome) ? b : a));
    return `${SIGN[worst.outcome]} ${scheme.title}: ${proofWords(worst, roomOf(place))}`;
  });
}

const ORDER: readonly Provable['outcome'][] = [
  'no-figure',
  'within',
  'within-unchecked',
  'too-close',
  'too-wide',
  'not-from-here',
];

function roomOf(place: OpenPlace): number | null {
  const rooms = place.forecast.lamps.map((l) => l.proof.roomPct).filter((r) => r !== null);
  return rooms.length === 0 ? null : Math.min(...rooms);
}

/** What a perfectly aimed lamp would be told, as it stands after the scheme's name. */
export function proofWords(p: Provable, roomPct: number | null): string {
  const room = roomPct === null ? '' : `, and it may stray by ${pct(roomPct)} either way`;
  switch (p.outcome) {
    case 'within':
      return `a perfectly aimed lamp would come out within${room}.`;
    case 'within-unchecked':
      return `a perfectly aimed lamp would come out within the figure we hold, not checked${room}.`;
    case 'too-close':
      return `even a perfectly aimed lamp would come out too close to call. ${p.why ?? ''}`.trim();
    case 'too-wide':
      return TOO_WIDE;
    case 'not-from-here':
    case 'no-figure':
      return p.why ?? 'no verdict.';
  }
}
