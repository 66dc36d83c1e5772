import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { BayFacts, Tool } from '../../../src/core/bay-plan/facts.ts';
import { TOOLS } from '../../../src/core/bay-plan/facts.ts';
import { bayPlan } from '../../../src/core/bay-plan/plan.ts';
import { listSchemes } from '../../../src/core/rules/schemes/list.ts';
import { handbookScheme } from '../../../src/core/rules/schemes/typed-in.ts';
import { US_VISUAL_AIM } from '../../../src/core/rules/schemes/us.ts';
import { budget, causeKind } from '../../../src/core/uncertainty/estimate.ts';
import { bay, lampAt, NEWCOMER, placeOf, planOf, U } from './bay.ts';

const kinds = (facts: BayFacts) => planOf(facts).places.map((p) => [p.kind, p.state]);
const withGarage = (lengthMm: number, over: Partial<BayFacts> = {}): BayFacts => {
  const facts = bay(over);
  return { ...facts, garage: { ...facts.garage!, lengthMm } };
};

describe('the newcomer: 5.5 m garage, drive falling 6 %, 3.9 m vehicle, 170 mm round lamps', () => {
  test('every place is there, and each distance is what the lengths leave', () => {
    const facts = NEWCOMER;
    expect(kinds(facts)).toEqual([
      ['nose-in', 'open'],
      ['nose-out', 'open'],
      ['shining-in', 'open'],
      ['board-moved', 'open'],
      ['yard-near', 'open'],
      ['yard-far', 'open'],
    ]);
    // By hand: 5500 - 400 tail room - 3900 + 140 - 100 board = 1240.
    expect(placeOf(facts, 'nose-in').forecast.distanceMm).toBeCloseTo(1240, 9);
    // Lamp at 300 + 3900 - 140 = 4060, board at 5500 + 6100 - 500 - 100 = 11000.
    expect(placeOf(facts, 'nose-out').forecast.distanceMm).toBeCloseTo(6940, 9);
    // 5500 + 6100 - 3900 + 140 - 100 = 7740.
    expect(placeOf(facts, 'shining-in').forecast.distanceMm).toBeCloseTo(7740, 9);
    expect(placeOf(facts, 'yard-far').forecast.distanceMm).toBe(10_000);
  });

  test('inside, one distance proves nothing of far: not one lamp by the GB rules, and the plan says why', () => {
    const inside = placeOf(NEWCOMER, 'nose-in');
    expect(inside.proof).toEqual({ within: 0, of: 2 });
    const near = inside.shortfalls.find((s) => s.what === 'near-field');
    // 170 mm over 1.24 m is 13.7 %: beyond the table's 5.67 % (2.35) the shift grows in proportion, 5.68.
    expect(near).toMatchObject({ litMm: 170, openPct: expect.closeTo((2.35 * 13.7097) / 5.67, 3) });
    for (const lamp of inside.forecast.lamps)
      expect(lamp.proof.each).toMatchObject([
        { outcome: 'not-from-here', why: expect.stringMatching(/proven from here/) },
      ]);
  });

  test('without drive and yard no place proves anything, and one is still recommended for what it can do', () => {
    const plan = bayPlan(bay({ drive: null, elsewhere: false }), U);
    expect(plan.places.map((p) => (p.state === 'open' ? p.proof.within : null))).toEqual([0, 0]);
    expect(plan.recommended).not.toBeNull();
  });

  test('on the drive 7.74 m proves both lamps; nose-to-board is barred by the slope, the level line is taken', () => {
    const drive = placeOf(NEWCOMER, 'shining-in');
    expect(drive.proof).toEqual({ within: 2, of: 2 });
    expect(drive.forecast.level).toBe('water-level');
    const nose = drive.forecast.levels.find((l) => l.method === 'nose-to-board');
    expect(nose?.hindrance).toEqual({ tools: [], place: 'not-one-plane' });
    expect(planOf(NEWCOMER).recommended?.kind).toBe('shining-in');
  });

  test('the wheels on a 6 % drive look uphill by 6 %; the board foot is 0.06 of its way under their plane', () => {
    const { stand } = placeOf(NEWCOMER, 'shining-in').forecast;
    expect(stand.pitchPct).toBeCloseTo(6, 9);
    // Front axle 7840 - 140 + 690 = 8390 out, 2890 past the door: 173.4 mm down; the plane rises 6 % of the 8290 to the
    // board, 497.4, so the floor there lies 324 mm under it: 5.4 m of level floor at 6 %.
    expect(stand.footAboveTyresMm).toBeCloseTo(-0.06 * 5400, 6);
    expect(stand.astride).toBe(false);
  });

  test('a 60 mm lens is proven where a 170 mm bowl is not: nose out, 6.94 m', () => {
    const lens = bay({ lamps: [lampAt('left', { litHeightMm: 60 }), lampAt('right', { litHeightMm: 60 })] });
    expect(placeOf(NEWCOMER, 'nose-out').proof.within).toBe(0);
    expect(placeOf(lens, 'nose-out').proof.within).toBe(2);
  });
});

