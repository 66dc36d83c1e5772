import { describe, expect, test } from 'vitest';
import { jobFromFile } from '../../src/job/load-job.ts';
import { unitSlip } from '../../src/job/oddity-units.ts';
import type { JobFile } from '../../src/job/schema.ts';
import { exampleJob } from './example-job.ts';

function questions(change: (file: JobFile) => void): string {
  const file = exampleJob();
  change(file);
  return jobFromFile(file).oddities.join('\n');
}

const lamp = (file: JobFile, i: number) => file.vehicle.lamps[i]!;
/** The level line 480 mm over the front contact; a van on nearly level ground. */
const datum = (file: JobFile, over: Record<string, unknown>): void => {
  file.bay.method = {
    kind: 'level-datum',
    wheelbase: 2410,
    frontContact: -480,
    rearContact: -471,
    boardOrigin: -60,
    axis: 'sighting',
    axisX: 35,
    ...over,
  };
};
const nose = (file: JobFile, leftX: number, rightX: number): void => {
  file.bay.method = {
    kind: 'nose-to-board',
    lampMarks: { 'left-dip': { X: leftX, Y: 240 }, 'right-dip': { X: rightX, Y: 245 } },
  };
};

/** A number that asks, one that just does not, and the question. */
type Case = readonly [string, (file: JobFile) => void, (file: JobFile) => void, RegExp];

