/** Why this place, what to do in what order, what a second distance adds, what a slip costs, and the cautions. */
import type { LampPair } from '../core/bay-plan/evaluate.ts';
import type { BayPlan, OpenPlace } from '../core/bay-plan/plan.ts';
import { type Slip, slipsAt } from '../core/bay-plan/slips.ts';
import { worthGetting } from '../core/bay-plan/worth-getting.ts';
import { budget, type CauseKind, causeKind, type Estimate } from '../core/uncertainty/estimate.ts';
import { causeWords } from '../core/uncertainty/words.ts';
import type { BayRequest } from './bay-plan-facts.ts';
import { levelWords, pct, placeName, toolWord } from './bay-plan-words.ts';
import { cautionsFor } from './cautions.ts';
import { acrossRoom, fixed, onTape } from './format.ts';

/** Far open by more than this either way: wider than most rules' whole band. */
const HOPELESS_PCT = 1.2;

/** Two sentences: why this place, and what it costs. */
export function whyWords(plan: BayPlan, request: BayRequest): string {
  const best = plan.recommended;
  if (best === null)
    return 'No place that was described can be used. Say more of the drive, or find a yard or car park.';
  const { forecast: f } = best;
  const near = best.kind === 'board-moved' ? worstPair(best)?.nearMm : undefined;
  const d = [f.distanceMm, ...(near === undefined ? [] : [near])]
    .map((mm) => acrossRoom(mm, request.units))
    .join(' and then ');
  const proves = best.proof.of > 0 && best.proof.within === best.proof.of;
  const anyProof = plan.places.some((p) => p.state === 'open' && p.proof.within > 0);
  const rooms = f.lamps.map((l) => l.proof.roomPct).filter((r) => r !== null);
  const room = rooms.length === 0 ? null : Math.min(...rooms);
  if (best.farDropU > HOPELESS_PCT && !proves)
    return `Nowhere described here is long enough to measure in: ${d} from lamp to board is the best there is, and it leaves what an inspection's instrument would see open by ${pct(best.farDropU)} either way. Use it to learn which screw does what, and find a place with ${acrossRoom(7500, request.units)} from lamp to board or more.`;
  const first = proves
    ? `${d} from lamp to board ${near === undefined ? 'is far enough' : '(both boards read together; a forecast) should be enough'} to prove a well aimed lamp by every rule chosen${room === null ? '' : `, with ${pct(room)} to spare either way for the screws`}.`
    : best.proof.of === 0
      ? `${d} from lamp to board gives the least doubt for the trouble: ${pct(best.dropU)} on the board, and what stands far away to ${pct(best.farDropU)}.`
      : anyProof
        ? `${d} from lamp to board proves more than any other place here, but not everything.`
        : `No place here proves anything of what an inspection's instrument sees; ${d} leaves it open by ${pct(best.farDropU)} either way for the least trouble, and gives a line of tape to bring the edge to.`;
  return `${first} ${secondSentence(best, request)}`;
}

function secondSentence(best: OpenPlace, request: BayRequest): string {
  const { stand } = best.forecast;
  const slope = Math.abs(stand.pitchPct) >= 0.5;
  const method = levelWords(best.forecast.level).name;
  if (best.kind.startsWith('yard'))
    return `It costs a drive, if the vehicle may be on the road, and a dark hour; on the board the drop would be good to ${pct(best.dropU)} by "${method}".`;
  if (slope)
    return `It costs a level line, because the wheels stand on a slope of ${pct(Math.abs(stand.pitchPct))}: by "${method}" the drop is good to ${pct(best.dropU)} on the board.`;
  return `On the board the drop would be good to ${pct(best.dropU)} by "${method}"${request.facts.engineNeeded ? ', and the exhaust is outdoors' : ''}.`;
}

/** What a second, nearer board would add, in one sentence; null when there is nothing to say. */
export function secondWords(place: OpenPlace, request: BayRequest): string | null {
  const pair = worstPair(place);
  if (pair === null || pair.halfOnePct === 0) return null;
  const at = acrossRoom(pair.nearMm, request.units);
  const barred = place.forecast.lamps.some((lamp) => !lamp.farProvable);
  const range =
    pair.halfBothPct > HARDLY * pair.halfOnePct
      ? `what the lamp's size leaves open of far stays near ${pct(pair.halfOnePct)} either way, because heights by "${levelWords(pair.level).name}" are not sure enough to tell the small difference; the photos themselves may tell more`
      : `what the lamp's size leaves open of far shrinks from ${pct(pair.halfOnePct)} to at most ${pct(pair.halfBothPct)} either way (by "${levelWords(pair.level).name}"; a forecast)`;
  const moved =
    pair.halfVehicleMovedPct > pair.halfBothPct * 1.02
      ? ` Move the board, not the vehicle: moved, the vehicle would leave ${pct(pair.halfVehicleMovedPct)}.`
      : '';
  return barred
    ? `Photos from ${at} as well, read together with the first, let what an instrument sees be judged from here, which one board can't: ${range}.${moved}`
    : `Photos from ${at} as well, read together with the first: ${range}.${moved}`;
}

