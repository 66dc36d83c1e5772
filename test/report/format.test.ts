import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as format from '../../src/report/format.ts';

const finite = (min: number, max: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true, noDefaultInfinity: true });

describe('a value and its uncertainty', () => {
  test.each([
    { value: 1.2437, U: 0.1249, shown: '1.24 ± 0.12' },
    { value: 1.2437, U: 0.381, shown: '1.2 ± 0.4' },
    { value: 1.2437, U: 0.0832, shown: '1.24 ± 0.08' },
    // 0.33 to one digit would be 0.3, 9 % less than it is: it goes up.
    { value: 0.618, U: 0.33, shown: '0.6 ± 0.4' },
    { value: 0.618, U: 0.31, shown: '0.6 ± 0.3' },
    { value: 2.0049, U: 0.2961, shown: '2.0 ± 0.3' },
    { value: -0.0449, U: 0.0951, shown: '-0.04 ± 0.10' },
    { value: 1234.5, U: 31, shown: '1230 ± 30' },
    { value: 17.2, U: 1.46, shown: '17.2 ± 1.5' },
    { value: 0.5, U: 0, shown: '0.50 ± 0.00' },
  ])('$value ± $U is shown as $shown', ({ value, U, shown }) => {
    const r = format.roundWithU(value, U);
    expect(`${r.value} ± ${r.U}`).toBe(shown);
  });

  test('value and U end at the same place, for any size of both', () => {
    fc.assert(
      fc.property(finite(-500, 500), finite(1e-4, 300), (value, U) => {
        const r = format.roundWithU(value, U);
        const places = (t: string): number => t.split('.')[1]?.length ?? 0;
        expect(places(r.value)).toBe(places(r.U));
      }),
    );
  });

  test('the shown U is never below 95 % of U nor above 134 %, with at most two significant digits', () => {
    fc.assert(
      fc.property(finite(-50, 50), finite(1e-3, 300), (value, U) => {
        const r = format.roundWithU(value, U);
        const ratio = Number(r.U) / U;
        expect(ratio).toBeGreaterThanOrEqual(0.95 - 1e-9);
        // The widest step is from just under 0.32 to 0.4.
        expect(ratio).toBeLessThanOrEqual(1.34);
        expect(r.U.replace('.', '').replace(/^0+/, '').replace(/0+$/, '').length).toBeLessThanOrEqual(2);
      }),
    );
  });

  test('rounding moves the value by at most half a step of its last digit', () => {
    fc.assert(
      fc.property(finite(-500, 500), finite(1e-3, 30), (value, U) => {
        const r = format.roundWithU(value, U);
        const step = 10 ** -r.places * (r.places === 0 && Number(r.U) >= 30 ? 10 : 1);
        expect(Math.abs(r.number - value)).toBeLessThanOrEqual(step / 2 + 1e-9);
      }),
    );
  });

  test('"-0" is never shown', () => {
    fc.assert(
      fc.property(finite(-0.4, 0.4), fc.integer({ min: 0, max: 3 }), (value, places) => {
        expect(format.fixed(value, places)).not.toMatch(/^-0(\.0*)?$/);
      }),
    );
  });
});

describe('signs are words', () => {
  test('a drop of +1.24 is down, of -0.2 up, and no minus is printed', () => {
    expect(format.dropWithU(1.2437, 0.12)).toBe('1.24 ± 0.12 % down');
    expect(format.dropWithU(-0.2031, 0.11)).toBe('0.20 ± 0.11 % up');
    expect(format.dropWithU(0.02, 0.4)).toBe("0.0 ± 0.4 %, level with the lamp's centre");
    expect(format.drop(-0.2)).toBe('0.20 % up');
  });

  test('an offset of -0.3 is to the left, of +0.55 to the right', () => {
    expect(format.offsetWithU(-0.31, 0.2)).toBe('0.31 ± 0.20 % to the left');
    expect(format.offsetWithU(0.55, 0.4)).toBe('0.6 ± 0.4 % to the right');
    expect(format.offset(0.001, 1)).toBe('0.0 % (straight ahead)');
  });

  test('no sentence with a figure holds a minus sign, for any value', () => {
    fc.assert(
      fc.property(finite(-9, 9), finite(0.001, 3), (value, U) => {
        for (const text of [
          format.dropWithU(value, U),
          format.offsetWithU(value, U),
          format.tiltWithU(value, U),
          format.drop(value),
          format.offset(value),
          format.dropDegrees(value),
          format.fromCentreMark(value * 20, 'mm'),
          format.besideCentreMark(value * 20, 'in'),
          format.moveUpDown(value * 20, 'cm'),
          format.onTapeWithU(value * 20, U * 20, 'in'),
        ])
          expect(text).not.toMatch(/[-\u2212]\s*\d/);
      }),
    );
  });

  test('mirroring left and right swaps only the words', () => {
    fc.assert(
      fc.property(finite(0.06, 9), finite(0.001, 0.05), (value, U) => {
        const swap = (t: string): string =>
          t.replace('left', '#').replace('right', 'left').replace('#', 'right');
        expect(swap(format.offsetWithU(value, U))).toBe(format.offsetWithU(-value, U));
      }),
    );
  });
});