describe('places that do not serve', () => {
  test('a vehicle longer than the garage less its room is closed, with the length that is missing', () => {
    const plan = bayPlan(withGarage(5259), U);
    expect(plan.places[0]).toEqual({
      state: 'closed',
      kind: 'nose-in',
      shortfalls: [{ what: 'no-room', shortByMm: 1 }],
    });
    expect(bayPlan(withGarage(5260), U).places[0]?.state).toBe('open');
  });

  test('lamps that need the engine close both places under the roof, not the drive and the yard', () => {
    expect(kinds(bay({ engineNeeded: true })).map(([, state]) => state)).toEqual([
      'closed',
      'closed',
      'open',
      'open',
      'open',
      'open',
    ]);
  });

  test('without a garage the drive serves against the wall; without anything only the yard is left', () => {
    expect(kinds(bay({ garage: null }))[0]).toEqual(['house-wall', 'open']);
    expect(kinds(bay({ garage: null, drive: null }))).toEqual([
      ['yard-near', 'open'],
      ['yard-far', 'open'],
    ]);
  });

  test('no lamp, or a wheelbase longer than the vehicle, is refused with the field', () => {
    expect(() => bayPlan(bay({ lamps: [] }), U)).toThrow(/lamps: expected at least one/);
    const { vehicle } = bay();
    expect(() => bayPlan(bay({ vehicle: { ...vehicle, wheelbase: { value: 3900, u: 10 } } }), U)).toThrow(
      /vehicle\.wheelbase/,
    );
  });
});

describe('figures for a board at a stated distance', () => {
  test('rules for 25 ft are planned at 7620 mm wherever the place reaches it', () => {
    const us = [US_VISUAL_AIM];
    const facts = bay({
      trafficSide: 'right',
      lamps: [
        lampAt('left', { schemes: us, marking: 'VOR' }),
        lampAt('right', { schemes: us, marking: 'VOR' }),
      ],
    });
    expect(placeOf(facts, 'shining-in').forecast.distanceMm).toBeCloseTo(7620, 9);
    expect(placeOf(facts, 'yard-near').forecast.distanceMm).toBeCloseTo(7620, 9);
    expect(placeOf(facts, 'yard-far').proof.within).toBe(0);
  });

  test('a handbook figure for 5 m is proven nose out, where nothing of far is', () => {
    const scheme = handbookScheme({
      id: 'left',
      title: 'left',
      function: 'passing',
      handbook: { dropPct: 1.2, tolerancePct: 0.6, offsetPct: null, onBoardAtMm: 5000, source: 'page 41' },
    });
    const place = placeOf(bay({ lamps: [lampAt('left', { schemes: [scheme] })] }), 'nose-out');
    expect(place.forecast.distanceMm).toBe(5000);
    expect(place.proof).toEqual({ within: 1, of: 1 });
  });

  test('with U wider than the band no lamp can be proven: a tolerance of 0.1 % is too narrow, whatever the rules call it', () => {
    const scheme = handbookScheme({
      id: 'left',
      title: 'left',
      function: 'passing',
      handbook: { dropPct: 1.2, tolerancePct: 0.1, offsetPct: null, onBoardAtMm: 5000, source: 'page 41' },
    });
    const place = placeOf(bay({ lamps: [lampAt('left', { schemes: [scheme] })] }), 'nose-out');
    expect(place.forecast.lamps[0]!.proof.each[0]?.outcome).toBe('too-wide');
    expect(place.proof).toEqual({ within: 0, of: 1 });
  });
});

