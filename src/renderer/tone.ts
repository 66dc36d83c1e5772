import type { ToneSpec } from './scene.ts';

/** sRGB encoding of a linear value from 0 to 1 (standards IMG-2). */
export function encodeSrgb(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

/**
 * The camera's curve: sRGB, and for an S-curve its contrast on top: y - strength sin(2 pi y)/(2 pi), which leaves
 * black, middle and white where they are and makes the middle steeper by `strength`.
 * @returns coded value 0 to 1 of linear 0 to 1.
 */
export function toneCurve(tone: ToneSpec): (linear: number) => number {
  if (tone.curve !== 's-curve') return encodeSrgb;
  return (linear) => {
    const y = encodeSrgb(linear);
    return y - (tone.strength * Math.sin(2 * Math.PI * y)) / (2 * Math.PI);
  };
}

/** The curve as a table: coded level of linear k/(size-1). */
export function toneTable(tone: ToneSpec, size: number): Uint8Array {
  const curve = toneCurve(tone);
  return Uint8Array.from({ length: size }, (_, k) => Math.round(255 * curve(k / (size - 1))));
}