describe('each check asks at its limit and is silent just inside', () => {
  test.each<Case>([
    [
      'lamp heights left and right: 16 mm asks, 15 does not',
      (f) => {
        lamp(f, 1).centre = { right: 546, up: 666 };
      },
      (f) => {
        lamp(f, 1).centre = { right: 546, up: 665 };
      },
      /differ by 16 mm in height/,
    ],
    [
      'a centre 299 mm up asks, 300 does not',
      (f) => {
        lamp(f, 1).centre = { right: 546, up: 299 };
      },
      (f) => {
        lamp(f, 1).centre = { right: 546, up: 300 };
      },
      /really 299 mm over the ground/,
    ],
    [
      'a lower edge at the centre asks, 1 mm below is only far from half the lit height',
      (f) => {
        lamp(f, 0).lowerEdge = 650;
      },
      (f) => {
        lamp(f, 0).lowerEdge = 649;
      },
      /not below the centre/,
    ],
    [
      'a lower edge 41 mm from where the lit height puts it asks, 40 does not',
      (f) => {
        lamp(f, 0).lowerEdge = 529;
      },
      (f) => {
        lamp(f, 0).lowerEdge = 530;
      },
      /don't fit together/,
    ],
    [
      'lit heights 16 mm apart ask, 15 do not',
      (f) => {
        lamp(f, 1).litHeight = 176;
      },
      (f) => {
        lamp(f, 1).litHeight = 175;
      },
      /differ by 16 mm in lit height/,
    ],
    [
      'a bowl lit over 69 mm asks, 70 does not',
      (f) => {
        lamp(f, 1).filling = 'centre-weighted';
        lamp(f, 1).litHeight = 69;
      },
      (f) => {
        lamp(f, 1).filling = 'centre-weighted';
        lamp(f, 1).litHeight = 70;
      },
      /a bowl lit over 69 mm/,
    ],
    [
      'a lens lit over 131 mm asks, 130 does not',
      (f) => {
        lamp(f, 1).filling = 'lens';
        lamp(f, 1).litHeight = 131;
      },
      (f) => {
        lamp(f, 1).filling = 'lens';
        lamp(f, 1).litHeight = 130;
      },
      /a lens lit over 131 mm/,
    ],
    [
      'lit height that reaches the ground: 380 mm about 189 asks, about 190 does not',
      (f) => {
        lamp(f, 1).litHeight = 380;
        lamp(f, 1).centre = { right: 546, up: 189 };
      },
      (f) => {
        lamp(f, 1).litHeight = 380;
        lamp(f, 1).centre = { right: 546, up: 190 };
      },
      /reach into the ground/,
    ],
    [
      'lamps 31 mm from even about the middle ask, 30 do not',
      (f) => {
        lamp(f, 1).centre = { right: 571, up: 655 };
      },
      (f) => {
        lamp(f, 1).centre = { right: 570, up: 655 };
      },
      /don't sit evenly/,
    ],
    [
      'a centre lamp 61 mm off the middle asks, 60 does not',
      (f) => {
        lamp(f, 1).side = 'centre';
        lamp(f, 1).centre = { right: 61, up: 655 };
      },
      (f) => {
        lamp(f, 1).side = 'centre';
        lamp(f, 1).centre = { right: 60, up: 655 };
      },
      /a centre lamp 61 mm off the middle/,
    ],
    [
      'a lamp 99 mm from the middle asks for the unit, 100 does not',
      (f) => {
        lamp(f, 1).centre = { right: 99, up: 655 };
      },
      (f) => {
        lamp(f, 1).centre = { right: 100, up: 655 };
      },
      /only 99 mm from the middle/,
    ],
    [
      'a lamp outside the vehicle: 801 mm of 1600 wide asks, 800 does not',
      (f) => {
        f.vehicle.width = 1600;
        lamp(f, 1).centre = { right: 801, up: 655 };
      },
      (f) => {
        f.vehicle.width = 1600;
        lamp(f, 1).centre = { right: 800, up: 655 };
      },
      /801 mm from the middle is outside/,
    ],
    [
      "a van's wheelbase of 1699 mm asks, 1700 does not",
      (f) => {
        f.vehicle.wheelbase = 1699;
      },
      (f) => {
        f.vehicle.wheelbase = 1700;
      },
      /wheelbase of 1699 mm/,
    ],
    [
      'a width of 2601 mm asks, 2600 does not',
      (f) => {
        f.vehicle.width = 2601;
      },
      (f) => {
        f.vehicle.width = 2600;
      },
      /width of 2601 mm/,
    ],
    [
      'a board 2499 mm away asks, 2500 does not',
      (f) => {
        f.bay.distance = 2499;
      },
      (f) => {
        f.bay.distance = 2500;
      },
      /only 2499 mm away/,
    ],
    [
      'a board 30.1 m away asks, 30 m does not',
      (f) => {
        f.bay.distance = '30.1 m';
      },
      (f) => {
        f.bay.distance = '30 m';
      },
      /really 30100 mm away/,
    ],
    [
      'lamps 401 mm apart along the vehicle ask, 400 do not',
      (f) => {
        f.bay.distances = { 'left-dip': 7401, 'right-dip': 7000 };
      },
      (f) => {
        f.bay.distances = { 'left-dip': 7400, 'right-dip': 7000 };
      },
      /left-dip is 401 mm further/,
    ],
    [
      'two distances 14 % apart are hardly two, 15 % are',
      (f) => {
        f.shots = [
          { id: 'near', lamp: 'right-dip', photos: ['a.jpg'], distance: 6881 },
          { id: 'far', lamp: 'right-dip', photos: ['b.jpg'], distance: 8000 },
        ];
      },
      (f) => {
        f.shots = [
          { id: 'near', lamp: 'right-dip', photos: ['a.jpg'], distance: 6800 },
          { id: 'far', lamp: 'right-dip', photos: ['b.jpg'], distance: 8000 },
        ];
      },
      /hardly two distances/,
    ],
    [
      "the board's foot 382 mm below the tyres at 7.62 m asks (5 %), 381 does not",
      (f) => {
        if (f.bay.method.kind === 'floor') f.bay.method.footAboveTyrePlane = -382;
      },
      (f) => {
        if (f.bay.method.kind === 'floor') f.bay.method.footAboveTyrePlane = -381;
      },
      /foot 382 mm below the plane of the tyres/,
    ],
    [
      "the board's zero 2501 mm over its foot asks, 2500 does not",
      (f) => {
        if (f.bay.method.kind === 'floor') f.bay.method.originAboveFoot = 2501;
      },
      (f) => {
        if (f.bay.method.kind === 'floor') f.bay.method.originAboveFoot = 2500;
      },
      /zero is put 2501 mm above its foot/,
    ],
    [
      'both contacts 51 mm above the line ask for the sign, 50 do not',
      (f) => datum(f, { frontContact: 51, rearContact: 53, boardOrigin: 400 }),
      (f) => datum(f, { frontContact: 50, rearContact: 50, boardOrigin: 400 }),
      /Both tyre contacts stand above the level line/,
    ],
    [
      'one contact +51 and one -60 ask for a lost sign, +50 does not',
      (f) => datum(f, { frontContact: -60, rearContact: 51 }),
      (f) => datum(f, { frontContact: -60, rearContact: 50 }),
      /Has one lost its sign/,
    ],
    [
      "the board's zero 301 mm under the ground asks, 300 does not",
      (f) => datum(f, { boardOrigin: -781 }),
      (f) => datum(f, { boardOrigin: -780 }),
      /zero lies 301 mm below the ground/,
    ],
    [
      'the ground 5.02 % steep asks, 4.98 % does not',
      (f) => datum(f, { rearContact: -601 }),
      (f) => datum(f, { rearContact: -600 }),
      /slopes by 5\.0 %/,
    ],
    [
      'a lamp centre with the wrong sign, 199 mm over the ground, asks; 200 does not',
      (f) => datum(f, { lampCentres: { 'left-dip': -281 } }),
      (f) => datum(f, { lampCentres: { 'left-dip': -280 } }),
      /199 mm above the ground at the front tyres/,
    ],
    [
      'a lamp 41 mm higher by the line than by the tape asks, 40 does not',
      (f) => datum(f, { lampCentres: { 'left-dip': 211 } }),
      (f) => datum(f, { lampCentres: { 'left-dip': 210 } }),
      /691 mm over the ground by the level line, 650 mm by the tape/,
    ],
    [
      'lamp marks in one column ask for left and right, 1 mm apart they ask for the lamps instead',
      (f) => nose(f, 10, 10),
      (f) => nose(f, 9, 10),
      /not left of that of/,
    ],
    [
      "a sheet's cross 1 mm off the board asks, on its rim it does not",
      (f) => {
        f.board.sheets![1]!.at = { X: 1051, Y: -160 };
      },
      (f) => {
        f.board.sheets![1]!.at = { X: 1050, Y: -160 };
      },
      /Sheet 2: its centre cross lies outside/,
    ],
    [
      'a board 6001 mm wide asks, 6000 does not',
      (f) => {
        f.board.extent = { left: -1000, right: 5001, bottom: -400, top: 500 };
      },
      (f) => {
        f.board.extent = { left: -1000, right: 5000, bottom: -400, top: 500 };
      },
      /A board 6001 mm wide/,
    ],
    [
      'marks 41 mm further apart than the lamps (1086 mm) ask, 40 do not',
      (f) => nose(f, -564, 563),
      (f) => nose(f, -563, 563),
      /are 1127 mm apart, the lamps 1086 mm/,
    ],
  ])('%s', (_, asks, silent, question) => {
    expect(questions(asks)).toMatch(question);
    expect(questions(silent)).not.toMatch(question);
  });
});

