import { cpSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { ANSWERS } from '../../src/cli/answers.ts';
import { resultSchema } from '../../src/report/data/result-schema.ts';
import { BUILT_PROGRAM, buildCli, dipcard, type Ran, scratch } from './built.ts';

const folder = scratch();
const job = path.join(folder, 'p', 'job.json');

beforeAll(async () => {
  await buildCli();
  // 1500 px across: a mark's shorter side still covers about 40 px.
  const drawn = await dipcard(
    folder,
    'practice',
    'p',
    '--width',
    '1500',
    '--drop',
    '2.1',
    '--offset',
    '-0.4',
  );
  if (drawn.code !== 0) throw new Error(drawn.err);
}, 60_000);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Exactly one line of complaint, and no trace of where in the program it arose. */
function oneLine(err: string): string {
  expect(err).not.toMatch(/\n\s+at |node:internal|\.[jt]s:\d+/);
  expect(err.trim().split('\n')).toHaveLength(1);
  return err.trim();
}

describe('help and mistakes', () => {
  test('a build leaves the program executable for everyone: npx starts it by its first line', () => {
    expect(statSync(BUILT_PROGRAM).mode & 0o111).toBe(0o111);
    expect(readFileSync(BUILT_PROGRAM, 'utf8').split('\n', 1)[0]).toBe('#!/usr/bin/env node');
  });

  test('without a command it explains itself and exits 0', async () => {
    const { code, out } = await dipcard(folder);
    expect(code).toBe(0);
    for (const name of [
      'new',
      'bay',
      'sheets',
      'plan',
      'read',
      'called',
      'practice',
      'check',
      'batch',
      'schemes',
      'demo',
    ])
      expect(out).toContain(`  ${name} `);
  });

  test('an unknown command is a mistake: exit 2', async () => {
    const { code, err } = await dipcard(folder, 'reed');
    expect(code).toBe(2);
    expect(err).toContain('reed');
  });

  test('a job that is not there: one line with its name, exit 2', async () => {
    const { code, err } = await dipcard(folder, 'read', 'nowhere/job.json');
    expect(code).toBe(2);
    expect(oneLine(err)).toBe('dipcard: nowhere/job.json: no such file or folder.');
  });

  test('a job with a wrong number says which field, what was expected and what is there', async () => {
    const file = path.join(folder, 'wrong.json');
    const text = JSON.parse(readFileSync(job, 'utf8')) as { bay: { distance: unknown } };
    writeFileSync(file, JSON.stringify({ ...text, bay: { ...text.bay, distance: 'five' } }));
    const { code, err } = await dipcard(folder, 'check', 'wrong.json');
    expect(code).toBe(2);
    expect(oneLine(err)).toMatch(/bay\.distance: expected .*five/);
  });

  test('with --json a mistake is an object too, and keeps to its schema', async () => {
    const { code, out } = await dipcard(folder, 'read', 'nowhere/job.json', '--json');
    expect(code).toBe(2);
    expect(ANSWERS.error.parse(JSON.parse(out)).error.exit).toBe(2);
  });

  test('a wrong flag value names the flag', async () => {
    const { code, err } = await dipcard(folder, 'sheets', '--numbers', 'two');
    expect(code).toBe(2);
    expect(oneLine(err)).toContain('--numbers: expected numbers such as 1,2,5-8, got "two"');
  });

  test('--debug shows where', async () => {
    const { err } = await dipcard(folder, '--debug', 'read', 'nowhere/job.json');
    expect(err).toMatch(/\n\s+at /);
  });
});

describe('reading', () => {
  let read: Ran;
  beforeAll(async () => {
    read = await dipcard(folder, 'read', job, '--json', '--out', 'r');
  });

  test('the practice photo, aimed 2.1 % down as built, is read within its own ± of the true figure', () => {
    const data = resultSchema.parse(JSON.parse(read.out));
    const shot = data.shots[0]!;
    if (shot.state !== 'read' || shot.drop_pct === null) throw new Error(read.out);
    const answer = z
      .object({ seen_on_board: z.object({ dropPct: z.number() }) })
      .parse(JSON.parse(readFileSync(path.join(folder, 'p', 'answer.json'), 'utf8')));
    const error = Math.abs(shot.drop_pct.value - answer.seen_on_board.dropPct);
    expect(error).toBeLessThan(shot.drop_pct.U);
    // All lengths are true to the millimetre here, only the light is in doubt: a tenth of a per cent is plenty.
    expect(error).toBeLessThan(0.1);
    expect([0, 1]).toContain(read.code);
    expect(read.code === 0).toBe(shot.verdicts.every((v) => v.kind === 'within' || v.kind === 'no-verdict'));
  });

  test('--out writes page, text, data, table and picture, whole and without leftovers', () => {
    const names = readdirSync(path.join(folder, 'r')).sort();
    expect(names).toEqual(['practice.jpg', 'readings.csv', 'report.html', 'report.txt', 'result.json']);
    const file = (name: string): Buffer => readFileSync(path.join(folder, 'r', name));
    expect(file('report.txt').toString('utf8')).toContain('No real lamp was');
    expect([...file('practice.jpg').subarray(0, 2)]).toEqual([0xff, 0xd8]);
    expect(file('report.html').toString('utf8')).toContain('data:image/jpeg;base64,');
    expect(JSON.parse(file('result.json').toString('utf8'))).toEqual(JSON.parse(read.out));
  });

  test('one photo with flags alone gives the drop of the job within 0.02 %', async () => {
    const viaJob = resultSchema.parse(JSON.parse(read.out));
    const { sheets } = (
      JSON.parse(readFileSync(job, 'utf8')) as {
        board: { sheets: { number: number; at: { X: number; Y: number } }[] };
      }
    ).board;
    const places = sheets.map((s) => `${s.number}@${s.at.X},${s.at.Y}`);
    const quick = await dipcard(
      folder,
      'read',
      '--photo',
      path.join('p', 'practice.jpg'),
      '--distance',
      '5 m',
      '--lit-height',
      '7 cm',
      '--height',
      '66 cm',
      '--json',
      '--sheet',
      ...places,
    );
    const data = resultSchema.parse(JSON.parse(quick.out));
    const [a, b] = [viaJob.shots[0]!, data.shots[0]!];
    if (a.state !== 'read' || b.state !== 'read') throw new Error(quick.out + quick.err);
    // The job also tells the lit width and the surface; what they are worth is far below a fiftieth of a per cent.
    expect(Math.abs(b.drop_pct!.value - a.drop_pct!.value)).toBeLessThan(0.02);
    expect(data.rendered).toBe(false);
  });

  test('a photo that is none: the shot is unread with a reason, exit 3', async () => {
    const dir = path.join(folder, 'broken');
    cpSync(path.join(folder, 'p'), dir, { recursive: true });
    writeFileSync(path.join(dir, 'practice.jpg'), 'not a photo');
    const { code, out } = await dipcard(folder, 'read', path.join(dir, 'job.json'));
    expect(code).toBe(3);
    expect(out).toContain('Not read');
    expect(out).toContain('Try this');
  });

  test('an unknown shot lists those that there are', async () => {
    const { code, err } = await dipcard(folder, 'read', job, '--shot', 'left');
    expect(code).toBe(2);
    expect(oneLine(err)).toContain('There are: practice.');
  });
});

describe('jobs', () => {
  test('new writes a job that check finds whole but for its photos', async () => {
    const made = await dipcard(
      folder,
      'new',
      'mine/job.json',
      ...['--kind', 'van', '--country', 'gb', '--lamps', 'dipped-pair'],
      ...['--height', '65 cm', '--distance', '5 m', '--lit', '170 mm', '--lens', 'arrow-left', '--json'],
    );
    expect(made.code, made.err).toBe(0);
    expect(ANSWERS.written.parse(JSON.parse(made.out)).written).toEqual(['mine/job.json']);
    const checked = await dipcard(folder, 'check', 'mine/job.json', '--json');
    const answer = ANSWERS.check.parse(JSON.parse(checked.out));
    expect(answer.lamps).toBe(2);
    expect(answer.missing_photos).toHaveLength(2);
    expect(checked.code).toBe(2);
  });

  test('new never overwrites a job silently', async () => {
    const flags = [
      '--kind',
      'car',
      '--country',
      'us',
      '--lamps',
      'dipped-single',
      '--height',
      '2 ft',
      '--distance',
      '25 ft',
    ];
    expect((await dipcard(folder, 'new', 'twice.json', ...flags)).code).toBe(0);
    const before = readFileSync(path.join(folder, 'twice.json'), 'utf8');
    const again = await dipcard(folder, 'new', 'twice.json', ...flags, '--title', 'other');
    expect(again.code).toBe(2);
    expect(oneLine(again.err)).toContain('--replace');
    expect(readFileSync(path.join(folder, 'twice.json'), 'utf8')).toBe(before);
  });

  test('new without a needed answer and nobody to ask says which flag is missing', async () => {
    const { code, err } = await dipcard(folder, 'new', 'x.json', '--kind', 'van');
    expect(code).toBe(2);
    expect(oneLine(err)).toContain('--country is missing');
  });

  test('plan draws the board of a job', async () => {
    const { code, err } = await dipcard(folder, 'plan', 'mine/job.json', '--out', 'plan.pdf');
    expect(code, err).toBe(0);
    expect(readFileSync(path.join(folder, 'plan.pdf')).subarray(0, 5).toString()).toBe('%PDF-');
  });
});

describe('the small commands', () => {
  test('sheets: a PDF, open data, and one SVG', async () => {
    expect((await dipcard(folder, 'sheets', '--numbers', '2,5-6', '--out', 's.pdf')).code).toBe(0);
    expect(readFileSync(path.join(folder, 's.pdf')).subarray(0, 5).toString()).toBe('%PDF-');
    const { out } = await dipcard(folder, 'sheets', '--format', 'json', '--numbers', '7');
    expect((JSON.parse(out) as { format: string }).format).toBe('dipcard-sheets');
    expect((await dipcard(folder, 'sheets', '--format', 'svg', '--numbers', '1-2')).code).toBe(2);
  });

  // 0.4 % at 5 m is 20 mm (standards W4: 1 % is 10 mm per metre).
  test('called: "0.4 % high" on a 5 m board is 20 mm down', async () => {
    const { code, out } = await dipcard(folder, 'called', '0.4 % high', '--distance', '5 m', '--json');
    const answer = ANSWERS.called.parse(JSON.parse(out));
    expect(code).toBe(0);
    expect(answer.change_pct).toBeCloseTo(0.4, 9);
    expect(answer.on_board_mm).toBeCloseTo(-20, 9);
    expect(answer.text).toContain('20 mm down');
  });

  // 4 in at 25 ft is 4/300 = 1.3333 % (standards W7).
  test('called: "4 in low at 25 ft" is 1.33 % up', async () => {
    const { out } = await dipcard(folder, 'called', '4', 'in', 'low', 'at', '25', 'ft', '--json');
    const answer = ANSWERS.called.parse(JSON.parse(out));
    expect(answer.change_pct).toBeCloseTo(-100 / 75, 9);
    expect(answer.text).toContain('1.33 % up');
  });

  test('called: a figure without a direction is refused with an example', async () => {
    const { code, err } = await dipcard(folder, 'called', '0.4 %');
    expect(code).toBe(2);
    expect(oneLine(err)).toContain('high, low, left or right is missing');
  });

  test('schemes: every row tells how far its figure was seen', async () => {
    const { out } = await dipcard(folder, 'schemes', '--json');
    const { schemes } = ANSWERS.schemes.parse(JSON.parse(out));
    expect(schemes.length).toBeGreaterThanOrEqual(10);
    for (const s of schemes)
      for (const r of s.rows) expect(['seen', 'seen-second-hand', 'memory', 'typed-in']).toContain(r.seen);
  });

  test('schema: job, result and every answer', async () => {
    const all = JSON.parse((await dipcard(folder, 'schema')).out) as Record<string, { $schema?: string }>;
    expect(Object.keys(all)).toEqual(['job', 'bay-file', 'result', ...Object.keys(ANSWERS)]);
    for (const schema of Object.values(all)) expect(schema.$schema).toContain('json-schema.org');
    expect((await dipcard(folder, 'schema', 'nothing')).code).toBe(2);
  });

  test('app says that it is not built yet, exit 0', async () => {
    const { code, out } = await dipcard(folder, 'app');
    expect(code).toBe(0);
    expect(out).toContain('not built yet');
  });
});

describe('batch', () => {
  test('reads two jobs in parallel, one line each; a second time neither is read again', async () => {
    cpSync(path.join(folder, 'p'), path.join(folder, 'q'), { recursive: true });
    const jobs = [job, path.join(folder, 'q', 'job.json'), path.join(folder, 'nowhere', 'job.json')];
    const lines = async (): Promise<z.output<typeof ANSWERS.batch>[]> => {
      const { code, out } = await dipcard(
        folder,
        'batch',
        ...jobs,
        '--out',
        'many',
        '--json',
        '--workers',
        '2',
      );
      expect(code).toBe(2);
      return out
        .trim()
        .split('\n')
        .map((l) => ANSWERS.batch.parse(JSON.parse(l)));
    };
    const states = (answers: Awaited<ReturnType<typeof lines>>): string[] =>
      answers.map((a) => a.state).sort();
    expect(states(await lines())).toEqual(['failed', 'read', 'read']);
    expect(states(await lines())).toEqual(['failed', 'unchanged', 'unchanged']);
    expect(readdirSync(path.join(folder, 'many')).sort()).toEqual(['p', 'q']);
  });

  test('two jobs that would write to one folder are refused before anything is read', async () => {
    const other = path.join(folder, 'deeper', 'p', 'job.json');
    const { code, err } = await dipcard(folder, 'batch', job, other);
    expect(code).toBe(2);
    expect(oneLine(err)).toContain('would both write to');
  });
});
