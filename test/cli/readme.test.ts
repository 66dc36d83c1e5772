import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { buildCli, dipcard, PROJECT } from './built.ts';
import { readmeLines, withLines } from './readme-lines.ts';

const readme = readFileSync(path.join(PROJECT, 'README.md'), 'utf8');

describe('README', () => {
  beforeAll(buildCli, 60_000);

  test('the lines it shows are those that the sample prints (else: npm run samples:readme)', async () => {
    const { out, err } = await dipcard(
      PROJECT,
      ...['read', 'samples/marigold/job.json', '--shot', 'left-dipped', 'right-dipped'],
    );
    expect(err).toBe('');
    expect(withLines(readme, readmeLines(out))).toBe(readme);
  });

  test('every command in it exists', async () => {
    const commands = new Set([...readme.matchAll(/^npx dipcard (\w+)/gm)].map((m) => m[1]!));
    expect(commands.size).toBeGreaterThan(5);
    const { out } = await dipcard(PROJECT, '--help');
    for (const name of commands) expect(out).toContain(`  ${name} `);
    const scripts = (
      JSON.parse(readFileSync(path.join(PROJECT, 'package.json'), 'utf8')) as { scripts: object }
    ).scripts;
    for (const m of readme.matchAll(/npm run (\w[\w:]*)/g)) expect(Object.keys(scripts)).toContain(m[1]);
  });

  test('every file it points to is there', () => {
    for (const m of readme.matchAll(/\]\((?!https?:)([^)#\s]+)\)/g))
      expect(existsSync(path.join(PROJECT, m[1]!)), m[1]).toBe(true);
  });

  test('the exit codes are those of the program', async () => {
    const { out } = await dipcard(PROJECT, '--help');
    for (const m of readme.matchAll(/^\| (\d) \| (.+) \|$/gm)) expect(out).toContain(`  ${m[1]}  ${m[2]}`);
  });
});
