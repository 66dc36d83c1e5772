import type { UncertainInput } from '../../uncertainty/estimate.ts';

/** A number with its standard uncertainty, in the unit its name says. */
export interface Known {
  readonly value: number;
  readonly u: number;
}

/** Uncertain inputs by name, so that a function of them never counts places in an array. */
export interface InputTable<K extends string> {
  readonly inputs: readonly UncertainInput[];
  /** The numbers of one trial, by name; `x` in the order of `inputs`. */
  readonly named: (x: readonly number[]) => Readonly<Record<K, number>>;
}

/** Packs named inputs into the list that propagation wants, and unpacks it again. */
export function inputTable<K extends string>(table: Readonly<Record<K, UncertainInput>>): InputTable<K> {
  const names = Object.keys(table) as K[];
  return {
    inputs: names.map((name) => table[name]),
    named: (x) => {
      const out: Partial<Record<K, number>> = {};
      names.forEach((name, i) => {
        out[name] = x[i]!;
      });
      return out as Record<K, number>;
    },
  };
}
