import type { Job } from './job.ts';
import { lengthMm } from './quantity.ts';
import type { ParsedJobFile } from './schema.ts';

/** A job before its questions are asked. */
export type UncheckedJob = Omit<Job, 'oddities'>;

/** Whole mm, for questions only: measured figures are rounded in `report`. */
export function inMm(mm: number): string {
  return `${Math.round(mm)} mm`;
}

/** The value of a typed length that has passed the door already. */
export function typedMm(typed: ParsedJobFile['bay']['distance']): number {
  return lengthMm(typeof typed === 'object' ? typed.value : typed, 'length');
}
