import type { LampMechanics, ScrewEffect, Support } from '../../../src/core/adjusters/lamp-mechanics.ts';

/** A screw support at (right, up) mm. */
export function screw(
  name: string,
  rightMm: number,
  upMm: number,
  pitchMm: number | null = 0.8,
  clockwise: ScrewEffect = 'forward',
): Extract<Support, { kind: 'screw' }> {
  return { kind: 'screw', name, rightMm, upMm, pitchMm, clockwise, drivenFrom: 'front' };
}

export function fixed(rightMm: number, upMm: number): Support {
  return { kind: 'fixed', rightMm, upMm };
}

export const PIVOT = fixed(0, 0);

export function held(...supports: readonly Support[]): LampMechanics {
  return { kind: 'supports', supports };
}