describe('laws', () => {
  test('a longer garage never makes the far interval larger, nor the distance shorter', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 5300, max: 16_000 }),
        fc.integer({ min: 0, max: 4000 }),
        fc.constantFrom('nose-in' as const, 'shining-in' as const),
        (length, more, kind) => {
          // Level ground, so that only the length speaks.
          const level = {
            drive: { lengthMm: 6100, slopePct: 0, flatnessMmPerM: null },
            lamps: [lampAt('left')],
          };
          const a = placeOf(withGarage(length, level), kind);
          const b = placeOf(withGarage(length + more, level), kind);
          expect(b.forecast.distanceMm).toBeGreaterThanOrEqual(a.forecast.distanceMm);
          const open = (p: typeof a) => p.forecast.lamps[0]!.farShift.max;
          expect(open(b)).toBeLessThanOrEqual(open(a) + 1e-12);
          // On the drive the door may come to lie under the vehicle, and another method has to be taken.
          if (kind === 'nose-in') expect(b.farDropU).toBeLessThanOrEqual(a.farDropU + 1e-9);
        },
      ),
      { numRuns: 8 },
    );
  });

  test('a tool less never makes U smaller, in drop or offset, at any place', () => {
    fc.assert(
      fc.property(fc.subarray([...TOOLS]), fc.constantFrom(...TOOLS), (tools, gone) => {
        const more: readonly Tool[] = [...new Set([...tools, gone])];
        const less = more.filter((t) => t !== gone);
        const [a, b] = [more, less].map(
          (t) => bayPlan(bay({ tools: t, lamps: [lampAt('right')] }), U).places,
        );
        a!.forEach((p) => {
          const q = b!.find((other) => other.kind === p.kind);
          if (p.state !== 'open' || q?.state !== 'open' || p.kind === 'board-moved') return;
          expect(q.dropU).toBeGreaterThanOrEqual(p.dropU - 1e-12);
        });
      }),
      { numRuns: 8 },
    );
  });

  test('whatever the place, every figure is a number, doubts grow from board to far, and a board holds its edge', () => {
    const schemes = listSchemes();
    fc.assert(
      fc.property(
        fc.record({
          garage: fc.integer({ min: 2000, max: 12_000 }),
          drive: fc.option(fc.integer({ min: 500, max: 20_000 })),
          slope: fc.double({ min: -12, max: 12, noNaN: true }),
          vehicle: fc.integer({ min: 1800, max: 7000 }),
          lit: fc.option(fc.integer({ min: 15, max: 250 })),
          up: fc.integer({ min: 420, max: 1150 }),
          function: fc.constantFrom('passing' as const, 'driving' as const, 'front-fog' as const),
          beam: fc.constantFrom('rise' as const, 'flat' as const, 'step' as const, 'no-cut-off' as const),
          scheme: fc.constantFrom(...schemes),
          side: fc.constantFrom('left' as const, 'right' as const),
          tools: fc.subarray([...TOOLS]),
        }),
        (x) => {
          const base = bay();
          const facts = bay({
            garage: { ...base.garage!, lengthMm: x.garage, slopePct: x.slope / 8 },
            drive: x.drive === null ? null : { lengthMm: x.drive, slopePct: x.slope, flatnessMmPerM: null },
            trafficSide: x.side,
            tools: x.tools,
            vehicle: {
              ...base.vehicle,
              lengthMm: x.vehicle,
              wheelbase: { value: 0.6 * x.vehicle, u: 10 },
              noseAheadOfAxleMm: 0.17 * x.vehicle,
            },
            lamps: [
              lampAt('left', {
                function: x.function,
                beam: x.beam,
                litHeightMm: x.lit,
                centreUp: { value: x.up, u: 3 },
                schemes: [x.scheme],
              }),
            ],
          });
          for (const p of bayPlan(facts, U).places) {
            if (p.state !== 'open') continue;
            const { board, distanceMm } = p.forecast;
            for (const n of [p.dropU, p.offsetU, p.farDropU, p.farOffsetU, board.topMm, distanceMm])
              expect(Number.isFinite(n)).toBe(true);
            expect(p.farDropU).toBeGreaterThanOrEqual(p.dropU);
            expect(board.topMm).toBeGreaterThan(board.edgeMm.highest);
            expect(p.proof.within).toBeLessThanOrEqual(p.proof.of);
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  test('a worse level gives a larger U: water level, laser, spirit level, floor as it is', () => {
    const { levels } = placeOf(NEWCOMER, 'yard-far').forecast;
    const by = (m: string) => levels.find((l) => l.method === m)!.dropU;
    expect(by('water-level')).toBeLessThan(by('laser'));
    expect(by('laser')).toBeLessThan(by('spirit-level'));
    expect(by('spirit-level')).toBeLessThan(by('floor-unmeasured'));
  });

  test('left and right swapped mirror: the same U and drop parts, sideways parts with the other sign', () => {
    const [left, right] = placeOf(NEWCOMER, 'shining-in').forecast.lamps;
    expect(right!.dropU).toBeCloseTo(left!.dropU, 4);
    expect(right!.offsetU).toBeCloseTo(left!.offsetU, 3);
    const drop = (lamp: typeof left, id: 'cross-fall') => lamp!.dropPct.parts[id] ?? Number.NaN;
    const side = (lamp: typeof left, id: 'vehicle-axis') => lamp!.offsetPct.parts[id] ?? Number.NaN;
    // A floor that leans sideways lifts one lamp's place on the board and lowers the other's.
    expect(Math.sign(drop(left, 'cross-fall'))).toBe(-Math.sign(drop(right, 'cross-fall')));
    expect(Math.abs(drop(left, 'cross-fall'))).toBeCloseTo(Math.abs(drop(right, 'cross-fall')), 6);
    expect(side(left, 'vehicle-axis')).toBeCloseTo(side(right, 'vehicle-axis'), 9);
  });

  test('the budget adds up: squared parts make U, and its biggest kind on the drive is the heights under the tyres', () => {
    const lamp = placeOf(NEWCOMER, 'shining-in').forecast.lamps[0]!;
    const sum = Math.sqrt(budget(lamp.dropPct).reduce((s, b) => s + b.u * b.u, 0));
    expect(2 * sum).toBeCloseTo(lamp.dropU, 12);
    const floor = budget(lamp.dropPct).filter((b) => causeKind(b.cause) === 'floor');
    // Two contacts of 1.9 mm over 2410 mm carried to where the lamp meets the board: sqrt 2 · 1.9/2410 is 0.111 %.
    expect(Math.sqrt(floor.reduce((s, b) => s + b.u * b.u, 0))).toBeGreaterThan(0.11);
  });
});
