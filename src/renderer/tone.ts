import type { ToneSpec } from './scene.ts';

/** sRGB encoding of a linear value from 0 to 1 (standards IMG-2). */
export function encodeSrgb(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

/**
 * What cameras lay over sRGB, each in its own form so that a reader can't be made for one of them; coded value y to
 * coded value, black and white kept:
 * 's-curve' a sine that steepens the middle, 'cubic-s' a cubic that does, 'toe' shadows crushed and highlights as they
 * were, 'shoulder' highlights compressed and shadows as they were, 'lifted' shadows raised. Invented, near common cameras.
 */
const OVER_SRGB: Readonly<
  Record<Exclude<ToneSpec['curve'], 'srgb' | 'film' | 'local'>, (y: number, strength: number) => number>
> = {
  's-curve': (y, strength) => y - (strength * Math.sin(2 * Math.PI * y)) / (2 * Math.PI),
  'cubic-s': (y, strength) => y + 2 * strength * y * (1 - y) * (2 * y - 1),
  toe: (y, strength) => y * (1 - strength * (1 - y) ** 3),
  shoulder: (y, strength) => y + strength * (1 - y) * y ** 3,
  lifted: (y, strength) => y * (1 + strength * (1 - y) ** 3),
};

/** A film's characteristic curve: a logistic of log light, white kept, 0.18 coded as sRGB codes it. */
function filmCurve(linear: number): number {
  const x = linear ** 0.8;
  return (1.6634 * x) / (x + 0.6634);
}

/**
 * The camera's curve: sRGB with a contrast on top, or a part `strength` of film in sRGB.
 * @returns coded value 0 to 1 of linear 0 to 1.
 */
export function toneCurve(tone: ToneSpec): (linear: number) => number {
  const { curve, strength } = tone;
  if (curve === 'srgb' || curve === 'local') return encodeSrgb;
  if (curve === 'film') return (linear) => (1 - strength) * encodeSrgb(linear) + strength * filmCurve(linear);
  const over = OVER_SRGB[curve];
  return (linear) => over(encodeSrgb(linear), strength);
}

/** The curve as a table: coded level of linear k/(size-1). */
export function toneTable(tone: ToneSpec, size: number): Uint8Array {
  const curve = toneCurve(tone);
  return Uint8Array.from({ length: size }, (_, k) => Math.round(255 * curve(k / (size - 1))));
}
