import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src/core/errors.ts';
import {
  type BoardPlanInput,
  boardPlan,
  lampPlaceOnBoard,
  type PlanLamp,
} from '../../../src/report/sheets/board-plan.ts';
import { boardPlanList } from '../../../src/report/sheets/board-plan-list.ts';
import { boardPlanPdf } from '../../../src/report/sheets/board-plan-pdf.ts';
import { readPdf } from './read-pdf.ts';

const edge = (dropPct: number, offsetPct: number | null = null): PlanLamp['target'] => ({
  feature: 'edge',
  dropPct,
  offsetPct,
  tolerancePct: null,
});

function lamp(id: string, X: number, Y: number, distanceMm: number, target: PlanLamp['target']): PlanLamp {
  return { id, title: `Lamp ${id}`, side: X < 0 ? 'left' : 'right', at: { X, Y }, distanceMm, target };
}

function input(lamps: readonly PlanLamp[], more: Partial<BoardPlanInput> = {}): BoardPlanInput {
  return {
    title: 'Marigold',
    paper: 'a4',
    units: 'mm',
    words: 'gb',
    trafficSide: 'left',
    lamps,
    board: { floorY: 0, zero: 'centre-line', area: null },
    ...more,
  };
}

describe('where the edge belongs', () => {
  // standards.md 10.1, W1 to W5: drop % = 100 (lamp - cut-off) / D.
  test.each([
    { row: 'W1', lampY: 650, dropPct: 1.3, D: 5000, edgeY: 585 },
    { row: 'W2', lampY: 900, dropPct: 1.4435696, D: 7620, edgeY: 790 },
    { row: 'W4', lampY: 700, dropPct: 1, D: 3810, edgeY: 661.9 },
    { row: 'W5', lampY: 640, dropPct: 2.75, D: 5000, edgeY: 502.5 },
    { row: 'W9', lampY: 650, dropPct: -0.2, D: 5000, edgeY: 660 },
  ])(
    '$row: $dropPct % at $D mm puts the edge of a lamp at $lampY at $edgeY mm',
    ({ lampY, dropPct, D, edgeY }) => {
      const plan = boardPlan(input([lamp('a', -605, lampY, D, edge(dropPct))]));
      expect(plan.lamps[0]!.target!.Y).toBeCloseTo(edgeY, 3);
      expect(plan.lamps[0]!.target!.aboveMarkMm).toBeCloseTo(edgeY - lampY, 3);
    },
  );

  test('W3: a hot spot 1.52 % left at 5 m belongs 76 mm left of the mark', () => {
    const plan = boardPlan(
      input([
        lamp('a', 433, 700, 5000, { feature: 'hot-spot', dropPct: 0.5, offsetPct: -1.52, tolerancePct: 0.3 }),
      ]),
    );
    expect(plan.lamps[0]!.target).toMatchObject({ rightOfMarkMm: -76, X: 357, halfWidthMm: 15 });
  });

  test('a board foot 20 mm below the tyre plane: lamp at 650 stands 670 up the board, its edge 605 (design 3)', () => {
    const at = lampPlaceOnBoard({ centreHeightMm: 650, rightMm: -610 }, { rightMm: 15, upMm: -20 });
    expect(at).toEqual({ X: -625, Y: 670 });
    const plan = boardPlan(input([{ ...lamp('a', 0, 0, 5000, edge(1.3)), at }]));
    expect(plan.lamps[0]!.target!.Y).toBeCloseTo(605, 9);
  });
});

