import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../src/core/errors.ts';
import { jobFromFile, parseJob } from '../../src/job/load-job.ts';
import { migrate } from '../../src/job/migrate.ts';
import { JobFileError } from '../../src/job/problems.ts';
import { exampleJob } from './example-job.ts';

type Loose = Record<string, unknown>;

/** The example with one place changed: 'vehicle.lamps.0.side' etc. */
function withValue(path: string, value: unknown): string {
  const file = JSON.parse(JSON.stringify(exampleJob())) as Loose;
  const keys = path.split('.');
  let at: Loose = file;
  for (const key of keys.slice(0, -1)) at = at[key] as Loose;
  if (value === undefined) delete at[keys.at(-1)!];
  else at[keys.at(-1)!] = value;
  return JSON.stringify(file);
}

function errorOf(text: string): JobFileError {
  try {
    parseJob(text);
  } catch (e) {
    expect(e).toBeInstanceOf(JobFileError);
    expect(e).toBeInstanceOf(InputError);
    return e as JobFileError;
  }
  throw new Error('the file was taken');
}

describe('a job file becomes mm and per cent', () => {
  const job = jobFromFile(exampleJob());

  test('lengths in cm, m and inches are mm, with typed or default uncertainties', () => {
    const [left, right] = job.lamps;
    expect(left!.centreHeight).toEqual({ mm: 650, uMm: 2 });
    expect(right!.centreHeight).toEqual({ mm: 655, uMm: 3 });
    expect(left!.lowerEdge).toEqual({ mm: 570, uMm: 4 });
    expect(left!.litHeight).toEqual({ mm: 160, uMm: 5 });
    expect(right!.litWidth).toBeNull();
    expect(left!.mechanics).toMatchObject({
      supports: [{}, {}, { rightMm: expect.closeTo(-76.2, 9), upMm: 2, pitchMm: 0.7 }],
    });
    expect(job.board.extent).toEqual({ left: -1000, right: 1050, bottom: -400, top: 500 });
  });

  test('the handbook figure 12 cm at 10 m is 1.2 %, and its scheme is among those judged by', () => {
    expect(job.lamps[0]!.handbook).toMatchObject({ dropPct: 1.2, tolerancePct: 0.3, onBoardAtMm: null });
    expect(job.schemes.map((s) => s.id)).toEqual(['gb-inspection-car', 'handbook-left-dip']);
  });

  test('a ruler that measures 99.5 mm makes the sheet 0.995 of its size', () => {
    expect(job.board.sheets[1]).toMatchObject({ number: 2, scale: 0.995, turnDeg: 1 });
    expect(job.board.sheets[0]).toMatchObject({ number: 1, scale: 1, turnDeg: null });
  });

  test('each shot looks from its own lamp and distance: axis foot at the lamp, 7620 and 5000 mm away', () => {
    const views = job.shots.map((shot) => shot.geometry.view(shot.geometry.inputs.map((i) => i.value)));
    expect(views[0]!.axisFoot.X).toBeCloseTo(35 - 540, 6);
    expect(views[0]!.axisFoot.Y).toBeCloseTo(650 + 20 - 410, 6);
    expect(views[0]!.distanceMm).toBe(7620);
    expect(views[1]!.axisFoot.X).toBeCloseTo(35 + 546, 6);
    expect(views[1]!.distanceMm).toBe(5000);
    const causes = job.shots[1]!.geometry.inputs.map((i) => i.cause);
    expect(causes).toContain('distance@at-5000');
    expect(causes).toContain('floor@at-5000');
  });

  test('a plausible job raises no question but the ones its numbers ask', () => {
    expect(job.oddities).toEqual([]);
  });
});

