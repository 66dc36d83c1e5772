import { describe, expect, test } from 'vitest';
import { type FrameLight, frameForCutOff, frameForHotSpot } from '../../src/job/frames.ts';

const grid = {} as FrameLight['grid'];
const frame = (path: string, peak: number, clippedShare: number): FrameLight => ({
  roomLightOut: false,
  path,
  grid,
  peak,
  clippedShare,
});

describe('which frame of a bracket is read', () => {
  const bracket = [frame('0', 0.55, 0), frame('+1', 0.98, 0.01), frame('+2', 1, 0.09), frame('-1', 0.28, 0)];

  test('the cut-off: the longest that burns out the hot spot only (1 %), not the one that burns out 9 %', () => {
    expect(frameForCutOff(bracket).path).toBe('+1');
  });

  test('the hot spot: the brightest with nothing burnt out', () => {
    expect(frameForHotSpot(bracket).path).toBe('0');
  });

  test('when all burn out, the one that burns out least serves both', () => {
    const all = [frame('+2', 1, 0.2), frame('+1', 1, 0.08), frame('+3', 1, 0.5)];
    expect(frameForCutOff(all).path).toBe('+1');
    expect(frameForHotSpot(all).path).toBe('+1');
  });

  test('of frames that burn out nothing, the brightest serves both', () => {
    const dark = [frame('-1', 0.2, 0), frame('-3', 0.05, 0), frame('0', 0.41, 0)];
    expect(frameForCutOff(dark).path).toBe('0');
    expect(frameForHotSpot(dark).path).toBe('0');
  });
});
