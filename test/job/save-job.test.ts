import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { jobJsonSchema } from '../../src/job/job-json-schema.ts';
import { loadJob } from '../../src/job/load-job.ts';
import { saveJob } from '../../src/job/save-job.ts';
import { exampleJob } from './example-job.ts';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'dipcard-save-'));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

describe('saving a job', () => {
  test('what is saved loads again as it was', async () => {
    const path = join(folder, 'job.json');
    await saveJob(path, exampleJob());
    const job = await loadJob(path);
    expect(job.title).toBe('Example van');
    expect(JSON.parse(await readFile(path, 'utf8'))).toEqual(JSON.parse(JSON.stringify(exampleJob())));
    expect(await readdir(folder)).toEqual(['job.json']);
  });

  test('the file before stays as .bak, and no half-written file is left', async () => {
    const path = join(folder, 'job.json');
    await saveJob(path, { ...exampleJob(), title: 'first' });
    await saveJob(path, { ...exampleJob(), title: 'second' });
    expect((await loadJob(path)).title).toBe('second');
    expect((await loadJob(`${path}.bak`)).title).toBe('first');
    expect((await readdir(folder)).sort()).toEqual(['job.json', 'job.json.bak']);
  });

  test('a wrong job is not written, and the old file stays untouched', async () => {
    const path = join(folder, 'job.json');
    await writeFile(path, 'old', 'utf8');
    const wrong = { ...exampleJob(), shots: [{ id: 'a', lamp: 'none', photos: ['x.jpg'] }] };
    await expect(saveJob(path, wrong)).rejects.toThrow(/shots\.0\.lamp/);
    expect(await readFile(path, 'utf8')).toBe('old');
    expect(await readdir(folder)).toEqual(['job.json']);
  });

  test('twenty saves at once leave one whole file', async () => {
    const path = join(folder, 'job.json');
    await Promise.all(
      Array.from({ length: 20 }, (_, i) => saveJob(path, { ...exampleJob(), title: `number ${i}` })),
    );
    expect((await loadJob(path)).title).toMatch(/^number \d+$/);
    expect((await readdir(folder)).filter((f) => f.endsWith('.tmp'))).toEqual([]);
  });
});

describe('the published schema', () => {
  test('names version, lamps, methods and is plain JSON', () => {
    const schema = JSON.parse(JSON.stringify(jobJsonSchema())) as Record<string, unknown>;
    expect(schema['$schema']).toContain('2020-12');
    const text = JSON.stringify(schema);
    for (const word of [
      'nose-to-board',
      'level-datum',
      'litHeight',
      'checkDistance',
      'additionalProperties',
    ]) {
      expect(text).toContain(word);
    }
    expect((schema['required'] as string[]).sort()).toEqual(['bay', 'board', 'dipcard', 'title', 'vehicle']);
  });
});
