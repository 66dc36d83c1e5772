import { describe, expect, test } from 'vitest';
import * as faulty from '../../../src/renderer/faulty-lamp.ts';
import { beamOf, codesOf, readFar, textOf } from './signs-grid.ts';

/** Each fault beside its healthy twin: the same lamp, the same grain, the fault left out or small. */

const HEALTHY = readFar(beamOf());
const HOT_SPOT = { asideDeg: 1.4, belowDeg: 0.85, widthDeg: 2.7, heightDeg: 1.1 } as const;
/** The degrees that a text names, in order. */
const numbersIn = (text: string): number[] => [...text.matchAll(/\d+(\.\d+)?/g)].map((m) => Number(m[0]));

describe('healthy lamps say nothing', () => {
  test('rise, step with an error-function edge, flat edge of facets: no sign', () => {
    expect(codesOf(HEALTHY)).toEqual([]);
    expect(codesOf(readFar(beamOf({ kind: 'step', family: 'erf' })))).toEqual([]);
    expect(codesOf(readFar(beamOf({ kind: 'flat', family: 'facets' })))).toEqual([]);
  });
});

describe('tilt and twist', () => {
  test('turned by 3.4 deg: twisted, 3.4 deg right side up, the rise leaning along to 18.4; by 0.8 nothing', () => {
    const finding = readFar(faulty.turned(beamOf(), 3.4));
    expect(codesOf(finding)).toEqual(['twisted']);
    const [tilt, rise] = numbersIn(textOf(finding, 'twisted'));
    expect(tilt).toBeCloseTo(3.4, 0);
    // 15 deg by the rules (standards CUT-2), turned by 3.4.
    expect(Math.abs(rise! - 18.4)).toBeLessThan(0.8);
    expect(textOf(finding, 'twisted')).toContain('right side up');
    expect(codesOf(readFar(beamOf(), 0.8))).toEqual([]);
  });

  test('turned by -2 deg names board and vehicle first, by 3.4 deg the lamp first', () => {
    const little = textOf(readFar(faulty.turned(beamOf(), -2)), 'twisted');
    expect(little).toContain('left side up');
    expect(little.indexOf('vehicle leans')).toBeLessThan(little.indexOf('bowl or lens sits twisted'));
    const much = textOf(readFar(faulty.turned(beamOf(), 3.4)), 'twisted');
    expect(much.indexOf('turned in its seat')).toBeLessThan(much.indexOf('board or its level line'));
  });

  test('a flat edge sloping by 2.1 deg is tilted, not twisted: no rise can confirm it', () => {
    expect(codesOf(readFar(beamOf({ kind: 'flat' }), 2.1))).toEqual(['tilted']);
  });
});

describe('light above the edge', () => {
  test('half of the light scattered: haze, with its share and the phone lens first; a tenth is left unsaid', () => {
    const text = textOf(readFar(faulty.hazed(beamOf(), 0.5)), 'haze');
    expect(text).toMatch(/still \d+ % of the peak/);
    expect(text.indexOf("phone's lens")).toBeLessThan(text.indexOf('lens gone dull'));
    expect(codesOf(readFar(faulty.hazed(beamOf(), 0.1)))).toEqual([]);
  });

  test('one streak of 3.5 % of the peak above the edge is told as light above, not as a source unfit', () => {
    const streak = { rightDeg: -3, upDeg: 2.5, lengthDeg: 1, thickDeg: 0.4, share: 0.035 };
    const hole = { rightDeg: 0, downDeg: 1, radiusDeg: 1, depth: 0 };
    const finding = readFar(faulty.unfitSource(beamOf(), { copies: [], hole, streaks: [streak] }, 38000));
    expect(codesOf(finding)).toContain('light-above');
    expect(codesOf(finding)).not.toContain('unfit-source');
  });
});

describe('second edge', () => {
  test('a copy with 30 % of the light 1.8 deg up: both edges told 1.8 deg apart', () => {
    const finding = readFar(faulty.withCopies(beamOf(), [{ rightDeg: 0.2, upDeg: 1.8, share: 0.3 }]));
    expect(codesOf(finding)).toContain('double-edge');
    expect(Math.abs(numbersIn(textOf(finding, 'double-edge'))[0]! - 1.8)).toBeLessThan(0.35);
  });

  test('a copy with 1 % of the light, as facets make it, is no second edge', () => {
    const finding = readFar(faulty.withCopies(beamOf(), [{ rightDeg: 0.2, upDeg: 0.8, share: 0.01 }]));
    expect(codesOf(finding)).not.toContain('double-edge');
  });
});

