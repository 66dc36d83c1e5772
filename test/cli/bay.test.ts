import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { ANSWERS } from '../../src/cli/answers.ts';
import { run } from '../../src/cli/run.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'dipcard-bay-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function bay(...args: readonly string[]) {
  const said = { out: '', err: '' };
  const code = await run(['bay', ...args], {
    out: (t) => {
      said.out += t;
    },
    err: (t) => {
      said.err += t;
    },
    interactive: false,
    progress: false,
  });
  return { code, ...said };
}

const FLAGS = ['--garage', '5.5 m x 2.6 m', '--drive', '6 m', '--drive-slope', '6 % down', '--lit', '170 mm'];
const file = path.join(folder, 'bay.json');

describe('dipcard bay', () => {
  test('flags alone give the plan and exit 0', async () => {
    const { code, out } = await bay('--vehicle', '3.9 m', ...FLAGS, '--country', 'gb');
    expect(code).toBe(0);
    expect(out).toContain('On the drive, shining into the garage');
  });

  test('a file gives the same plan as the flags, and a flag wins over the file', async () => {
    writeFileSync(
      file,
      JSON.stringify({
        dipcardBay: 1,
        garage: { length: '5.5 m', width: '2.6 m' },
        drive: { length: '6 m', slope: '6 % down' },
        vehicle: { length: '3.9 m' },
        lamps: { litHeight: '170 mm', litWidth: '170 mm' },
        country: 'gb',
        elsewhere: false,
      }),
    );
    const flags = await bay('--vehicle', '3.9 m', ...FLAGS, '--country', 'gb', '--no-elsewhere');
    expect((await bay(file)).out).toBe(flags.out);
    const longer = JSON.parse((await bay(file, '--drive', '8 m', '--json')).out);
    expect(longer.places.find((p: { id: string }) => p.id === 'shining-in').lamp_to_board_mm).toBeCloseTo(
      9650,
      6,
    );
  });

  test('--json keeps to its published schema', async () => {
    const { out } = await bay('--vehicle', '3.9 m x 1.6 m', ...FLAGS, '--country', 'us', '--json');
    expect(ANSWERS.bay.safeParse(JSON.parse(out)).error).toBeUndefined();
  });

  test('page and PDF are written, and never over a file that is there without --replace', async () => {
    const html = path.join(folder, 'bay.html');
    const pdf = path.join(folder, 'bay.pdf');
    const args = ['--vehicle', '3.9 m', ...FLAGS, '--html', html, '--pdf', pdf];
    expect((await bay(...args)).code).toBe(0);
    expect(readFileSync(html, 'utf8')).toMatch(/^<!doctype html>/);
    expect(readFileSync(pdf).subarray(0, 5).toString()).toBe('%PDF-');
    const again = await bay(...args);
    expect(again.code).toBe(2);
    expect(again.err).toMatch(/there is already a file of that name/);
  });

  test.each<readonly [readonly string[], RegExp]>([
    [FLAGS, /--vehicle is missing: how long is it/],
    [['--vehicle', 'long'], /vehicle\.length: expected a length such as/],
    [['--vehicle', '3.9 m', '--tools', 'tape, crystal'], /--tools: there is none called "crystal"/],
    [['--vehicle', '3.9 m', '--garage', '5 m x 2 m x 2 m'], /--garage: expected a length, or two/],
    [['--vehicle', '3.9 m', '--drive-slope', '4 %'], /drive\.length/],
    [['--vehicle', '3.9 m', '--scheme', 'nowhere'], /schemes\.0: expected one of/],
  ])('%j is a mistake told in one line, exit 2', async (args, said) => {
    const { code, err } = await bay(...args);
    expect(code).toBe(2);
    expect(err.trim().split('\n')[0]).toMatch(said);
  });

  test('a file that is no bay says so with its name', async () => {
    const bad = path.join(folder, 'bad.json');
    writeFileSync(bad, '{ "dipcardBay": 1, "vehicle": { "length": 3900, "wheels": 4 } }');
    expect((await bay(bad)).err).toMatch(/bad\.json: vehicle: .*wheels/);
    writeFileSync(bad, '[1]');
    expect((await bay(bad)).err).toMatch(/bad\.json: expected an object/);
    writeFileSync(bad, '{ "dipcardBay": ');
    expect((await bay(bad)).err).toMatch(/bad\.json: /);
  });
});
