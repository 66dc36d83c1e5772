import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../src/core/errors.ts';
import { dropPct, lengthMm, offsetPct, slopePct } from '../../src/job/quantity.ts';

describe('lengths as people type them', () => {
  test.each<[number | string, number]>([
    [650, 650],
    ['650', 650],
    ['65 cm', 650],
    ['65cm', 650],
    ['65,5 cm', 655],
    ['65.5cm', 655],
    ['0,65 m', 650],
    ['7.62m', 7620],
    ['7,62 m', 7620],
    ['7.620 m', 7620],
    ['25 ft', 7620],
    ["25'", 7620],
    ['25 feet', 7620],
    ['22 in', 558.8],
    ['22"', 558.8],
    ['1/2 in', 12.7],
    ['½"', 12.7],
    ['2 ft 3 1/2 in', 698.5],
    ['2 ft 3-1/2 in', 698.5],
    ['2\' 3"', 685.8],
    ['2’ 3”', 685.8],
    ['2′ 3½″', 698.5],
    ["2'3''", 685.8],
    ["2' 3", 685.8],
    ['2ft3in', 685.8],
    ['2 ft., 3 in.', 685.8],
    ['27 1/2 in', 698.5],
    ['27½ inches', 698.5],
    ['-20 mm', -20],
    ['−20 mm', -20],
    ['- 2 cm', -20],
    ['+3 mm', 3],
    ['1 m 20 cm', 1200],
    ['.5 m', 500],
    ['650\u00a0mm', 650],
    ['65 centimetres', 650],
    ['3 Meters', 3000],
  ])('%j is %d mm', (typed, mm) => {
    expect(lengthMm(typed, 'x')).toBeCloseTo(mm, 9);
  });

  test.each([
    '',
    '  ',
    'abc',
    '12 furlongs',
    '1,200 mm',
    '1.200,5 mm',
    '1/0 in',
    '3 in 2 ft',
    '2 ft 30 cm',
    '12 %',
    '5 m x',
    '1e3',
    '101 m',
    '12 mmm',
    '--5',
    'Infinity',
    '5 m 5 m',
  ])('%j is refused with the name of its field', (typed) => {
    expect(() => lengthMm(typed, 'bay.distance')).toThrow(InputError);
    expect(() => lengthMm(typed, 'bay.distance')).toThrow(/^bay\.distance: expected /);
  });

  test.each([Number.NaN, Number.POSITIVE_INFINITY, 1e9])('the number %d is refused', (n) => {
    expect(() => lengthMm(n, 'x')).toThrow(InputError);
  });

  test('a bare 26 is 26 mm in a job file and 660.4 mm where the person answers in inches', () => {
    expect(lengthMm('26', 'x')).toBe(26);
    expect(lengthMm('26', 'x', 'in')).toBeCloseTo(660.4, 9);
    expect(lengthMm(26, 'x', 'in')).toBeCloseTo(660.4, 9);
    expect(lengthMm('26 cm', 'x', 'in')).toBe(260);
  });

  test('what is written in any unit comes back within a hundredth of a millimetre', () => {
    const unit = fc.constantFrom(
      ['mm', 1],
      ['cm', 10],
      ['m', 1000],
      ['in', 25.4],
      ['ft', 304.8],
    ) as fc.Arbitrary<[string, number]>;
    fc.assert(
      fc.property(
        fc.integer({ min: -9_999_999, max: 9_999_999 }),
        unit,
        fc.boolean(),
        (hundredths, [u, per], comma) => {
          const mm = hundredths / 100;
          const text = (mm / per).toFixed(6).replace('.', comma ? ',' : '.');
          expect(Math.abs(lengthMm(`${text} ${u}`, 'x') - mm)).toBeLessThan(0.01);
        },
      ),
    );
  });

  test('feet, inches and sixteenths come back exactly', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 80 }),
        fc.integer({ min: 0, max: 11 }),
        fc.integer({ min: 1, max: 15 }),
        (ft, inch, sixteenths) => {
          const mm = ft * 304.8 + (inch + sixteenths / 16) * 25.4;
          expect(lengthMm(`${ft}' ${inch} ${sixteenths}/16"`, 'x')).toBeCloseTo(mm, 9);
        },
      ),
    );
  });

  test('any text at all gives a length or an InputError, nothing else', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 40 }), (text) => {
        try {
          expect(Number.isFinite(lengthMm(text, 'x'))).toBe(true);
        } catch (e) {
          expect(e).toBeInstanceOf(InputError);
        }
      }),
    );
  });
});

