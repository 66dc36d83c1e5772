import { describe, expect, test } from 'vitest';
import { bayPlan } from '../../src/core/bay-plan/plan.ts';
import { DEFAULT_U } from '../../src/job/defaults.ts';
import { bayData, bayPlanDataSchema } from '../../src/report/bay-plan-data.ts';
import { bayExtent, drawPlace } from '../../src/report/bay-plan-drawing.ts';
import { bayRequest, PLAN_U } from '../../src/report/bay-plan-facts.ts';
import { bayPage } from '../../src/report/bay-plan-page.ts';
import { bayPdf } from '../../src/report/bay-plan-pdf.ts';
import { type BayFile, bayFileSchema } from '../../src/report/bay-plan-schema.ts';
import { baySvg } from '../../src/report/bay-plan-svg.ts';
import { bayText } from '../../src/report/bay-plan-text.ts';

/** The newcomer: 5.5 m garage, sloping drive, 3.9 m vehicle, 170 mm round lamps; nothing else is known. */
const NEWCOMER: BayFile = {
  dipcardBay: 1,
  title: 'Newcomer',
  garage: { length: '5.5 m', width: '2.6 m' },
  drive: { length: '6 m', slope: '6 % down' },
  vehicle: { length: '3.9 m' },
  lamps: { litHeight: '170 mm', litWidth: 170 },
  country: 'gb',
};

function made(file: BayFile) {
  const request = bayRequest(bayFileSchema.parse(file));
  return { request, plan: bayPlan(request.facts, request.u) };
}
const newcomer = made(NEWCOMER);
const newcomersText = bayText(newcomer.plan, newcomer.request);

describe('a bay file behind its door', () => {
  test('lengths, slopes and floors become mm, per cent and mm per m; the plan uses the uncertainties of a real job', () => {
    const { facts } = made({
      ...NEWCOMER,
      garage: { length: '18 ft', width: 2600, slope: '1 % up', flatness: 1.5 },
      drive: { length: '20 ft', slope: '3 deg down', flatness: 'flat' },
    }).request;
    expect(facts.garage).toMatchObject({
      lengthMm: expect.closeTo(5486.4, 6),
      widthMm: 2600,
      slopePct: -1,
      flatnessMmPerM: 1.5,
    });
    expect(facts.drive?.slopePct).toBeCloseTo(5.2408, 4);
    expect(facts.drive?.flatnessMmPerM).toBe(DEFAULT_U.floorFlatness.u);
    expect(PLAN_U.lampMark).toBe(DEFAULT_U.lampMark.u);
  });

  test('what was not given is taken as usual, and said', () => {
    expect(newcomer.request.assumed.join('\n')).toMatch(
      /Wheelbase: 2380 mm[\s\S]*Lamp centres over the floor: 650 mm/,
    );
  });

  test('the country brings the rules and words that a new job there gets', () => {
    expect(newcomer.request.facts.lamps[0]!.schemes.map((s) => s.id)).toEqual(['gb-inspection-car']);
    const us = made({ ...NEWCOMER, country: 'us' }).request;
    expect([us.units, us.words, us.facts.trafficSide]).toEqual(['in', 'us', 'right']);
    expect(us.facts.lamps[0]!.beam).toBe('no-cut-off');
  });

  test('without a country there are no rules, and the plan still stands', () => {
    const { plan, request } = made({ dipcardBay: 1, vehicle: { length: 3900 } });
    expect(plan.recommended?.proof.of).toBe(0);
    expect(bayText(plan, request)).toContain('No rules were chosen');
  });

  test('an unknown scheme and a negative length are refused with their field', () => {
    expect(() => made({ ...NEWCOMER, schemes: ['nowhere'] })).toThrow(
      /schemes\.0: expected one of gb-inspection-car/,
    );
    expect(() => made({ ...NEWCOMER, vehicle: { length: -3 } })).toThrow(/vehicle\.length/);
  });
});

