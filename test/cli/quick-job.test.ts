import { describe, expect, test } from 'vitest';
import { quickJob, quickOptions } from '../../src/cli/quick-job.ts';

const typed = {
  distance: '7.5 m',
  sheet: ['1@-600,-300', '2@620,-310', '3@40,-420'],
  function: 'passing',
  side: 'left',
  traffic: 'left',
  units: 'mm',
  words: 'gb',
} as const;

describe('photos without a job', () => {
  test('three frames, lamps off and a marks shot become one shot of one lamp', () => {
    const job = quickJob(
      quickOptions.parse({
        ...typed,
        photo: ['night/a.jpg', 'night/b.jpg', 'night/c.jpg'],
        lampsOff: 'night/off.jpg',
        marksShot: 'night/lights.jpg',
      }),
    );
    expect(job.shots).toHaveLength(1);
    expect(job.shots[0]).toMatchObject({
      photos: ['a.jpg', 'b.jpg', 'c.jpg'],
      lampsOff: 'off.jpg',
      marksShot: 'lights.jpg',
    });
  });

  test('photos in two folders are refused, and the one that lies elsewhere is named', () => {
    const o = quickOptions.parse({
      ...typed,
      photo: ['night/a.jpg', 'night/b.jpg'],
      lampsOff: 'day/off.jpg',
    });
    expect(() => quickJob(o)).toThrow(/day\/off\.jpg: put all photos of a lamp into one folder/);
  });
});