describe('side and way up', () => {
  test('the mirrored lamp is on the wrong side, and on the right side where traffic keeps left', () => {
    expect(codesOf(readFar(faulty.otherSided(beamOf())))).toEqual(['wrong-side']);
    expect(codesOf(readFar(faulty.otherSided(beamOf()), 0, 'left'))).toEqual([]);
  });

  test('a bulb upside down: no cut-off, and the sign says that the beam is thrown up', () => {
    const finding = readFar(faulty.upsideDown(beamOf()));
    expect(finding.found).not.toBe('cut-off');
    expect(codesOf(finding)).toEqual(['upside-down']);
  });
});

describe('blur and unfit sources', () => {
  test('bulb out of focus by 1.2 deg: soft edge, below 0.13; by 0.3 deg nothing', () => {
    const text = textOf(readFar(faulty.outOfFocus(beamOf(), 1.2)), 'soft-edge');
    expect(numbersIn(text)[1]).toBeLessThan(0.13);
    expect(codesOf(readFar(faulty.outOfFocus(beamOf(), 0.3)))).toEqual([]);
  });

  test('a patchy source is told as "perhaps", with bulb marking and a licensed tester, never as a certainty', () => {
    const finding = readFar(
      faulty.unfitSource(
        beamOf(),
        {
          copies: [
            { rightDeg: -1.8, upDeg: -0.3, share: 0.27 },
            { rightDeg: 1.7, upDeg: 0.5, share: 0.27 },
          ],
          hole: { rightDeg: 0.4, downDeg: 1.2, radiusDeg: 0.9, depth: 0.7 },
          streaks: [
            { rightDeg: -3, upDeg: 2.5, lengthDeg: 1.5, thickDeg: 0.3, share: 0.07 },
            { rightDeg: 4, upDeg: 3.1, lengthDeg: 1.2, thickDeg: 0.35, share: 0.06 },
          ],
        },
        38000,
      ),
    );
    const text = textOf(finding, 'unfit-source');
    expect(text).toContain('perhaps');
    expect(text).toContain('can be unlawful');
    expect(text).toContain('licensed tester');
  });
});

describe('hot spot', () => {
  test('4.9 to 5.1 deg on the wrong side of the elbow is astray; 3 deg towards the rise belongs there', () => {
    const text = textOf(readFar(beamOf({ hotSpot: { ...HOT_SPOT, asideDeg: -5 } })), 'hot-spot-astray');
    expect(text).toContain('wrong side of the elbow');
    expect(Math.abs(numbersIn(text)[0]! - 5)).toBeLessThan(0.3);
    expect(codesOf(readFar(beamOf({ hotSpot: { ...HOT_SPOT, asideDeg: 3 } })))).toEqual([]);
  });

  test('4.4 deg below the edge is astray', () => {
    const beam = beamOf({
      hotSpot: { ...HOT_SPOT, belowDeg: 4.4 },
      spread: { share: 0.2, widthDeg: 9, foregroundDeg: 3.2 },
    });
    expect(textOf(readFar(beam), 'hot-spot-astray')).toContain('below the edge');
  });

  test('two spots 4.6 deg apart are counted; 1 deg apart they are one', () => {
    const narrow = beamOf({ kind: 'flat', hotSpot: { ...HOT_SPOT, asideDeg: 0, widthDeg: 1.3 } });
    const apart = readFar(faulty.withCopies(narrow, [{ rightDeg: 4.6, upDeg: -0.1, share: 0.42 }]));
    const text = textOf(apart, 'two-hot-spots');
    expect(numbersIn(text)[0]).toBe(2);
    expect(text).toContain('to its right');
    const near = readFar(faulty.withCopies(narrow, [{ rightDeg: 1, upDeg: -0.1, share: 0.42 }]));
    expect(codesOf(near)).toEqual([]);
  });
});
