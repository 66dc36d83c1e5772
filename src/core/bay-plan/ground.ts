import type { BayFacts } from './facts.ts';

/**
 * Height of the ground over the end wall's foot, mm, for a place on the line from the end wall to the road.
 * @param alongMm from the end wall (without a garage: from the house wall), mm.
 */
export function groundUp({ garage, drive }: Pick<BayFacts, 'garage' | 'drive'>, alongMm: number): number {
  const door = garage?.lengthMm ?? 0;
  const inside = Math.min(alongMm, door) * (garage?.slopePct ?? 0);
  const outside = Math.max(0, alongMm - door) * (drive?.slopePct ?? garage?.slopePct ?? 0);
  return -(inside + outside) / 100;
}
