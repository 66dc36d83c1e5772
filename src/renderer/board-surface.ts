import { Random } from './random.ts';
import type { BoardSpec } from './scene.ts';

/** How a board's albedo varies: `slow(X, Y)` and `grain(X, Y)` are shares to add to 1. Same seed, same board. */
export interface BoardSurface {
  readonly slow: (X: number, Y: number) => number;
  readonly grain: (X: number, Y: number) => number;
}

const TILE = 256;
/** One grain of card or paint, mm. */
const GRAIN_MM = 1.7;

export function boardSurface(spec: BoardSpec): BoardSurface {
  const random = new Random(spec.seed);
  const waves = Array.from({ length: 7 }, () => {
    const length = Math.exp(random.uniform(Math.log(250), Math.log(2500)));
    const turn = random.uniform(0, Math.PI);
    return {
      kx: (2 * Math.PI * Math.cos(turn)) / length,
      ky: (2 * Math.PI * Math.sin(turn)) / length,
      phase: random.uniform(0, 2 * Math.PI),
      size: length,
    };
  });
  // Long waves carry more than short ones; together they have standard deviation `unevenness`.
  const power = Math.sqrt(waves.reduce((sum, wave) => sum + wave.size, 0) / 2);
  const tile = Float32Array.from({ length: TILE * TILE }, () => random.normal() * spec.grain);
  return {
    slow: (X, Y) => {
      let sum = 0;
      for (const wave of waves)
        sum += Math.sqrt(wave.size) * Math.cos(wave.kx * X + wave.ky * Y + wave.phase);
      return (spec.unevenness * sum) / power;
    },
    grain: (X, Y) => {
      const x = X / GRAIN_MM + 65536;
      const y = Y / GRAIN_MM + 65536;
      const i = x | 0;
      const j = y | 0;
      const s = x - i;
      const t = y - j;
      const a = ((j & 255) << 8) | (i & 255);
      const b = ((j & 255) << 8) | ((i + 1) & 255);
      const c = (((j + 1) & 255) << 8) | (i & 255);
      const d = (((j + 1) & 255) << 8) | ((i + 1) & 255);
      return (1 - t) * ((1 - s) * tile[a]! + s * tile[b]!) + t * ((1 - s) * tile[c]! + s * tile[d]!);
    },
  };
}

/** Width of the mirror-like lobe (exponent) and its strength, by finish. Invented, near common paints. */
export const GLOSS: Readonly<
  Record<BoardSpec['finish'], { readonly strength: number; readonly exponent: number }>
> = {
  matt: { strength: 0, exponent: 1 },
  satin: { strength: 0.05, exponent: 40 },
  gloss: { strength: 0.04, exponent: 900 },
};
