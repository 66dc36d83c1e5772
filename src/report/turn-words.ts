/** The advice about screws as sentences, in the order they are done. */
import type { ScrewTurn, TurnsAdvice } from '../core/adjusters/lamp-mechanics.ts';
import { dropWithU, offsetWithU, turnsOf } from './format.ts';

/** What to do with the screws: numbered steps, what to expect, and remarks. */
export interface TurnWords {
  readonly steps: readonly string[];
  readonly expect: string | null;
  readonly notes: readonly string[];
}

/** Advice in words. `null` advice means that there was nothing to aim at. */
export function turnWords(advice: TurnsAdvice): TurnWords {
  switch (advice.kind) {
    case 'turn': {
      const { expected } = advice;
      return {
        steps: advice.steps.map(stepWords),
        // The advice carries standard uncertainties; a person is shown U = 2 u.
        expect: `Expect next: ${dropWithU(expected.dropPct, 2 * expected.uDropPct)}, ${offsetWithU(expected.offsetPct, 2 * expected.uOffsetPct)}.`,
        notes: advice.notes,
      };
    }
    case 'try':
      return {
        steps: [stepWords(advice.step)],
        expect: null,
        notes: advice.notes,
      };
    case 'tilt':
      return {
        steps: ['Slacken the fixing, tilt the lamp by hand to the line, tighten, and look again.'],
        expect: null,
        notes: advice.notes,
      };
    case 'leave':
      return { steps: [], expect: null, notes: [`Leave the screws alone. ${advice.why}`] };
    case 'refused':
      return { steps: [], expect: null, notes: [`No turns can be given. ${advice.detail}`] };
  }
}

function stepWords(step: ScrewTurn): string {
  const name = step.screw.charAt(0).toUpperCase() + step.screw.slice(1);
  const amount = turnsOf(step.eighths);
  const from = step.drivenFrom === 'rear' ? 'seen from behind the lamp' : 'seen from in front';
  if (step.direction === 'try') return `${name}: try ${amount} clockwise, ${from}.`;
  return `${name}: ${amount} ${step.direction}, ${from}.`;
}
