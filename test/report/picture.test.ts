import { describe, expect, test } from 'vitest';
import { loadLettering } from '../../src/cli/lettering.ts';
import { boardBand, limitsOnBoard } from '../../src/report/limits.ts';
import { composePicture, pictureSvg } from '../../src/report/picture/compose.ts';
import { escapeXml, letters } from '../../src/report/picture/draw.ts';
import { markPlaceOf, onPane, photoOfTangent } from '../../src/report/picture/frame.ts';
import { holdFigures, wrap } from '../../src/report/picture/lettering.ts';
import { INSPECTION, JOB, LEFT, MAIN, PHOTO, R48, RIGHT, UNREAD } from './fixture.ts';

const lettering = await loadLettering();

describe('limits as places on the tape', () => {
  test('0.5 to 2.75 % at 4.9 m with a near-field shift of 0.12 to 0.94 leaves 0.38 to 1.81 % on the board', () => {
    // far = board + shift: the highest place uses the smallest shift, the lowest place the largest (design 4).
    const band = boardBand(INSPECTION.rows[0]!, LEFT);
    expect(band?.minPct).toBeCloseTo(0.38, 9);
    expect(band?.maxPct).toBeCloseTo(1.81, 9);
  });

  test('a band narrower than the shift leaves no place: 1 to 1.5 % becomes 0.88 to 0.56 %', () => {
    const band = boardBand(R48.rows[0]!, LEFT);
    expect(band!.minPct!).toBeGreaterThan(band!.maxPct!);
  });

  test('a figure for a board 7.62 m away is not drawn on one 4.9 m away', () => {
    const row = { ...INSPECTION.rows[0]!, place: { kind: 'board', distanceMm: 7620 } as const };
    expect(boardBand(row, LEFT)).toBeNull();
    expect(boardBand({ ...row, place: { kind: 'board', distanceMm: 4950 } }, LEFT)).toEqual({
      minPct: 0.5,
      maxPct: 2.75,
    });
  });

  test('on a board square to the beam 1 % at 4.9 m is 49 mm below the centre mark', () => {
    const square = { ...LEFT.view, outOfPlumbDeg: 0, yawDeg: 0, rollDeg: 0 };
    const place = markPlaceOf(square, 1, -2);
    expect(place.aboveMm).toBeCloseTo(-49, 6);
    expect(place.rightMm).toBeCloseTo(-98, 6);
  });

  test('the two schemes get letters A and B in their order', () => {
    expect(limitsOnBoard(JOB, LEFT).map((l) => [l.letter, l.title])).toEqual([
      ['A', 'GB periodic inspection, cars'],
      ['B', 'UN Regulation 48'],
    ]);
  });
});

describe('the annotated picture', () => {
  test.each([
    ['a dipped beam', LEFT, 2],
    ['another dipped beam', RIGHT, 2],
    ['a main beam', MAIN, 2],
    ['an unread photo', UNREAD, 1],
  ] as const)('%s: %#, every number in it is finite and it parses as XML', async (_, shot, panes) => {
    const picture = composePicture(lettering, JOB, shot, PHOTO);
    expect(picture.panes).toHaveLength(panes);
    const svg = pictureSvg(picture);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    const { default: sharp } = await import('sharp');
    const { info } = await sharp(Buffer.from(svg)).png().toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([picture.width, picture.height]);
  });

  test('it holds no text element, so a machine without fonts shows the same', () => {
    expect(pictureSvg(composePicture(lettering, JOB, LEFT, PHOTO))).not.toContain('<text');
  });

  test('the detail shows the reading column, the edge there, and the target line', () => {
    const pane = composePicture(lettering, JOB, LEFT, PHOTO).panes[1]!;
    const edge = onPane(pane, photoOfTangent(LEFT, { u: 0.0397, v: -0.0062 }));
    expect(edge.px).toBeGreaterThan(pane.x);
    expect(edge.px).toBeLessThan(pane.x + pane.width);
    expect(edge.py).toBeGreaterThan(pane.y);
    expect(edge.py).toBeLessThan(pane.y + pane.height);
  });

  test('a pane maps its own corners: photo px (left - 0.5, top - 0.5) is the upper left', () => {
    const pane = {
      source: { left: 310, top: 42, width: 800, height: 500 },
      x: 0,
      y: 90,
      width: 1600,
      height: 1000,
    };
    expect(onPane(pane, { x: 309.5, y: 41.5 })).toEqual({ px: 0, py: 90 });
    expect(onPane(pane, { x: 1109.5, y: 541.5 })).toEqual({ px: 1600, py: 1090 });
  });

  test('ids differ between shots, since one page holds several pictures', () => {
    const ids = [LEFT, RIGHT, MAIN].flatMap((s) =>
      [...pictureSvg(composePicture(lettering, JOB, s, PHOTO)).matchAll(/ id="([^"]+)"/g)].map((m) => m[1]),
    );
    expect(new Set(ids).size).toBe(ids.length);
  });

  test('the legend can be left out, and then the picture is shorter', () => {
    const whole = composePicture(lettering, JOB, LEFT, PHOTO);
    const bare = composePicture(lettering, JOB, LEFT, PHOTO, { legend: false });
    expect(bare.height).toBeLessThan(whole.height - 300);
  });

  test('rendered material is marked on the picture itself', () => {
    const real = composePicture(lettering, { ...JOB, rendered: false }, LEFT, PHOTO);
    const drawn = composePicture(lettering, JOB, LEFT, PHOTO);
    const words = letters(
      lettering,
      'DEMONSTRATION: drawn by a program, no real lamp',
      { px: 800, py: 43 },
      { size: 38, anchor: 'middle', fill: '#f6f1e4' },
    );
    expect(drawn.overlay).toContain(words);
    expect(real.overlay).not.toContain(words);
  });
});

describe('lettering', () => {
  test('twice the size is twice as wide, and ± is drawn', () => {
    const one = lettering.width('0.62 ± 0.25 %', 30, 'bold');
    expect(lettering.width('0.62 ± 0.25 %', 60, 'bold')).toBeCloseTo(2 * one, 6);
    expect(lettering.path('±', 0, 0, 40, 'bold').length).toBeGreaterThan(20);
  });

  test('lines are broken at spaces only, and never inside "9 mm" or "0.62 ± 0.25 %"', () => {
    const text = 'Bring the edge to 51 mm below the mark, 0.62 ± 0.25 % down';
    for (const width of [200, 300, 400, 900]) {
      const lines = wrap(lettering, text, width, 30, 'regular');
      expect(lines.join(' ').replaceAll('\u00a0', ' ')).toBe(text);
      for (const line of lines) expect(line).not.toMatch(/(\d|±)$/);
    }
  });

  test('figures are held to their units', () => {
    expect(holdFigures('9 mm, 1.2 ± 0.4 % and 5 m')).toBe(
      '9\u00a0mm, 1.2\u00a0±\u00a00.4\u00a0% and 5\u00a0m',
    );
  });

  test('markup and control characters in a title do no harm', () => {
    expect(escapeXml('<b>"&\'\u0000\u001b')).toBe('&lt;b&gt;&quot;&amp;&#39;');
  });
});
