import prand, { type RandomGenerator } from 'pure-rand';

/**
 * A seeded source of random numbers. The same seed gives the same numbers on every machine: only integer
 * arithmetic and one multiplication stand between generator and result.
 */
export class Random {
  readonly #generator: RandomGenerator;

  /** @param seed any integer; only its low 32 bits count. */
  constructor(seed: number) {
    // Neighbouring seeds start with nearly the same state, and so with the same numbers: mix, then let it run in.
    let mixed = Math.imul((seed | 0) ^ ((seed | 0) >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    this.#generator = prand.xoroshiro128plus(mixed ^ (mixed >>> 16));
    for (let i = 0; i < 20; i++) this.#generator.unsafeNext();
  }

  /** 32 random bits as a signed integer. */
  bits(): number {
    return this.#generator.unsafeNext();
  }

  /** Uniform from `low` (included) to `high` (left out). */
  uniform(low = 0, high = 1): number {
    return low + ((high - low) * (this.bits() >>> 0)) / 4294967296;
  }

  /** Normal, by Box and Muller. */
  normal(mean = 0, sigma = 1): number {
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform()));
    return mean + sigma * radius * Math.cos(2 * Math.PI * this.uniform());
  }

  /** A whole number from 0 to n - 1. */
  below(n: number): number {
    return Math.min(n - 1, Math.floor(this.uniform(0, n)));
  }

  /** One item of a list that is not empty. */
  pick<T>(items: readonly T[]): T {
    return items[this.below(items.length)] as T;
  }

  /** A new generator for one purpose, so that adding draws elsewhere does not change this one's. */
  fork(purpose: number): Random {
    return new Random(Math.imul(this.bits(), 2654435761) ^ Math.imul(purpose + 1, 40503));
  }
}