describe('aim figures as people type them', () => {
  test.each<[number | string, number]>([
    [1.3, 1.3],
    ['1.3', 1.3],
    ['1.3 %', 1.3],
    ['1,3%', 1.3],
    ['1.3 per cent', 1.3],
    ['13 mrad', 1.3],
    // W6: tan 0.57 deg = 0.99487 %.
    ['0.57 deg', 0.994867],
    ['0.57°', 0.994867],
    ['0,57 degrees', 0.994867],
    // 41 minutes is 0.68333 deg.
    ["41'", 1.192702],
    ['41’', 1.192702],
    ['41 min', 1.192702],
    ["0° 41'", 1.192702],
    ['12 cm at 10 m', 1.2],
    ['12cm @ 10m', 1.2],
    ['12 cm / 10 m', 1.2],
    ['13 mm per m', 1.3],
    // W7: 4 in at 25 ft = 1.33333 %.
    ['4 in at 25 ft', 1.333333],
    ['4" at 25\'', 1.333333],
    ['3 1/2 in at 25 ft', 1.166667],
    ['-0.2 %', -0.2],
    ['0.2 % up', -0.2],
    ['0.2% down', 0.2],
    ['2 in down at 25 ft', 0.666667],
    ['4 in up at 25 ft', -1.333333],
    ['0.4 deg D', 0.698143],
    ['0.4D', 0.4],
    ['20 mm below at 5 m', 0.4],
  ])('%j is a drop of %d %%', (typed, pct) => {
    expect(dropPct(typed, 'x')).toBeCloseTo(pct, 5);
  });

  test.each<[string, number]>([
    ['1 % left', -1],
    ['76 mm left at 5 m', -1.52],
    ['2 in right at 25 ft', 0.666667],
    ['-1.5', -1.5],
    ['2L', -2],
  ])('%j is an offset of %d %%', (typed, pct) => {
    expect(offsetPct(typed, 'x')).toBeCloseTo(pct, 5);
  });

  // Standards US-19: pairs printed at 7.62 m, equal to 7620 tan within 0.05 mm.
  test.each([
    [50.5, 0.38],
    [53.2, 0.4],
    [99.8, 0.75],
    [126.4, 0.95],
    [153.0, 1.15],
    [266.1, 2.0],
    [599.7, 4.5],
  ])('US-19: %d mm at 7.62 m is %d deg', (mm, deg) => {
    const asLength = dropPct(`${mm} mm at 7.62 m`, 'x');
    const asAngle = dropPct(`${deg} deg`, 'x');
    // The print rounds to 0.1 mm: 0.05 mm of 7620.
    expect(Math.abs(asLength - asAngle)).toBeLessThan((100 * 0.051) / 7620);
  });

  test.each([
    '',
    '1.3 left',
    '-1 % up',
    '12 at 10 m',
    '12 cm at 0 m',
    '12 cm at',
    'steep',
    '45 deg',
    '1 deg 75 min',
    '1,200 %',
    '1.2 kg',
  ])('%j is no drop', (typed) => {
    expect(() => dropPct(typed, 'lamps.0.handbook.drop')).toThrow(/^lamps\.0\.handbook\.drop: expected /);
  });

  test('a tolerance has no direction and is never negative', () => {
    expect(slopePct('0.2 %', 'x')).toBe(0.2);
    expect(() => slopePct('-0.2 %', 'x')).toThrow(InputError);
    expect(() => slopePct('0.2 % up', 'x')).toThrow(InputError);
  });

  test('per cent written as per cent, degrees, minutes or mm at a distance comes back to 0.001 %', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -8, max: 8, noNaN: true }),
        fc.double({ min: 2, max: 30, noNaN: true }),
        (pct, metres) => {
          const deg = (Math.atan(pct / 100) * 180) / Math.PI;
          const m = metres.toFixed(3);
          for (const text of [
            `${pct.toFixed(4)} %`,
            `${deg.toFixed(5)} deg`,
            `${(60 * deg).toFixed(3)} min`,
            `${((pct / 100) * Number(m) * 1000).toFixed(3)} mm at ${m} m`,
          ]) {
            expect(Math.abs(dropPct(text, 'x') - pct)).toBeLessThan(0.001);
          }
        },
      ),
    );
  });
});
