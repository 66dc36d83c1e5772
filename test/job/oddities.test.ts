import { describe, expect, test } from 'vitest';
import { jobFromFile } from '../../src/job/load-job.ts';
import type { JobFile } from '../../src/job/schema.ts';
import { exampleJob } from './example-job.ts';

function questions(change: (file: JobFile) => void): string {
  const file = exampleJob();
  change(file);
  return jobFromFile(file).oddities.join('\n');
}

const plain = (file: JobFile, i: number) => file.vehicle.lamps[i]!;

describe('odd numbers are asked about, never mended', () => {
  test.each<[string, (file: JobFile) => void, RegExp]>([
    [
      'a height typed in cm',
      (f) => {
        plain(f, 1).centre = { right: 546, up: 66 };
      },
      /really 66 mm over the ground/,
    ],
    [
      'heights 40 mm apart',
      (f) => {
        plain(f, 1).centre = { right: 546, up: 690 };
      },
      /differ by 40 mm in height/,
    ],
    [
      'a left lamp on the right',
      (f) => {
        plain(f, 0).centre = { right: 540, up: 650 };
      },
      /a left lamp at 540 mm/,
    ],
    [
      'lamps not even about the middle',
      (f) => {
        plain(f, 1).centre = { right: 620, up: 655 };
      },
      /don't sit evenly/,
    ],
    [
      'a lower edge above the centre',
      (f) => {
        plain(f, 0).lowerEdge = 700;
      },
      /not below the centre/,
    ],
    [
      'a lower edge that does not fit the lit height',
      (f) => {
        plain(f, 0).lowerEdge = 500;
      },
      /don't fit together/,
    ],
    [
      'a lit height of 1.6 m',
      (f) => {
        plain(f, 0).litHeight = '1.6 m';
      },
      /lit height of 1600 mm/,
    ],
    [
      'a board 1.2 m away',
      (f) => {
        f.bay.distance = 1200;
      },
      /only 1200 mm away/,
    ],
    [
      'a board 76 m away',
      (f) => {
        f.bay.distance = '76 m';
      },
      /really 76000 mm/,
    ],
    [
      'two crosses in one place',
      (f) => {
        f.board.crosses![1]!.at = { X: -905, Y: 312 };
      },
      /cross A and cross B stand only 5 mm apart/,
    ],
    [
      'two sheets on each other',
      (f) => {
        f.board.sheets![1]!.at = { X: -650, Y: -150 };
      },
      /sheet 1 and sheet 2 stand only 50 mm/,
    ],
    [
      'a sheet printed to fit',
      (f) => {
        f.board.sheets![1]!.rulerMeasures = 94;
      },
      /Print at 100 %/,
    ],
    [
      'no marks',
      (f) => {
        f.board = {};
        delete f.shots![0]!.taps;
      },
      /needs printed sheets or at least four crosses/,
    ],
    [
      'a tape that disagrees',
      (f) => {
        f.board.checkDistance = { from: 'A', to: 'B', length: 1700 };
      },
      /1810 mm apart, the tape says 1700/,
    ],
    [
      'nothing to judge by',
      (f) => {
        f.schemes = [];
        delete plain(f, 0).handbook;
      },
      /nothing to judge by/,
    ],
    [
      'left-hand rules for a right-hand vehicle',
      (f) => {
        f.vehicle.trafficSide = 'right';
      },
      /for traffic on the left/,
    ],
    [
      'a rule for 25 ft and boards at 6 and 5 m',
      (f) => {
        f.bay.distance = '6 m';
        f.schemes = ['us-visual-aim'];
      },
      /counts on a board 7620 mm away/,
    ],
    [
      'a floor nobody measured',
      (f) => {
        f.bay.method = { kind: 'floor', originAboveFoot: 410, axis: 'none' };
      },
      /not measured against the tyres/,
    ],
    [
      'crosses on one line',
      (f) => {
        f.board.sheets = [];
        f.board.crosses = f.board.crosses!.map((c, i) => ({
          name: c.name,
          at: { X: 300 * i, Y: 20 + 3 * i },
        }));
        delete f.shots![0]!.taps;
      },
      /nearly on one line/,
    ],
    [
      'marks of the lamps swapped',
      (f) => {
        f.bay.method = {
          kind: 'nose-to-board',
          lampMarks: { 'left-dip': { X: 540, Y: 240 }, 'right-dip': { X: -546, Y: 280 } },
        };
      },
      /not left of that of/,
    ],
  ])('%s', (_, change, question) => {
    expect(questions(change)).toMatch(question);
  });
});
