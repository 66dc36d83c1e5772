import { describe, expect, test } from 'vitest';
import { resultCsv } from '../../src/report/data/csv.ts';
import { resultData } from '../../src/report/data/result-data.ts';
import { resultJsonSchema, resultSchema } from '../../src/report/data/result-schema.ts';
import { JOB, LEFT, RESULT } from './fixture.ts';

const data = resultData(JOB, RESULT);

describe('the result as data', () => {
  test('it keeps to its own published schema, also after a trip through JSON', () => {
    expect(resultSchema.parse(JSON.parse(JSON.stringify(data)))).toEqual(data);
  });

  test('the left drop is 0.62 with U = 2·sqrt(0.011² + 0.1² + 0.06² + 0.02² + 0.03²) = 0.2457', () => {
    // JCGM 100:2008, 5.1.2: u is the root of the sum of squares over causes.
    const left = data.shots[0]!;
    expect(left.state).toBe('read');
    if (left.state !== 'read') return;
    expect(left.drop_pct?.value).toBe(0.62);
    expect(left.drop_pct?.U).toBeCloseTo(
      2 * Math.sqrt(0.011 ** 2 + 0.1 ** 2 + 0.06 ** 2 + 0.02 ** 2 + 0.03 ** 2),
      12,
    );
    expect(left.drop_pct?.budget[0]).toEqual({ cause: 'floor', part: 0.1 });
    expect(left.far_drop_pct).toEqual({ min: 0.74, max: 1.56, likely: null });
    expect(left.turns?.expected?.U_drop_pct).toBeCloseTo(0.34, 12);
  });

  test('"over" at probability 0.97 is within with 0.03', () => {
    const left = data.shots[0]!;
    if (left.state !== 'read') throw new Error('not read');
    expect(left.verdicts[1]?.probability_within).toBeCloseTo(0.03, 12);
    expect(left.verdicts[1]?.how).toBe('too-high');
  });

  test('the schema is closed: a stray field is refused', () => {
    expect(resultSchema.safeParse({ ...data, extra: 1 }).success).toBe(false);
    expect(JSON.stringify(resultJsonSchema())).toContain('"additionalProperties":false');
  });
});

/** A reader of RFC 4180 written apart from the writer. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!;
    if (quoted) {
      if (c === '"' && text[i + 1] === '"') {
        cell += '"';
        i++;
      } else if (c === '"') quoted = false;
      else cell += c;
    } else if (c === '"') quoted = true;
    else if (c === ',') {
      rows.at(-1)!.push(cell);
      cell = '';
    } else if (c === '\r' && text[i + 1] === '\n') {
      rows.at(-1)!.push(cell);
      cell = '';
      rows.push([]);
      i++;
    } else cell += c;
  }
  rows.pop();
  return rows;
}

describe('the table for spreadsheets', () => {
  test('one heading and one line per shot, all equally long', () => {
    const rows = readCsv(resultCsv(data));
    expect(rows).toHaveLength(1 + RESULT.shots.length);
    expect(new Set(rows.map((r) => r.length)).size).toBe(1);
    expect(rows[1]![rows[0]!.indexOf('drop_pct')]).toBe('0.62');
    expect(rows[4]![rows[0]!.indexOf('state')]).toBe('unread');
  });

  test('quotes, commas and line breaks survive; a formula does not', () => {
    const nasty = { ...LEFT, warnings: ['=1+1,"x"\r\ny'] };
    const rows = readCsv(resultCsv(resultData(JOB, { ...RESULT, shots: [nasty] })));
    expect(rows[1]!.at(-1)).toBe('\'=1+1,"x"\r\ny');
  });
});