describe('a figure in the wrong unit is asked about with the unit that fits', () => {
  test.each<readonly [string, (file: JobFile) => void, RegExp]>([
    [
      '65 for 650 mm',
      (f) => {
        lamp(f, 1).centre = { right: 546, up: 65 };
      },
      /Perhaps 65 cm\?/,
    ],
    [
      '26 for 26 in',
      (f) => {
        lamp(f, 1).centre = { right: 546, up: 26 };
      },
      /really 26 mm over the ground.*Perhaps 26 in\?/,
    ],
    [
      '6500 for 650',
      (f) => {
        lamp(f, 1).centre = { right: 546, up: 6500 };
      },
      /Perhaps 650 mm, typed with cm/,
    ],
    [
      'a lit height of 7 for 7 in',
      (f) => {
        lamp(f, 1).litHeight = 7;
      },
      /Perhaps 7 cm or 7 in\?/,
    ],
    [
      'a wheelbase of 241 for 2410',
      (f) => {
        f.vehicle.wheelbase = 241;
      },
      /Perhaps 241 cm\?/,
    ],
    [
      'a wheelbase of 95 for 95 in',
      (f) => {
        f.vehicle.wheelbase = 95;
      },
      /Perhaps 95 in\?/,
    ],
    [
      'a width of 62 for 62 in',
      (f) => {
        f.vehicle.width = 62;
      },
      /Perhaps 62 in\?/,
    ],
    [
      'a board at "76.2 m" for 7.62',
      (f) => {
        f.bay.distance = '76.2 m';
      },
      /Perhaps 7620 mm, typed with cm/,
    ],
    [
      'a board of 205 by 90 for cm',
      (f) => {
        f.board.extent = { left: -100, right: 105, bottom: -40, top: 50 };
      },
      /A board 205 mm wide\? .*Perhaps 205 cm[\s\S]*A board 90 mm high\?/,
    ],
    [
      'a lamp 54 for 54 cm from the middle',
      (f) => {
        lamp(f, 1).centre = { right: 54, up: 655 };
      },
      /Perhaps 54 cm\?/,
    ],
  ])('%s', (_, change, question) => {
    expect(questions(change)).toMatch(question);
  });

  test('a figure in its range, or one that no unit saves, suggests nothing', () => {
    expect(unitSlip(650, { from: 300, to: 1500 })).toBe('');
    expect(unitSlip(0.01, { from: 300, to: 1500 })).toBe('');
  });
});

test('the example job, with every number in its place, raises no question of these', () => {
  expect(questions(() => {})).toBe('');
});
