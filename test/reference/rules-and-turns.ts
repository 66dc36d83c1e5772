import { readFileSync } from 'node:fs';
import path from 'node:path';

/** What rules_and_turns.py wrote. */
export interface RulesReference {
  readonly cdf: readonly { readonly z: number; readonly p: number }[];
  readonly conformance: readonly {
    readonly value: number;
    readonly u: number;
    readonly min: number;
    readonly max: number;
    readonly p: number;
  }[];
  readonly turns: readonly {
    readonly name: string;
    readonly supports: readonly (readonly ['fixed' | 'screw' | 'spring', number, number])[];
    readonly pitches: readonly number[];
    readonly J: readonly (readonly number[])[];
    readonly change: readonly [number, number];
    readonly turns: readonly number[];
  }[];
}

export const RULES_REFERENCE = JSON.parse(
  readFileSync(path.join(import.meta.dirname, 'rules-and-turns.json'), 'utf8'),
) as RulesReference;