describe('what is wrong is named by its place', () => {
  test.each<[string, unknown, string, RegExp]>([
    ['bay.distance', '5 mm x', 'bay.distance', /a length such as/],
    ['bay.distance', 40, 'bay.distance', /at least 500 mm/],
    ['bay.distance', true, 'bay.distance', /a length such as 650/],
    ['bay.distance', { value: 5000, u: -3 }, 'bay.distance.u', /0 to 2000 mm/],
    ['bay.distance', undefined, 'bay.distance', /got undefined/],
    ['vehicle.lamps.0.side', 'middle', 'vehicle.lamps.0.side', /one of left, right, centre/],
    ['vehicle.lamps.0.centre.upp', 650, 'vehicle.lamps.0.centre.upp', /no field of this name/],
    ['vehicle.lamps.0.centre.up', undefined, 'vehicle.lamps.0.centre.up', /height of the lamp's centre/],
    ['vehicle.lamps.0.handbook.drop', '12 at 10 m', 'vehicle.lamps.0.handbook.drop', /both with units/],
    ['vehicle.lamps', [], 'vehicle.lamps', /at least 1 entries/],
    ['vehicle.lamps.1.id', 'left-dip', 'vehicle.lamps.1.id', /a name that no other has/],
    ['vehicle.lamps.1.id', 'Right Dip', 'vehicle.lamps.1.id', /lower-case letters/],
    ['shots.1.lamp', 'fog', 'shots.1.lamp', /left-dip, right-dip/],
    ['shots.1.photos.0', '../secret.jpg', 'shots.1.photos.0', /a path inside the job folder/],
    ['shots.1.photos.0', '/etc/passwd', 'shots.1.photos.0', /a path inside the job folder/],
    ['shots.1.photos.0', 'C:\\x.jpg', 'shots.1.photos.0', /a path inside the job folder/],
    ['shots.0.taps.0.cross', 'Z', 'shots.0.taps.0.cross', /A, B, C, D/],
    ['schemes.0', 'gb-moon', 'schemes.0', /gb-inspection-car/],
    ['board.levelLine', ['sheet 1', 'sheet 7'], 'board.levelLine.1', /sheet 2/],
    ['board.sheets.1.rulerMeasures', 50, 'board.sheets.1.rulerMeasures', /100 mm ruler/],
    ['board.extent.right', -2000, 'board.extent.right', /more than left/],
    ['bay.method.kind', 'guess', 'bay.method.kind', /nose-to-board|kind/],
    ['bay.method.axisX', undefined, 'bay.method.axisX', /middle line/],
    ['bay.distances', { 'left-dop': 5000 }, 'bay.distances.left-dop', /left-dip, right-dip/],
    ['dipcard', 2, 'dipcard', /newer Dipcard/],
    ['dipcard', '1', 'dipcard', /version/],
    ['title', 'x'.repeat(81), 'title', /at most 80 characters/],
  ])('%s = %j', (path, value, field, message) => {
    const error = errorOf(withValue(path, value));
    expect(error.field).toBe(field);
    expect(error.message).toMatch(message);
    expect(error.message.length).toBeLessThan(600);
  });

  test('several mistakes are all listed', () => {
    const file = JSON.parse(withValue('bay.distance', true)) as Loose;
    file['units'] = 'furlong';
    const error = errorOf(JSON.stringify(file));
    expect(error.problems.map((p) => p.path).sort()).toEqual(['bay.distance', 'units']);
  });

  test('broken JSON is named by line and column', () => {
    expect(errorOf('{\n  "dipcard": 1,\n  "title": "x" oops\n}').field).toBe('line 3, column 16');
    expect(errorOf('').message).toMatch(/empty file/);
    expect(errorOf('[1,2]').message).toMatch(/an object that begins/);
  });
});

describe('hostile files', () => {
  const body = JSON.stringify(exampleJob());

  test.each([
    ['__proto__ on top', `{"__proto__": {"polluted": 1}, ${body.slice(1)}`],
    [
      '__proto__ in lampMarks',
      withValue('bay.method', { kind: 'nose-to-board', lampMarks: {} }).replace(
        '"lampMarks":{}',
        '"lampMarks":{"__proto__":{"X":1,"Y":2}}',
      ),
    ],
    [
      'constructor as lamp mark',
      withValue('bay.method', { kind: 'nose-to-board', lampMarks: {} }).replace(
        '"lampMarks":{}',
        '"lampMarks":{"constructor":{"X":1,"Y":2}}',
      ),
    ],
  ])('%s is refused and pollutes nothing', (_, text) => {
    const error = errorOf(text);
    expect(error.message).toMatch(/another name/);
    expect(({} as Loose)['polluted']).toBeUndefined();
  });

  test('a lamp called "valueof" or after an inherited name finds no mark that is not there', () => {
    const file = JSON.parse(withValue('bay.method', { kind: 'nose-to-board', lampMarks: {} })) as Loose;
    expect(errorOf(JSON.stringify(file)).field).toBe('bay.method.lampMarks.left-dip');
  });

  test('100,000 levels of nesting are refused before anything walks them', () => {
    expect(errorOf(`${'['.repeat(100_000)}${']'.repeat(100_000)}`).message).toMatch(/nesting of at most 24/);
  });

  test('3 million characters are refused', () => {
    expect(errorOf(`{"title": "${'x'.repeat(3_000_000)}"}`).message).toMatch(/2 million characters/);
  });

  test.each(['1e999', '-1e999', '1e300'])('the number %s is refused', (n) => {
    expect(errorOf(body.replace('"left":-1000', `"left":${n}`)).field).toBe('board.extent.left');
  });

  test('500 lamps are refused', () => {
    const lamps = Array.from({ length: 500 }, (_, i) => ({ ...exampleJob().vehicle.lamps[0], id: `l${i}` }));
    expect(errorOf(withValue('vehicle.lamps', lamps)).message).toMatch(/at most 16 entries/);
  });
});

describe('any value in any place', () => {
  const places = (value: unknown, path = ''): string[] =>
    typeof value !== 'object' || value === null
      ? [path]
      : Object.entries(value).flatMap(([k, v]) => {
          const at = path === '' ? k : `${path}.${k}`;
          return [at, ...places(v, at)];
        });
  const all = [...new Set(places(JSON.parse(JSON.stringify(exampleJob()))))];

  test('gives a job or a JobFileError with a path, and nothing else', () => {
    fc.assert(
      fc.property(fc.constantFrom(...all), fc.jsonValue({ maxDepth: 2 }), (path, value) => {
        try {
          expect(parseJob(withValue(path, value)).lamps.length).toBeGreaterThan(0);
        } catch (e) {
          expect(e).toBeInstanceOf(JobFileError);
          expect((e as JobFileError).field).not.toBe('');
        }
      }),
      { numRuns: 1500 },
    );
  });

  test('a number far out of range in any place is refused or asked about, or is free to be anything', () => {
    const free = /taps|title|name|number|flatness/;
    const silent = all.filter((path) => {
      if (free.test(path)) return false;
      try {
        return parseJob(withValue(path, 9e7)).oddities.length === 0;
      } catch {
        return false;
      }
    });
    expect(silent).toEqual([]);
  });
});

describe('versions', () => {
  test('a file two versions old goes through both steps in order', () => {
    const steps = {
      1: (f: Readonly<Loose>) => ({ ...f, a: 1 }),
      2: (f: Readonly<Loose>) => ({ ...f, b: (f['a'] as number) + 1 }),
    };
    expect(migrate({ dipcard: 1, title: 'x' }, steps, 3)).toEqual({ dipcard: 3, title: 'x', a: 1, b: 2 });
  });

  test('a file of a version that no step leads from is refused', () => {
    expect(() => migrate({ dipcard: 1 }, {}, 2)).toThrow(/dipcard/);
  });
});
