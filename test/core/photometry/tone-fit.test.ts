import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  fitTone,
  type PrintPair,
  type ToneFit,
  UNKNOWN_TONE,
} from '../../../src/core/photometry/tone-fit.ts';
import { toneShapes, toneTable } from '../../../src/core/photometry/tone-response.ts';
import { linearFromSrgb, srgbFromLinear } from '../../../src/core/photometry/transfer-curve.ts';

type Curve = (coded: number) => number;
const LIGHTS = [0.013, 0.031, 0.07, 0.15, 0.28, 0.44];
/** Designed ratio of print to paper, and what the printer made of it. */
const PRINTS = [
  [0.05 / 0.85, 0.75],
  [0.08 / 0.85, 0.88],
  [0.15 / 0.85, 1.06],
  [0.25 / 0.85, 1.1],
  [0.4 / 0.85, 1.03],
  [0.6 / 0.85, 0.97],
] as const;

/** Sheets in dim to bright light seen through a camera's curve and a lens that spills a little. */
function pairs(curve: Curve, lights: readonly number[] = LIGHTS, spill = 1): PrintPair[] {
  const seen = (light: number) => linearFromSrgb(curve(srgbFromLinear(light)));
  return lights.flatMap((light) => {
    const around = [0.1, 0.04 + 0.3 * light, 0.65 * light] as const;
    const added = spill * (0.003 * around[0] + 0.003 * around[1] + 0.004 * around[2]);
    return PRINTS.map(([reflectance, printed]) => ({
      white: seen(light + added),
      dark: seen(light * reflectance * printed + added),
      u: 0.015,
      reflectance,
      around,
    }));
  });
}

/** How light's log answers to the log of true light at a true light, less 1. */
function slopeError(fit: ToneFit, curve: Curve, light: number): number {
  const table = toneTable(65535, fit.params);
  const read = (l: number) => Math.log(table[Math.round(65535 * curve(srgbFromLinear(l)))]!);
  return (read(1.2 * light) - read(light / 1.2)) / (2 * Math.log(1.2)) - 1;
}
/** What moves an edge: how that slope differs from light to light (a power law has the same everywhere). */
function slopes(fit: ToneFit, curve: Curve): number[] {
  const all = [0.03, 0.06, 0.12, 0.24, 0.42].map((light) => slopeError(fit, curve, light));
  const mean = all.reduce((s, x) => s + x, 0) / all.length;
  return all.map((x) => x - mean);
}
const rms = (v: readonly number[]) => Math.sqrt(v.reduce((s, x) => s + x * x, 0) / v.length);
const bend = (fit: ToneFit, curve: Curve) => rms(slopes(fit, curve));
/** What one standard deviation of the fit's doubt would do to them. */
const bendU = (fit: ToneFit, curve: Curve) =>
  Math.hypot(
    ...fit.modes.map((m) => {
      const other = slopes({ params: fit.params.map((p, n) => p + m[n]!), modes: [] }, curve);
      return rms(slopes(fit, curve).map((x, i) => other[i]! - x));
    }),
  );

const plain: Curve = (y) => y;
const CURVES: readonly [string, Curve][] = [
  ['plain sRGB', plain],
  ['a power of 1.15', (y) => y ** 1.15],
  ['a sine S of 0.4', (y) => y - (0.4 * Math.sin(2 * Math.PI * y)) / (2 * Math.PI)],
  ['a cubic S of 0.3', (y) => y + 0.6 * y * (1 - y) * (2 * y - 1)],
  ['crushed shadows', (y) => y * (1 - 0.4 * (1 - y) ** 3)],
  ['raised shadows', (y) => y * (1 + 0.4 * (1 - y) ** 3)],
  ['compressed highlights', (y) => y + 0.4 * (1 - y) * y ** 3],
  [
    'a logistic of log light',
    (y) => (1.6634 * linearFromSrgb(y) ** 0.8) / (linearFromSrgb(y) ** 0.8 + 0.6634),
  ],
];