describe('where the sheets go', () => {
  const size = { a4: { w: 297, h: 210 }, letter: { w: 279.4, h: 215.9 } } as const;

  test('two lamps at 5 m: four sheets on one line, left and right of each hot spot, 20 mm or more below the edge', () => {
    const plan = boardPlan(
      input([lamp('l', -610, 670, 5000, edge(1.3)), lamp('r', 605, 676, 5000, edge(1.3))]),
    );
    expect(plan.sheets.map((s) => s.number)).toEqual([1, 2, 3, 4]);
    expect(new Set(plan.sheets.map((s) => s.Y))).toEqual(new Set([plan.levelLineY]));
    const [a, b, c, d] = plan.sheets.map((s) => s.X) as [number, number, number, number];
    expect(a < -610 && b > -610 && b < c && c < 605 && d > 605).toBe(true);
    expect(plan.levelLineY + 105).toBeLessThan(605 - 20);
    expect(plan.checkDistance).toEqual({ from: 1, to: 4, mm: d - a });
  });

  test('any vehicle: no sheet on another, on a hot spot, on the read part of the edge, or on the floor', () => {
    const anyLamps = fc
      .record({
        D: fc.integer({ min: 2500, max: 12_000 }),
        half: fc.integer({ min: 250, max: 950 }),
        height: fc.integer({ min: 480, max: 1200 }),
        skew: fc.integer({ min: -60, max: 60 }),
        pct: fc.double({ min: 0, max: 2.5, noNaN: true }),
        one: fc.boolean(),
      })
      .map(({ D, half, height, skew, pct, one }) =>
        one
          ? [lamp('c', skew, height, D, edge(pct))]
          : [lamp('l', -half, height, D, edge(pct)), lamp('r', half + skew, height + 7, D + 11, edge(pct))],
      );
    fc.assert(
      fc.property(
        anyLamps,
        fc.constantFrom('a4' as const, 'letter' as const),
        fc.constantFrom('left' as const, 'right' as const),
        (lamps, paper, trafficSide) => {
          const plan = boardPlan(input(lamps, { paper, trafficSide, units: paper === 'a4' ? 'mm' : 'in' }));
          const { w, h } = size[paper];
          expect(plan.sheets.length).toBeGreaterThanOrEqual(3);
          plan.sheets.forEach((s, i) => {
            const next = plan.sheets[i + 1];
            if (next) expect(next.X - s.X).toBeGreaterThanOrEqual(w);
            expect(s.Y - h / 2).toBeGreaterThanOrEqual(19.9);
            expect(s.X - w / 2).toBeGreaterThanOrEqual(plan.needed.left);
            expect(s.X + w / 2).toBeLessThanOrEqual(plan.needed.right);
            for (const l of plan.lamps) {
              // Hot spot: 2.5 deg to either side. Edge: 4 deg, from 1.5 deg below it upwards.
              const aside = Math.abs(s.X - l.mark.X) - w / 2;
              expect(aside).toBeGreaterThanOrEqual(l.distanceMm * Math.tan((2.5 * Math.PI) / 180) - 0.6);
              const bare = l.target!.Y - l.distanceMm * Math.tan((1.5 * Math.PI) / 180);
              const onEdge = s.Y + h / 2 > bare && aside < l.distanceMm * Math.tan((4 * Math.PI) / 180) - 0.6;
              expect(onEdge, `sheet at ${s.X}, ${s.Y} reaches into the read edge`).toBe(false);
            }
          });
        },
      ),
      { numRuns: 400, seed: 7 },
    );
  });

  test('one lamp: the third sheet goes to the kerb side, left or right with the traffic', () => {
    const of = (trafficSide: 'left' | 'right') =>
      boardPlan(input([lamp('c', 31, 900, 4000, edge(1.25))], { trafficSide })).sheets.map(
        (s) => s.X - 31 > 0,
      );
    expect(of('left')).toEqual([false, false, true]);
    expect(of('right')).toEqual([false, true, true]);
  });

  test('a mirrored vehicle in mirrored traffic gives the mirrored sheets', () => {
    const lamps = [lamp('l', -641, 670, 6200, edge(1.3)), lamp('r', 605, 676, 6200, edge(1.3))];
    const mirrored = lamps.map((l) => ({ ...l, at: { X: -l.at.X, Y: l.at.Y } }));
    const a = boardPlan(input(lamps, { trafficSide: 'left' })).sheets.map((s) => s.X);
    const b = boardPlan(input(mirrored, { trafficSide: 'right' }))
      .sheets.map((s) => -s.X)
      .reverse();
    expect(b).toEqual(a);
  });

  test('a low lamp at 10 m has no room under its edge: sheets beside it, and a warning', () => {
    const plan = boardPlan(input([lamp('c', 0, 560, 10_000, edge(1.3))]));
    expect(plan.warnings.join(' ')).toMatch(/too little height/);
    expect(plan.levelLineY).toBeGreaterThanOrEqual(125);
  });

  test('sheets at hand keep their numbers from left to right; those left over are named spare', () => {
    const plan = boardPlan(input([lamp('c', 0, 900, 5000, edge(1))], { sheets: [12, 7, 31, 4] }));
    expect(plan.sheets.map((s) => s.number)).toEqual([12, 7, 31]);
    expect(plan.spareSheets).toEqual([4]);
  });

  test('a board of 1000 x 600 mm is too small to the left and right for two lamps, and the plan says so', () => {
    const area = { left: -480, right: 520, bottom: 300, top: 900 };
    const plan = boardPlan(
      input([lamp('l', -610, 670, 5000, edge(1.3)), lamp('r', 605, 676, 5000, edge(1.3))], {
        board: { floorY: 0, zero: 'centre-line', area },
      }),
    );
    expect(plan.warnings.join(' ')).toMatch(/too small to the left, to the right/);
  });

  test('no lamp, a distance of 0 and a place that is no number are refused by name', () => {
    expect(() => boardPlan(input([]))).toThrow(InputError);
    expect(() => boardPlan(input([lamp('x', 5, 600, 0, null)]))).toThrow(/lamps\.x\.distanceMm/);
    expect(() => boardPlan(input([lamp('x', Number.NaN, 600, 5000, null)]))).toThrow(/lamps\.x\.at/);
  });
});

