import { describe, expect, test } from 'vitest';
import {
  hazed,
  otherSided,
  outOfFocus,
  turned,
  upsideDown,
  withCopies,
} from '../../src/renderer/faulty-lamp.ts';
import { type Beam, buildBeam, DEFAULT_BEAM } from '../../src/renderer/index.ts';

const DEG = Math.PI / 180;
const GOOD = buildBeam(DEFAULT_BEAM);
const PLACES = [
  [1.3, -0.9],
  [-2.7, -0.4],
  [4.1, 1.2],
  [-0.6, 2.3],
] as const;

const at = (beam: Beam, u: number, v: number): number => beam.intensity(u * DEG, v * DEG);

/** Light within 20 deg aside and 12 deg up and down. */
function flux(beam: Beam): number {
  let sum = 0;
  for (let u = -20; u <= 20; u += 0.5) for (let v = -12; v <= 12; v += 0.25) sum += at(beam, u, v);
  return sum;
}

describe('faults do to a beam what they say', () => {
  test('turned by 4 deg and back by -4 deg is the beam as it was', () => {
    for (const [u, v] of PLACES)
      expect(at(turned(turned(GOOD, 4), -4), u, v) / at(GOOD, u, v)).toBeCloseTo(1, 9);
  });

  test('turned by 10 deg about an axis 0.573 deg up, the light of (2, 0.573) goes 10 deg up: (1.970, 0.920)', () => {
    // 2 cos 10 = 1.9696, 0.573 + 2 sin 10 = 0.9203.
    expect(at(turned(GOOD, 10), 1.9696, 0.9203) / at(GOOD, 2, 0.573)).toBeCloseTo(1, 2);
  });

  test('a mirror and a bulb upside down change one sign each', () => {
    for (const [u, v] of PLACES) {
      expect(at(otherSided(GOOD), u, v)).toBe(at(GOOD, -u, v));
      expect(at(upsideDown(GOOD), u, v)).toBe(at(GOOD, u, -v));
    }
    expect(otherSided(GOOD).cutOff!.riseSide).toBe('left');
  });

  test('copies, haze and blur keep the light within 4 %', () => {
    const whole = flux(GOOD);
    const copies = [{ rightDeg: 1.1, upDeg: 0.7, share: 0.4 }];
    for (const beam of [withCopies(GOOD, copies), hazed(GOOD, 0.3), outOfFocus(GOOD, 1.1)])
      expect(Math.abs(flux(beam) / whole - 1)).toBeLessThan(0.04);
  });

  test('haze takes 30 % from the peak at most, and lights the dark part at least fivefold', () => {
    const hazy = hazed(GOOD, 0.3);
    expect(at(hazy, 1.3, -0.9) / at(GOOD, 1.3, -0.9)).toBeGreaterThan(0.7);
    expect(at(hazy, -2.7, 1.5) / at(GOOD, -2.7, 1.5)).toBeGreaterThan(5);
  });

  test('shares above 1 are refused with where and what', () => {
    expect(() => withCopies(GOOD, [{ rightDeg: 1, upDeg: 0, share: 1.2 }])).toThrow(/copies/);
  });
});