describe('intervals', () => {
  test('0.62 to 1.56 is "between 0.6 and 1.6 % down": ends are rounded outwards', () => {
    expect(format.dropInterval(0.62, 1.56)).toBe('between 0.6 and 1.6 % down');
    expect(format.dropInterval(-0.12, 0.43)).toBe('between 0.2 % up and 0.5 % down');
    expect(format.dropInterval(-0.52, -0.11)).toBe('between 0.1 and 0.6 % up');
    expect(format.dropInterval(1, 1)).toBe('1.0 % down');
  });

  test('the shown interval holds the true one', () => {
    fc.assert(
      fc.property(finite(0, 4), finite(0, 4), (a, width) => {
        const m = /between ([\d.]+) and ([\d.]+)/.exec(format.dropInterval(a, a + width + 0.11));
        expect(Number(m?.[1])).toBeLessThanOrEqual(a + 1e-6);
        expect(Number(m?.[2])).toBeGreaterThanOrEqual(a + width + 0.11 - 1e-6);
      }),
    );
  });
});

describe('lengths as a tape shows them', () => {
  // Exact: 1 in = 25.4 mm, 1 ft = 304.8 mm.
  test.each([
    { mm: 65.08, units: 'in', text: '2 9/16 in' },
    { mm: -101.6, units: 'in', text: '4 in' },
    { mm: 9.525, units: 'in', text: '3/8 in' },
    { mm: 0.4, units: 'in', text: '0 in' },
    { mm: 64.6, units: 'mm', text: '65 mm' },
    { mm: 64.6, units: 'cm', text: '6.5 cm' },
  ] as const)('$mm mm in $units is "$text"', ({ mm, units, text }) => {
    expect(format.onTape(mm, units)).toBe(text);
  });

  test('the nearest sixteenth is never more than 1/32 in away', () => {
    fc.assert(
      fc.property(finite(0, 900), (mm) => {
        const m = /^(?:(\d+) ?)?(?:(\d+)\/(\d+))? in$/.exec(format.onTape(mm, 'in'));
        const inches = Number(m?.[1] ?? 0) + Number(m?.[2] ?? 0) / Number(m?.[3] ?? 1);
        expect(Math.abs(inches * 25.4 - mm)).toBeLessThanOrEqual(25.4 / 32 + 1e-9);
      }),
    );
  });

  test('7620 mm is 25 ft, 4877 mm is 16 ft, 5000 mm is 5.00 m or 16 ft 5 in', () => {
    expect(format.acrossRoom(7620, 'in')).toBe('25 ft');
    expect(format.acrossRoom(4877, 'in')).toBe('16 ft');
    expect(format.acrossRoom(5000, 'in')).toBe('16 ft 5 in');
    expect(format.acrossRoom(5000, 'cm')).toBe('5.00 m');
  });

  test('a line 65 mm below is below, a move of +5 is up, nought is level', () => {
    expect(format.fromCentreMark(-65.2, 'mm')).toBe('65 mm below the centre mark');
    expect(format.fromCentreMark(11.6, 'mm')).toBe('12 mm above the centre mark');
    expect(format.fromCentreMark(0.3, 'mm')).toBe('level with the centre mark');
    expect(format.moveUpDown(5.2, 'mm')).toBe('5 mm up');
    expect(format.moveUpDown(-34, 'cm')).toBe('3.4 cm down');
    expect(format.besideCentreMark(-7, 'mm')).toBe('7 mm left of the centre mark');
  });

  test('U on the tape is never finer than 1 mm', () => {
    expect(format.onTapeWithU(-31.26, 0.2, 'mm')).toBe('31 ± 1 mm');
    expect(format.onTapeWithU(-31.26, 12.4, 'mm')).toBe('31 ± 12 mm');
    expect(format.onTapeWithU(62, 14, 'cm')).toBe('6.2 ± 1.4 cm');
  });
});

// standards W7: 4 in at 25 ft (300 in) is 1.33333 %, 0.763898 deg.
test('1.33333 % is 0.76° down, and 4 in at 25 ft on an inch tape', () => {
  expect(format.dropAlso(100 / 75, 'in')).toBe('0.76° down, 4 in at 25 ft');
  expect(format.dropAlso(-100 / 75, 'mm')).toBe('0.76° up');
});

describe('turns and likelihoods', () => {
  test.each([
    [1, '1/8 of a turn'],
    [4, 'half a turn'],
    [6, '3/4 of a turn'],
    [8, '1 turn'],
    [11, '1 3/8 turns'],
    [16, '2 turns'],
  ])('%i eighths are "%s"', (eighths, text) => {
    expect(format.turnsOf(eighths)).toBe(text);
  });

  test('a likelihood is never 0 or 100 %', () => {
    fc.assert(
      fc.property(finite(0, 1), (p) => {
        const text = format.likelihood(p);
        expect(text).not.toMatch(/(?<!\d)(0|100) %/);
      }),
    );
    expect(format.likelihood(0.842)).toBe('about 85 %');
    expect(format.likelihood(0.996)).toBe('more than 99 %');
    expect(format.likelihood(0.034)).toBe('about 3 %');
  });
});
