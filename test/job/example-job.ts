import type { JobFile } from '../../src/job/schema.ts';

/** A small job with a different number in every place; no vehicle of this kind exists. */
export function exampleJob(): JobFile {
  return {
    dipcard: 1,
    title: 'Example van',
    vehicle: {
      kind: 'van',
      trafficSide: 'left',
      wheelbase: 2410,
      lamps: [
        {
          id: 'left-dip',
          function: 'passing',
          side: 'left',
          centre: { right: '-54 cm', up: { value: '65 cm', u: 2 } },
          lowerEdge: 570,
          litHeight: '160 mm',
          litWidth: 158,
          handbook: { drop: '12 cm at 10 m', tolerance: 0.3, source: 'Handbook, page 41, 1971' },
          mechanics: {
            kind: 'supports',
            supports: [
              { kind: 'fixed', right: 0, up: 0 },
              { kind: 'screw', name: 'top', right: 0, up: 75, pitch: 0.8, clockwise: 'forward' },
              { kind: 'screw', name: 'side', right: '-3 in', up: 2, pitch: 0.7 },
            ],
          },
        },
        {
          id: 'right-dip',
          function: 'passing',
          side: 'right',
          centre: { right: 546, up: 655 },
          litHeight: 162,
        },
      ],
    },
    bay: {
      distance: { value: '7.62 m', u: 12 },
      method: {
        kind: 'floor',
        originAboveFoot: 410,
        footAboveTyrePlane: -20,
        axis: 'sighting',
        axisX: 35,
      },
    },
    board: {
      sheets: [
        { number: 1, at: { X: -700, Y: -150 } },
        { number: 2, at: { X: 720, Y: -160 }, turnDeg: 1, rulerMeasures: 99.5 },
      ],
      crosses: [
        { name: 'A', at: { X: -900, Y: 310 } },
        { name: 'B', at: { X: 910, Y: 330 } },
        { name: 'C', at: { X: 905, Y: -350 } },
        { name: 'D', at: { X: -880, Y: -340 } },
      ],
      extent: { left: -1000, right: '1.05 m', bottom: -400, top: 500 },
    },
    shots: [
      {
        id: 'left-1',
        lamp: 'left-dip',
        photos: ['photos/left-1.jpg'],
        taps: [
          { cross: 'A', x: 101, y: 202 },
          { cross: 'C', x: 3003, y: 2004 },
        ],
      },
      { id: 'right-1', lamp: 'right-dip', photos: ['photos/right-1.jpg'], distance: '5 m' },
    ],
    schemes: ['gb-inspection-car'],
  };
}
