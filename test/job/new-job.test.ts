import { describe, expect, test } from 'vitest';
import { jobFromFile } from '../../src/job/load-job.ts';
import { COUNTRIES, LAMP_SETS, type NewJobAnswers, newJob } from '../../src/job/new-job.ts';

const answers: NewJobAnswers = {
  vehicle: { kind: 'van', country: 'gb', title: 'Example van' },
  lamps: 'dipped-pair',
  place: { by: 'height', height: '65 cm', rightHeight: 655 },
  distance: '7.62 m',
  litSize: 165,
  marking: 'unknown',
};

describe('a job from six answers', () => {
  test('heights over the floor: lamps at 650 and 655 mm, 7.62 m away, judged by the GB inspection', () => {
    const job = jobFromFile(newJob(answers));
    expect(job.lamps.map((l) => [l.id, l.centreHeight?.mm, l.litHeight?.mm])).toEqual([
      ['left-dip', 650, 165],
      ['right-dip', 655, 165],
    ]);
    expect(job.schemes.map((s) => s.id)).toEqual(['gb-inspection-car']);
    expect(job.trafficSide).toBe('left');
    expect(job.shots.map((s) => s.photos)).toEqual([['photos/left-dip.jpg'], ['photos/right-dip.jpg']]);
    const view = job.shots[0]!.geometry.view(job.shots[0]!.geometry.inputs.map((i) => i.value));
    // Sheets hang 230 mm over the floor: 650 - 4 % of 7620 - 110, rounded down to 10; Y counts from there.
    expect(view.axisFoot.Y).toBeCloseTo(650 - 230, 9);
    expect(view.distanceMm).toBe(7620);
  });

  test('an inch tape: 26 1/2 is 673.1 mm, 25 ft is 7620 mm, and the file keeps the words', () => {
    const file = newJob({
      ...answers,
      vehicle: { kind: 'truck', country: 'us' },
      place: { by: 'height', height: '26 1/2' },
      distance: '25 ft',
      litSize: { height: 4, width: '6.5' },
      marking: 'VOL',
      bareUnit: 'in',
    });
    expect(file.bay.distance).toBe('25 ft');
    expect(file.vehicle.lamps[0]!.centre?.up).toBe('26 1/2 in');
    const job = jobFromFile(file);
    expect(job.lamps[0]!.centreHeight!.mm).toBeCloseTo(673.1, 6);
    expect(job.lamps[1]!.litHeight!.mm).toBeCloseTo(101.6, 6);
    expect(job.lamps[1]!.litWidth!.mm).toBeCloseTo(165.1, 6);
    expect(job.schemes.map((s) => s.id)).toEqual(['us-visual-aim']);
    expect([job.words, job.units]).toEqual(['us', 'in']);
  });

  test('nose to the board needs no lamp height, and says which mark is missing', () => {
    const marks = { 'left-dip': { X: -540, Y: 655 }, 'right-dip': { X: '54,5 cm', Y: 660 } };
    const job = jobFromFile(newJob({ ...answers, place: { by: 'nose-to-board', marks } }));
    const view = job.shots[1]!.geometry.view(job.shots[1]!.geometry.inputs.map((i) => i.value));
    expect(view.axisFoot).toEqual({ X: 545, Y: 660 });
    expect(() =>
      newJob({ ...answers, place: { by: 'nose-to-board', marks: { 'left-dip': marks['left-dip'] } } }),
    ).toThrow(/marks\.right-dip/);
  });

  test.each(Object.keys(COUNTRIES) as (keyof typeof COUNTRIES)[])(
    '%s gives a scheme that fits its traffic',
    (country) => {
      for (const kind of ['car', 'motorcycle'] as const) {
        for (const lamps of Object.keys(LAMP_SETS) as (keyof typeof LAMP_SETS)[]) {
          const job = jobFromFile(newJob({ ...answers, vehicle: { kind, country }, lamps }));
          expect(job.schemes.length).toBeGreaterThan(0);
          expect(job.oddities.filter((o) => o.includes('is for traffic'))).toEqual([]);
        }
      }
    },
  );

  test('a wrong answer is named', () => {
    expect(() => newJob({ ...answers, distance: 'far' })).toThrow(/^distance: expected a length/);
    expect(() => newJob({ ...answers, place: { by: 'height', height: '1,200' } })).toThrow(/^height:/);
  });

  test("a board plan's sheets stand where the plan puts them", () => {
    const file = newJob({ ...answers, sheets: [{ number: 4, X: -820, Y: 240 }] });
    expect(file.board.sheets).toEqual([{ number: 4, at: { X: -820, Y: 240 } }]);
    expect(file.bay.method).toMatchObject({ kind: 'floor', originAboveFoot: 0 });
  });
});