describe("a camera's response from printed tones", () => {
  test.each(CURVES)('%s: the bend left over is below 0.06 and within twice its own doubt', (_, curve) => {
    const fit = fitTone(pairs(curve));
    const left = bend(fit, curve);
    expect(left).toBeLessThan(0.06);
    expect(left).toBeLessThan(2 * bendU(fit, curve));
    // Known far better than before the marks were looked at.
    expect(bendU(fit, curve)).toBeLessThan(0.4 * bendU(UNKNOWN_TONE, curve));
  });

  test('strong curves: three quarters of the bend of a sine S of 0.4 and of a cubic one of 0.3 are undone', () => {
    for (const name of ['a sine S of 0.4', 'a cubic S of 0.3']) {
      const curve = CURVES.find((c) => c[0] === name)![1];
      expect(bend(fitTone(pairs(curve)), curve)).toBeLessThan(0.25 * bend(UNKNOWN_TONE, curve));
    }
  });

  test('a photo one stop brighter has the same response, within twice the doubt of both', () => {
    const curve = CURVES[2]![1];
    const dim = fitTone(pairs(curve, LIGHTS));
    const bright = fitTone(
      pairs(
        curve,
        LIGHTS.map((l) => 2 * l),
      ),
    );
    expect(bright.params).not.toEqual(dim.params);
    const apart = rms(slopes(dim, curve).map((x, i) => slopes(bright, curve)[i]! - x));
    expect(apart).toBeLessThan(2 * Math.hypot(bendU(dim, curve), bendU(bright, curve)));
  });

  test('spilt light five times the usual is not taken for a curve: the bend stays below 0.05', () => {
    expect(bend(fitTone(pairs(plain, LIGHTS, 5)), plain)).toBeLessThan(0.05);
  });

  test('two marks tell nothing; three dirty patches of 36 move the bend by less than 0.05', () => {
    const clean = pairs(plain);
    expect(fitTone(clean.slice(0, 2))).toBe(UNKNOWN_TONE);
    const dirty = clean.map((p, i) => (i % 13 === 4 ? { ...p, dark: 2 * p.dark } : p));
    expect(
      rms(slopes(fitTone(dirty), plain).map((x, i) => slopes(fitTone(clean), plain)[i]! - x)),
    ).toBeLessThan(0.05);
  });

  test('burnt-out paper and black that shows no level are left out', () => {
    const clean = pairs(plain);
    const extra = [
      { ...clean[0]!, white: 0.99 },
      { ...clean[0]!, dark: 0.0001 },
    ];
    expect(fitTone([...clean, ...extra])).toEqual(fitTone(clean));
  });

  test('marks in even light leave more doubt than marks in unlike light', () => {
    const even = fitTone(pairs(plain, [0.1, 0.104, 0.11, 0.106, 0.112, 0.109]));
    expect(bendU(even, plain)).toBeGreaterThan(1.3 * bendU(fitTone(pairs(plain)), plain));
  });
});

interface Reference {
  readonly at: readonly number[];
  readonly cases: readonly {
    readonly name: string;
    readonly pairs: readonly PrintPair[];
    readonly slopes: readonly number[];
    readonly u: readonly number[];
  }[];
}

describe('against scipy (test/reference/tone_fit.py: the same model written again, trust-region least squares)', () => {
  const reference = JSON.parse(
    readFileSync(new URL('../../reference/tone_fit.json', import.meta.url), 'utf8'),
  ) as Reference;
  // dη/dlog(c + 0.05), by differences over two knots of the table.
  const slopesAt = (c: number): number[] => {
    const h = 1 / 512;
    const [low, high] = [toneShapes(c - h), toneShapes(c + h)];
    return low.map((v, n) => (high[n]! - v) / Math.log((c + h + 0.05) / (c - h + 0.05)));
  };

  test.each(reference.cases.map((c) => [c.name, c] as const))(
    '%s: slopes agree to 0.002, their doubts to 3 %',
    (_, one) => {
      const fit = fitTone(one.pairs);
      reference.at.forEach((c, i) => {
        const shapes = slopesAt(c);
        const dot = (p: readonly number[]) => p.reduce((s, x, n) => s + x * shapes[n]!, 0);
        expect(Math.abs(dot(fit.params) - one.slopes[i]!)).toBeLessThan(0.002);
        expect(Math.abs(Math.hypot(...fit.modes.map(dot)) / one.u[i]! - 1)).toBeLessThan(0.03);
      });
    },
  );
});