describe('the plan as text', () => {
  test('no line is longer than 80 columns, here, in inches and for a motorcycle', () => {
    const others = [
      made({ ...NEWCOMER, country: 'us', elsewhere: false, drive: null }),
      made({
        ...NEWCOMER,
        vehicle: { kind: 'motorcycle', length: 2100, width: 800 },
        lamps: { set: 'dipped-and-main-single' },
        tools: ['tape', 'helper', 'laser', 'string'],
      }),
    ].map(({ plan, request }) => bayText(plan, request));
    for (const text of [newcomersText, ...others])
      for (const line of text.split('\n')) expect([...line].length, line).toBeLessThanOrEqual(80);
  });

  test('the newcomer reads that nothing far is proven inside, why, and where it is', () => {
    const flat = newcomersText.replace(/\s+/g, ' ');
    expect(flat).toMatch(/Garage, nose to the end wall - Lamp to board is only 1\.25 m/);
    expect(flat).toMatch(
      /One distance proves nothing of far from here: a lamp lit over 170 mm smears its own edge/,
    );
    expect(flat).toMatch(/Take On the drive, shining into the garage Why 7\.65 m/);
    expect(flat).toMatch(/\* Shining in 7\.65 m .* yes/);
  });

  test('the slope comes with chocks, and nobody between vehicle and board, at the place and in the order of work', () => {
    const flat = newcomersText.replace(/\s+/g, ' ');
    expect(flat).toMatch(
      /slope \(6\.0 %, nose up\): chock the downhill side of both axles, and nobody stands between/,
    );
    expect(flat).toMatch(
      /2\. Park, brake on, in gear, and chock the downhill side of both axles before anything else/,
    );
  });

  test('US words: driveway, center, tire, hood; no British spelling is left', () => {
    const { plan, request } = made({ ...NEWCOMER, country: 'us' });
    const text = bayText(plan, request);
    expect(text).toMatch(/On the driveway/);
    expect(text).not.toMatch(/centre|tyre|neighbour|dipped/);
  });

  test('with every place too short it says so before anything else', () => {
    const { plan, request } = made({ ...NEWCOMER, drive: null, elsewhere: false });
    expect(bayText(plan, request).replace(/\s+/g, ' ')).toMatch(/Why Nowhere described here is long enough/);
  });

  test('an engine that must run closes the garage: outdoors only', () => {
    const { plan, request } = made({ ...NEWCOMER, engineNeeded: true });
    const flat = bayText(plan, request).replace(/\s+/g, ' ');
    expect(flat).toMatch(/Garage, nose to the end wall - Lamps that need the engine running: outdoors only/);
  });
});

describe('the plan as data, page and PDF', () => {
  test('the data keeps to its schema, and its figures are the plan figures', () => {
    const data = bayPlanDataSchema.parse(bayData(newcomer.plan, newcomer.request));
    expect(data.recommended).toBe('shining-in');
    const place = data.places.find((p) => p.id === 'shining-in')!;
    expect(place.drop_u_pct).toBe(newcomer.plan.recommended?.dropU);
    expect(place.budget.reduce((s, b) => s + b.share, 0)).toBeGreaterThan(0.97);
  });

  test('the page fetches nothing, and says what the text says', () => {
    const page = bayPage(newcomer.plan, newcomer.request);
    expect(page).not.toMatch(/<script|https?:|src=|@import|url\(/);
    expect(page).toContain('take this one');
    expect(page.match(/class="bay"/g)).toHaveLength(newcomer.plan.places.length);
  });

  test('all drawings share one scale: 7.65 m and 6.85 m are as long in px as they are in m', () => {
    const open = newcomer.plan.places.filter((p) => p.state === 'open');
    const extent = bayExtent(open, newcomer.request);
    const px = (kind: string): number => {
      const place = open.find((p) => p.kind === kind)!;
      const svg = baySvg(drawPlace(place, newcomer.request), extent, 'x');
      // The dimension line is the first thin stroke drawn last but for its ticks.
      const line = [
        ...svg.matchAll(
          /<path d="M([\d.]+) [\d.]+L([\d.]+) [\d.]+" fill="none" stroke="var\(--ink\)" stroke-width="1.5"/g,
        ),
      ][0]!;
      return Math.abs(Number(line[2]) - Number(line[1]));
    };
    expect(px('shining-in') / px('nose-out')).toBeCloseTo(7650 / 6850, 2);
  });

  test('the PDF is one, and holds the place to take', () => {
    const bytes = bayPdf(newcomer.plan, newcomer.request, 'a4');
    const text = new TextDecoder('latin1').decode(bytes);
    expect(text.startsWith('%PDF-')).toBe(true);
    expect(text).toContain('TAKE THIS: On the drive, shining into the garage');
    expect(text).toContain('Scale 1 : 110');
  });

  test('a title full of markup stays text', () => {
    const { plan, request } = made({ ...NEWCOMER, title: '<b>&"x' });
    expect(bayPage(plan, request)).toContain('&lt;b&gt;&amp;&quot;x');
  });
});
