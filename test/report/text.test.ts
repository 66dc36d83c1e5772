import { describe, expect, test } from 'vitest';
import { textReport } from '../../src/report/text.ts';
import { JOB, LEFT, RESULT } from './fixture.ts';

const report = textReport(JOB, RESULT);
/** The report without its line breaks, as a person reads it. */
const read = report.replace(/\s+/g, ' ');

describe('the terminal report', () => {
  test('no line is longer than 80 columns', () => {
    expect(Math.max(...report.split('\n').map((l) => [...l].length))).toBeLessThanOrEqual(80);
  });

  test('the left lamp: 0.62 ± 0.25 % down, 31 ± 12 mm below the centre mark, elbow 0.40 to the left', () => {
    expect(read).toContain('Drop 0.62 ± 0.25 % down');
    expect(read).toContain('The edge is 31 ± 12 mm below the centre mark.');
    expect(read).toContain('Elbow 0.40 ± 0.22 % to the left');
  });

  test('a figure is never parted from its unit at the end of a line', () => {
    expect(report).not.toMatch(/(±|\d)\n +(±|%|mm|cm|in\b|m\b|°)/);
  });

  test('turns come in order, each with its screw, amount, sense and side to look from', () => {
    expect(read).toContain('1. Top screw: 1 3/8 turns clockwise, seen from in front.');
    expect(read).toContain('2. Side screw: 3/8 of a turn anticlockwise, seen from behind the lamp.');
  });

  test('what is expected after the turns carries U = 2 u: 1.3 ± 0.4 % from u = 0.17', () => {
    // The fixture's spread is a standard uncertainty of 0.17 (design: every reading shows U, k = 2).
    expect(read).toContain('Expect next: 1.3 ± 0.4 % down, 0.14 ± 0.24 % to the left.');
  });

  test('the far interval holds both ends of the near-field shift and U', () => {
    // 0.62 + 0.12 - 0.245 and 0.62 + 0.94 + 0.245, rounded outwards.
    expect(read).toContain('From far between 0.4 and 1.9 % down');
  });

  test('a verdict from memory never reads as a pass', () => {
    expect(read).toContain(
      '[no?] UN Regulation 48: over the limit: too high (by the figure we hold, not checked).',
    );
    expect(read).toContain('[ok?] GB periodic inspection, cars: within the figure we hold, not checked.');
    expect(read).toContain('[OK ] GB periodic inspection, cars: within the limits.');
  });

  test('rendered material says so, in the first lines', () => {
    expect(report.split('\n').slice(0, 6).join(' ')).toContain('No real lamp was measured');
    expect(textReport({ ...JOB, rendered: false }, { ...RESULT, rendered: false })).not.toContain(
      'DEMONSTRATION',
    );
  });

  test('a photo that could not be read says why and what to try', () => {
    expect(read).toContain('Not read Only one mark was found');
    expect(read).toContain('Try this Step to the side');
  });

  test('cautions stand there, main beam in GB words, high beam in US words', () => {
    expect(read).toContain('Chock the downhill side');
    expect(read).toContain("Don't point main beam at a road");
    expect(textReport({ ...JOB, words: 'us' }, RESULT).replace(/\s+/g, ' ')).toContain(
      "Don't point high beam",
    );
    expect(read).toContain('it is no certificate');
  });

  test('the words of the laboratory stay out', () => {
    expect(report).not.toMatch(/apparent surface|inflection|isolux|residual|k = 2|standard uncertainty/i);
  });

  test('inches: the edge is 1.2 ± 0.5 in below, and 51 mm below is 2 in', () => {
    const inches = textReport({ ...JOB, units: 'in' }, RESULT).replace(/\s+/g, ' ');
    expect(inches).toContain('The edge is 1.2 ± 0.5 in below the centre mark.');
    expect(inches).toContain('Bring the edge to 2 in below the centre mark');
  });

  test('a title with terminal commands in it is made harmless', () => {
    const evil = 'van \u001b[2J\u0007';
    const text = textReport({ ...JOB, title: evil }, { ...RESULT, title: evil });
    expect([text.includes('\u001b'), text.includes('\u0007')]).toEqual([false, false]);
  });

  test('the mirrored reading changes left to right and nothing else in its elbow line', () => {
    const mirrored = {
      ...LEFT,
      offsetPct: { value: -LEFT.offsetPct!.value, parts: LEFT.offsetPct!.parts },
    };
    const text = textReport(JOB, { ...RESULT, shots: [mirrored], pairs: [] }).replace(/\s+/g, ' ');
    expect(text).toContain('Elbow 0.40 ± 0.22 % to the right');
    expect(text).toContain('Drop 0.62 ± 0.25 % down');
  });
});
