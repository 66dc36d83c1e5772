import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { makeScene, sceneTruth } from '../../src/renderer/index.ts';
import { type Lm63, readLm63, writeLm63 } from '../../src/renderer/lm63.ts';
import { lm63Beam, lm63Intensity } from '../../src/renderer/lm63-beam.ts';

const DEG = Math.PI / 180;
const text = readFileSync(new URL('fixtures/invented-lamp.ies', import.meta.url), 'utf8');

/** A small file: three vertical, four horizontal angles, all values different. */
const small = [
  'IESNA:LM-63-1995',
  '[TEST] one',
  '[MANUFAC] nobody',
  'TILT=NONE',
  '1 1000 2.5 3 4 3 2 0.1 0.2 0',
  '1.0 1.0 55',
  '-10 0 15',
  '-20, -5 5',
  '30',
  '1 2 3',
  '4 5 6',
  '7 8 9',
  '10 11 12',
].join('\r\n');

describe('reading LM-63', () => {
  test('candela lie at [vertical][horizontal], times multiplier 2.5: row +15, column -5 is 6 x 2.5', () => {
    const file = readLm63(small, 'small.ies');
    expect(file.version).toBe('IESNA:LM-63-1995');
    expect(file.type).toBe('A');
    expect(file.keywords).toEqual([
      { name: 'TEST', value: 'one' },
      { name: 'MANUFAC', value: 'nobody' },
    ]);
    expect(file.table.vDeg).toEqual([-10, 0, 15]);
    expect(file.table.uDeg).toEqual([-20, -5, 5, 30]);
    expect(file.table.values[2]?.[1]).toBe(15);
    expect(file.table.values[0]?.[3]).toBe(25);
  });

  test.each([
    {
      what: 'a strange first line',
      from: 'IESNA:LM-63-1995',
      to: 'LM63',
      says: "small.ies:1: expected a first line such as 'IESNA:LM-63-2002'",
    },
    { what: 'a tilt table', from: 'TILT=NONE', to: 'TILT=INCLUDE', says: 'small.ies:4: expected TILT=NONE' },
    {
      what: 'a word for a number',
      from: '4 5 6',
      to: '4 five 6',
      says: 'small.ies:11: expected candela value, a number, got "five"',
    },
    {
      what: 'falling angles',
      from: '-10 0 15',
      to: '-10 15 0',
      says: 'small.ies:7: expected vertical angles in rising order (after 15), got 0',
    },
    {
      what: 'a missing value',
      from: '10 11 12',
      to: '10 11',
      says: 'expected candela value, a number, got "the end of the file"',
    },
    {
      what: 'a value too many',
      from: '10 11 12',
      to: '10 11 12 13',
      says: 'small.ies:13: expected nothing after the last candela value, got "13"',
    },
    {
      what: 'a negative intensity',
      from: '7 8 9',
      to: '7 -8 9',
      says: 'small.ies:12: expected candela value: 0 or more, got -8',
    },
    {
      what: 'photometric type 4',
      from: '3 4 3 2',
      to: '3 4 4 2',
      says: 'small.ies:5: expected photometric type: 1 (C), 2 (B) or 3 (A), got 4',
    },
  ])('$what is refused with its line', ({ from, to, says }) => {
    expect(() => readLm63(small.replace(from, to), 'small.ies')).toThrow(says);
  });

  test('what is written reads back the same, number for number', () => {
    const file = readLm63(text, 'invented-lamp.ies');
    const again = readLm63(writeLm63(file.type, file.table, file.keywords), 'again.ies');
    expect(again.table).toEqual(file.table);
    expect(again.keywords).toEqual(file.keywords);
  });
});

describe('angles of the three types (ANSI/IESNA LM-63-02, section 3)', () => {
  /** The direction, in file angles, in which each type sees 12 deg right, 7 deg up of the level axis (as a vector). */
  const right = Math.tan(12 * DEG);
  const up = Math.tan(7 * DEG);
  const peakAt = (type: 'A' | 'B' | 'C', u: number, v: number): Lm63 => {
    const places = (middle: number): number[] => Array.from({ length: 41 }, (_, i) => middle - 20 + i);
    const uDeg = places(u);
    const vDeg = places(v);
    const values = vDeg.map((y) => uDeg.map((x) => 1000 * Math.exp(-((x - u) ** 2 + (y - v) ** 2) / 50)));
    return { version: 'IESNA:LM-63-2002', keywords: [], type, table: { uDeg, vDeg, values } };
  };

  test('A: planes with a common vertical axis, horizontal angles to the right', () => {
    const at = lm63Intensity(peakAt('A', 12, Math.atan(up * Math.cos(12 * DEG)) / DEG));
    expect(at(right, up)).toBeCloseTo(1000, 3);
    expect(at(-right, up)).toBeLessThan(10);
  });

  test('B: planes with a common horizontal axis', () => {
    const at = lm63Intensity(peakAt('B', Math.atan(right * Math.cos(7 * DEG)) / DEG, 7));
    expect(at(right, up)).toBeCloseTo(1000, 3);
    expect(at(right, -up)).toBeLessThan(500);
  });

  test('C, level: vertical angle from straight down, horizontal angles to the left', () => {
    const length = Math.hypot(1, right, up);
    const at = lm63Intensity(peakAt('C', 348, Math.acos(-up / length) / DEG));
    expect(at(right, up)).toBeCloseTo(1000, 3);
    expect(at(-right, up)).toBeLessThan(10);
  });

  test('a file with horizontal angles 0 to 90 of type A is taken as left-right symmetric', () => {
    const half = small.replace('-20, -5 5', '0 5 10');
    expect(readLm63(half, 'half.ies').table.uDeg).toEqual([-30, -10, -5, 0, 5, 10, 30]);
    expect(readLm63(half, 'half.ies').table.values[1]).toEqual([11, 8, 5, 2, 5, 8, 11].map((x) => 2.5 * x));
  });
});

describe('a lamp from a file as a beam', () => {
  const file = readLm63(text, 'invented-lamp.ies');

  test('its intensity at the file’s own angles is the file’s value, to 0.1 %', () => {
    const at = lm63Intensity(file);
    for (const [i, j] of [
      [18, 20],
      [25, 12],
      [9, 3],
    ] as const) {
      const u = Math.tan(file.table.uDeg[i]! * DEG);
      const v = Math.tan(file.table.vDeg[j]! * DEG) * Math.hypot(1, u);
      expect(at(u, v) / file.table.values[j]![i]!).toBeCloseTo(1, 3);
    }
  });

  test('aimed 1.3 down and 0.4 right its elbow is there, although the file has it 0.62 deg down, 0.25 right', () => {
    const beam = lm63Beam(file, { kind: 'rise', traffic: 'right' });
    const lamp = { ...makeScene().lamps[0]!, beam, aim: { dropPct: 1.3, offsetPct: 0.4, tiltDeg: 0 } };
    const { far } = sceneTruth(makeScene({ lamp }));
    expect(far.elbow?.dropPct).toBeCloseTo(1.3, 2);
    expect(far.elbow?.offsetPct).toBeCloseTo(0.4, 1);
    expect(far.dropPct).toBeCloseTo(1.3, 1);
    expect(far.sharpnessG).toBeGreaterThan(0.25);
    expect(far.hotSpot.offsetPct).toBeGreaterThan(1);
  });
});