describe('what is printed', () => {
  const plan = boardPlan(
    input([lamp('l', -610, 670, 5000, edge(1.3, 0)), lamp('r', 605, 676, 5000, edge(1.3, 0))], {
      rendered: true,
    }),
  );

  test('the list says 65 mm below the mark, 345 mm for the level line, and 5.00 m', () => {
    const said = boardPlanList(plan).flatMap((g) => g.rows.map((r) => `${r.what}: ${r.planned}`));
    expect(said).toContain('Edge: target line: 65 mm below the centre mark');
    expect(said).toContain('Level line: 345 mm above the floor');
    expect(said).toContain('Each lamp to board: 5.00 m');
    expect(said).toContain('Centre mark: 610 mm left of the centre line');
    expect(said).toContain('Centre mark: 676 mm above the floor');
  });

  test('with inches and no floor: 2 9/16 in below, heights from zero height', () => {
    const us = boardPlan(
      input([lamp('l', -610, 12, 5000, edge(1.3))], {
        units: 'in',
        words: 'us',
        board: { floorY: null, zero: 'own-line', area: null },
      }),
    );
    const said = boardPlanList(us).flatMap((g) => g.rows.map((r) => r.planned));
    expect(said).toContain('2 9/16 in below the centre mark');
    expect(said).toContain('24 in left of the zero line');
    expect(said).toContain('1/2 in above zero height');
  });

  test('one A4 page, whose marks stand 1215 mm / scale apart and 6 mm / scale in height', () => {
    const pages = readPdf(boardPlanPdf(plan));
    expect(pages).toHaveLength(1);
    expect(pages[0]!.mediaBox.map((v) => Math.round(v * 100) / 100)).toEqual([0, 0, 841.89, 595.28]);
    const scale = Number(/Scale 1 : (\d+),/.exec(pages[0]!.texts.map((t) => t.text).join('\n'))![1]);
    // The crosses' level arms: 0.5 mm strokes, 5.6 mm long.
    const arms = pages[0]!.strokes.filter(
      (s) => Math.abs(s.widthMm - 0.5) < 1e-6 && Math.abs(Math.abs(s.to.x - s.from.x) - 5.6) < 1e-3,
    );
    expect(arms).toHaveLength(2);
    const [a, b] = arms as [(typeof arms)[number], (typeof arms)[number]];
    expect(Math.abs(b.from.x - a.from.x - 1215 / scale)).toBeLessThan(0.01);
    expect(Math.abs(b.from.y - a.from.y - 6 / scale)).toBeLessThan(0.01);
    // The target line: dashed 0.55 mm strokes, 65 mm / scale below the mark.
    const targets = pages[0]!.strokes.filter((s) => Math.abs(s.widthMm - 0.55) < 1e-6);
    expect(targets).toHaveLength(2);
    expect(Math.abs(a.from.y - targets[0]!.from.y - 65 / scale)).toBeLessThan(0.01);
  });

  test('a drawn demonstration says so on the page', () => {
    const texts = readPdf(boardPlanPdf(plan))[0]!.texts.map((t) => t.text);
    expect(texts.some((t) => t.startsWith('DEMONSTRATION'))).toBe(true);
  });

  test('one to sixteen lamps, in mm, cm and inches, fit: nothing is printed within 8 mm of the rim', () => {
    for (const [n, units, paper, sheets] of [
      [1, 'mm', 'a4', 1],
      [2, 'in', 'letter', 1],
      [4, 'cm', 'a4', 1],
      [6, 'in', 'letter', 2],
      [16, 'mm', 'a4', 3],
    ] as const) {
      const lamps = Array.from({ length: n }, (_, i) =>
        lamp(`n${i}`, -700 + i * (1390 / Math.max(1, n - 1)), 800 + 9 * i, 7000, edge(1 + 0.1 * i, -0.1 * i)),
      );
      const pages = readPdf(boardPlanPdf(boardPlan(input(lamps, { units, paper }))));
      expect(pages.length).toBe(sheets);
      for (const page of pages) {
        const [w, h] = [page.mediaBox[2]! * (25.4 / 72), page.mediaBox[3]! * (25.4 / 72)];
        const places = [...page.strokes.flatMap((s) => [s.from, s.to]), ...page.texts.map((t) => t.at)];
        expect(Math.min(...places.map((p) => p.x))).toBeGreaterThan(8);
        expect(Math.max(...places.map((p) => p.x))).toBeLessThan(w - 8);
        expect(Math.min(...places.map((p) => p.y))).toBeGreaterThan(5);
        expect(Math.max(...places.map((p) => p.y))).toBeLessThan(h - 8);
      }
    }
  });
});
