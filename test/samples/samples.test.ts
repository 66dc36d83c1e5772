import { readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import ExifReader from 'exifreader';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import type { JobFile } from '../../src/job/schema.ts';
import { crossesJob, marigoldJob } from './job-files.ts';
import { TYPED } from './world.ts';

const SAMPLES = path.resolve(import.meta.dirname, '../../samples');
const MARIGOLD = path.join(SAMPLES, 'marigold');
const photos = readdirSync(MARIGOLD).filter((name) => name.endsWith('.jpg'));
const json = (name: string): unknown => JSON.parse(readFileSync(path.join(MARIGOLD, name), 'utf8'));

describe('the Marigold samples as files', () => {
  test('eight photographs of 12 MP in at most 25 MB, the first of them 4 to 5 MB for timing', async () => {
    expect(photos).toHaveLength(8);
    for (const photo of photos) {
      const { width, height, format } = await sharp(path.join(MARIGOLD, photo)).metadata();
      expect([photo, width, height, format]).toEqual([photo, 4000, 3000, 'jpeg']);
    }
    const all = readdirSync(SAMPLES, { recursive: true, withFileTypes: true }).filter((e) => e.isFile());
    const bytes = all.reduce((sum, e) => sum + statSync(path.join(e.parentPath, e.name)).size, 0);
    expect(bytes).toBeLessThan(25e6);
    const first = statSync(path.join(MARIGOLD, 'left-dipped.jpg')).size;
    expect(first).toBeGreaterThan(4e6);
    expect(first).toBeLessThan(5e6);
  });

  test('both jobs are what the maker writes, say that they are rendered, and name every photo', () => {
    const job = json('job.json') as JobFile;
    const crosses = json('crosses.job.json') as JobFile;
    expect(job).toEqual(marigoldJob());
    expect(crosses).toEqual(crossesJob(crosses.shots![0]!.taps!));
    expect([job.rendered, crosses.rendered]).toEqual([true, true]);
    const named = [job, crosses].flatMap((j) => j.shots!.flatMap((shot) => shot.photos));
    expect([...named].sort()).toEqual([...photos].sort());
  });

  test('no typed place is exactly the true one, none is off by more than 3.5 of its uncertainty of 2 mm', () => {
    const { world } = json('truth.json') as {
      world: { sheets: { number: number; X: number; Y: number }[] };
    };
    const off = world.sheets.map((sheet) => {
      const typed = TYPED.sheets.find((t) => t.number === sheet.number)!;
      return [Math.abs(sheet.X - typed.X), Math.abs(sheet.Y - typed.Y)];
    });
    expect(off).toHaveLength(4);
    for (const mm of off.flat()) {
      expect(mm).toBeGreaterThan(0);
      expect(mm).toBeLessThan(7);
    }
  });

  test('photographs carry exposure, lens and time as a phone writes them, but no maker and no model', () => {
    for (const photo of photos) {
      const tags = ExifReader.load(readFileSync(path.join(MARIGOLD, photo)));
      for (const tag of ['Make', 'Model', 'Software', 'LensMake', 'LensModel']) {
        expect([photo, tag, tags[tag]]).toEqual([photo, tag, undefined]);
      }
      for (const tag of [
        'ExposureTime',
        'FNumber',
        'ISOSpeedRatings',
        'FocalLengthIn35mmFilm',
        'DateTimeOriginal',
      ]) {
        expect([photo, tag, tags[tag] === undefined]).toEqual([photo, tag, false]);
      }
    }
  });
});
