import { describe, expect, test } from 'vitest';
import { type FrameLight, frameToShow } from '../../src/job/frames.ts';

const frame = (path: string, peak: number, clippedShare: number): FrameLight => ({
  path,
  peak,
  clippedShare,
});

describe('which frame of a bracket is shown', () => {
  const bracket = [frame('0', 0.55, 0), frame('+1', 0.98, 0.01), frame('+2', 1, 0.09), frame('-1', 0.28, 0)];

  test('the longest that burns out the hot spot only (1 %), not the one that burns out 9 %', () => {
    expect(frameToShow(bracket).path).toBe('+1');
  });

  test('when all burn out, the one that burns out least', () => {
    const all = [frame('+2', 1, 0.2), frame('+1', 1, 0.08), frame('+3', 1, 0.5)];
    expect(frameToShow(all).path).toBe('+1');
  });

  test('of frames that burn out nothing, the brightest', () => {
    const dark = [frame('-1', 0.2, 0), frame('-3', 0.05, 0), frame('0', 0.41, 0)];
    expect(frameToShow(dark).path).toBe('0');
  });
});
