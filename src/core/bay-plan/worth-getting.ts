import { placeForecast } from './evaluate.ts';
import type { BayFacts, PlanU, Tool } from './facts.ts';
import type { OpenPlace } from './plan.ts';

/** A tool that the person has not got, and what it would change at one place. */
export interface WorthGetting {
  readonly tool: Tool;
  /** U with it, per cent, the worst lamp's. */
  readonly dropU: number;
  readonly offsetU: number;
  /** Lamps and schemes that a perfect lamp would be proven by, with it. */
  readonly within: number;
}

/** In the order of what they cost: the first that does the work is the one to get. */
const GETTABLE: readonly Tool[] = ['string', 'spirit-level', 'water-level', 'laser'];
/** A tool that takes less than a tenth of the doubt away is not worth the way to the shop. */
const WORTH = 0.9;

/** Tools not at hand that would prove more at a place, or take at least a tenth of its doubt away. */
export function worthGetting(facts: BayFacts, best: OpenPlace, u: PlanU): readonly WorthGetting[] {
  const { place, distanceMm } = best.forecast;
  const all = GETTABLE.filter((tool) => !facts.tools.includes(tool)).map((tool): WorthGetting => {
    const given = placeForecast({ ...facts, tools: [...facts.tools, tool] }, place, distanceMm, u);
    const proofs = given.lamps.flatMap((lamp) => lamp.proof.each);
    return {
      tool,
      dropU: Math.max(...given.lamps.map((lamp) => lamp.dropU)),
      offsetU: Math.max(...given.lamps.map((lamp) => lamp.offsetU)),
      within: proofs.filter((p) => p.outcome === 'within' || p.outcome === 'within-unchecked').length,
    };
  });
  const useful = all.filter(
    (w) => w.within > best.proof.within || w.dropU < WORTH * best.dropU || w.offsetU < WORTH * best.offsetU,
  );
  // Of several that do the same for the drop, only the cheapest.
  return useful.filter(
    (w, i) =>
      !useful
        .slice(0, i)
        .some((v) => v.within >= w.within && v.dropU <= 1.05 * w.dropU && v.offsetU <= 1.05 * w.offsetU),
  );
}