/** A range that keeps more than this share of itself has hardly shrunk. */
const HARDLY = 0.9;

/** The pair of the lamp that a second board serves least. */
export function worstPair(place: OpenPlace): LampPair | null {
  return place.forecast.pairs.reduce<LampPair | null>(
    (a, b) => (b !== null && (a === null || b.halfBothPct > a.halfBothPct) ? b : a),
    null,
  );
}

/** One line of a budget: causes of one kind taken together, per cent (k = 1). */
export interface BudgetLine {
  readonly what: string;
  readonly uPct: number;
  readonly share: number;
}

/** An estimate's causes by kind, the biggest first, those under 1 % of the variance left out. */
export function budgetLines(e: Estimate): readonly BudgetLine[] {
  const kinds = new Map<CauseKind, { u2: number; share: number }>();
  for (const { cause, u, share } of budget(e)) {
    const kind = causeKind(cause);
    const so = kinds.get(kind) ?? { u2: 0, share: 0 };
    kinds.set(kind, { u2: so.u2 + u * u, share: so.share + share });
  }
  return [...kinds]
    .map(([kind, { u2, share }]) => ({ what: budgetWords(kind), uPct: Math.sqrt(u2), share }))
    .filter((line) => line.share >= 0.01)
    .sort((a, b) => b.uPct - a.uPct);
}

function budgetWords(kind: CauseKind): string {
  if (kind === 'shape-model') return 'reading the edge in the photo';
  if (kind === 'floor') return 'the floor, or the heights under the tyres';
  return causeWords(kind).what;
}

/** What one slip would cost at this place, the dearest first. */
export function slipLines(
  plan: BayPlan,
  place: OpenPlace,
  request: BayRequest,
): readonly { readonly cost: string; readonly what: string }[] {
  const { distanceMm, lamps } = place.forecast;
  const slips = slipsAt({
    distanceMm,
    wheelbaseMm: plan.facts.vehicle.wheelbase.value,
    dropPct: lamps[0]!.dropPct.value,
  });
  return slips
    .toSorted((a, b) => b.costPct - a.costPct)
    .map((s) => ({ cost: pct(s.costPct), what: slipWords(s, request) }));
}

function slipWords(slip: Slip, { units }: BayRequest): string {
  const size = onTape(slip.size, units);
  switch (slip.what) {
    case 'lamp-centre':
      return `a lamp's centre ${size} wrong`;
    case 'low-rear':
      return `the rear ${size} low (load, tyre, no rider)`;
    case 'floor':
      return `a floor out by ${fixed(slip.size, 0)} mm per m that nobody measured`;
    case 'level':
      return 'a spirit level out by 1 mm per m';
    case 'distance':
      return `lamp to board ${size} wrong`;
    case 'two-tapes':
      return `straight ahead by two tapes good to ${size} each, ${onTape(slip.overMm, units)} apart (sideways)`;
  }
}

/** What the person has not got and would gain by, a sentence each. */
export function gettingLines(plan: BayPlan, place: OpenPlace): readonly string[] {
  if (place.kind === 'board-moved') return [];
  return worthGetting(plan.facts, place, plan.u).map((w) => {
    const gains = [
      w.dropU < place.dropU * 0.97 ? `the drop good to ${pct(w.dropU)} instead of ${pct(place.dropU)}` : null,
      w.offsetU < place.offsetU * 0.97 ? `sideways ${pct(w.offsetU)} instead of ${pct(place.offsetU)}` : null,
      w.within > place.proof.within ? `a perfect lamp proven ${w.within} of ${place.proof.of} times` : null,
    ].filter((g) => g !== null);
    return `Worth getting: ${toolWord(w.tool)}. It makes ${gains.join(', ')}.`;
  });
}

/** The usual cautions, with those of this place first. */
export function bayCautions(plan: BayPlan, request: BayRequest): readonly string[] {
  const kind = plan.recommended?.kind;
  const own = [
    ...(kind?.startsWith('yard')
      ? [
          'Elsewhere: ask the owner, stand clear of traffic, and keep the beams off road and windows. A vehicle that may not be on the road goes on a trailer.',
        ]
      : []),
    ...(kind === 'nose-out' || kind === 'shining-in' || kind === 'house-wall'
      ? [
          'Outdoors: stand clear of the road and footway, and see that nobody can walk into board or strings in the dark.',
        ]
      : []),
    ...(request.facts.engineNeeded
      ? []
      : ['Lamps on the battery alone: switch off between photos, and keep an eye on it.']),
  ];
  return [...own, ...cautionsFor({ words: request.words, motorcycle: request.motorcycle, adjusting: false })];
}

/** "Recommended: …" as a heading. */
export function recommendedName(plan: BayPlan, request: BayRequest): string {
  return plan.recommended === null ? 'No place can be used' : placeName(plan.recommended, request);
}
