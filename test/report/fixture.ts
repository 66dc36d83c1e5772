/**
 * A hand-made job and result for the tests of the report: an invented van, 4.9 m from its board, seen obliquely.
 * Every number differs from every other, so that a swapped pair shows.
 */
import type { TurnsAdvice } from '../../src/core/adjusters/lamp-mechanics.ts';
import type { CutOffFinding, EdgePoint, HotSpotFinding } from '../../src/core/beam/finding.ts';
import type { MatchedPoint, Registration } from '../../src/core/board-view.ts';
import type { Tangent } from '../../src/core/frames.ts';
import { photoPointOf } from '../../src/core/geometry/board-projection.ts';
import type { LampView } from '../../src/core/lamp-view.ts';
import type { PhotoFacts } from '../../src/core/raster.ts';
import type { Scheme } from '../../src/core/rules/scheme.ts';
import type { Estimate } from '../../src/core/uncertainty/estimate.ts';
import type { Job, JobLamp } from '../../src/job/job.ts';
import type { JobResult, ReadShot, UnreadShot } from '../../src/job/result.ts';
import { jobSchema } from '../../src/job/schema.ts';

export const PHOTO = { width: 4000, height: 3000 };

/** Board mm to photo px for a camera at (right 380, up 1500), 6.1 m back, turned a little to the left and down. */
const FOCAL_PX = 5200;
const CAMERA = { X: 380, Y: 1500, back: 6100 };
const LOOK = { X: -150, Y: 480 };

function homography(): number[] {
  const f = [LOOK.X - CAMERA.X, LOOK.Y - CAMERA.Y, CAMERA.back];
  const n = Math.hypot(...f);
  const [fx, fy, fz] = f.map((c) => c / n) as [number, number, number];
  const r = Math.hypot(fz, fx);
  const right = [fz / r, 0, -fx / r] as const;
  const down = [fy * right[2] - 0, fz * right[0] - fx * right[2], -fy * right[0]] as const;
  // down = forward x right, pointing to smaller Y; the depth axis of the board frame is away from the camera.
  const sign = down[1] < 0 ? 1 : -1;
  const d = down.map((c) => sign * c) as [number, number, number];
  const row = (a: readonly number[]): number[] => [
    a[0]!,
    a[1]!,
    -a[0]! * CAMERA.X - a[1]! * CAMERA.Y + a[2]! * CAMERA.back,
  ];
  const depth = row([fx, fy, fz]);
  const x = row(right).map((c, i) => FOCAL_PX * c + (PHOTO.width / 2) * depth[i]!);
  const y = row(d).map((c, i) => FOCAL_PX * c + (PHOTO.height / 2) * depth[i]!);
  return [...x, ...y, ...depth];
}

export const BOARD_VIEW = {
  homography: homography(),
  radial: { k1: -0.03, cx: 2000, cy: 1500, scalePx: 2500 },
};

const MARKS = [
  { n: 3, X: -1180, Y: 250 },
  { n: 7, X: -420, Y: 190 },
  { n: 12, X: 330, Y: 225 },
  { n: 18, X: 905, Y: 1010 },
];

function points(): MatchedPoint[] {
  return MARKS.flatMap(({ n, X, Y }) =>
    [
      [-60, -60],
      [60, -60],
      [60, 60],
      [-60, 60],
    ].map(([dx, dy], k) => {
      const board = { X: X + dx!, Y: Y + dy! };
      return {
        name: `mark ${n} corner ${k + 1}`,
        board,
        photo: photoPointOf(BOARD_VIEW, board),
        residualMm: 0.2 + 0.1 * k,
        used: !(n === 12 && k === 2),
      };
    }),
  );
}

export const REGISTRATION: Registration = {
  found: true,
  view: BOARD_VIEW,
  points: points(),
  rmsMm: 0.43,
  check: 'checked',
  foundVar: { centre: { X: -90, Y: 420 }, xVarMm2: [0.1, 0, 0], yVarMm2: [0.12, 0, 0] },
  placedVar: { centre: { X: -90, Y: 420 }, xVarMm2: [0.8, 0, 0], yVarMm2: [0.9, 0, 0] },
  printedAreas: [],
  warnings: [],
};

export const FACTS: PhotoFacts = {
  format: 'jpeg',
  width: PHOTO.width,
  height: PHOTO.height,
  bitDepth: 8,
  orientation: 1,
  colourSpace: 'srgb',
  exposureS: 1 / 15,
  fNumber: 1.8,
  iso: 100,
  focalLengthMm: 6.8,
  focal35Mm: 26,
  takenAt: '2026-03-14T20:41:07',
  flashFired: false,
};

const viewOf = (X: number, Y: number): LampView => ({
  axisFoot: { X, Y },
  distanceMm: 4900,
  outOfPlumbDeg: 0.6,
  yawDeg: -0.4,
  rollDeg: 0.2,
});

function edge(drop: number, elbow: number, rise: number): { edge: EdgePoint[]; line: Tangent[] } {
  const v = (u: number): number =>
    -drop / 100 + Math.max(0, rise * (u - elbow / 100)) * Math.tan(Math.PI / 12);
  const pts: EdgePoint[] = [];
  for (let i = 0; i <= 70; i++) {
    const u = -0.13 + (0.26 * i) / 70;
    const wobble = 0.0006 * Math.sin(i * 2.3);
    const used = i % 11 !== 5;
    pts.push({ u, v: v(u) + (used ? wobble : 0.006), uV: 0.0004, used });
  }
  const ends = [-0.14, elbow / 100, 0.14];
  return { edge: pts, line: ends.map((u) => ({ u, v: v(u) })) };
}

const est = (value: number, parts: Estimate['parts']): Estimate => ({ value, parts });

function cutOff(drop: number, elbow: number): CutOffFinding {
  return {
    found: 'cut-off',
    kind: 'rise',
    riseSide: 'left',
    dropPct: est(drop, { 'noise@a': 0.01 }),
    dropAtOffsetPct: elbow + 4.37,
    tiltDeg: est(0.31, { 'noise@a': 0.05 }),
    elbow: {
      found: true,
      offsetPct: est(elbow, { 'noise@a': 0.06 }),
      dropPct: est(drop, { 'noise@a': 0.02 }),
    },
    sharpnessG: 0.19,
    linearitySpreadDeg: 0.06,
    hotSpot: {
      dropPct: est(drop + 1.1, { 'noise@a': 0.03 }),
      offsetPct: est(elbow - 1.6, { 'noise@a': 0.04 }),
      clippedShare: 0.12,
    },
    glareShare: 0.011,
    ...edge(drop, elbow, -1),
    twoWays: null,
    far: null,
    signs: [],
  };
}

export const INSPECTION: Scheme = {
  id: 'gb-inspection-car',
  title: 'GB periodic inspection, cars',
  region: 'gb',
  words: 'gb',
  trafficSide: 'left',
  rows: [
    {
      id: 'MOT-1',
      lamp: 'passing',
      feature: 'flat-part',
      place: { kind: 'far' },
      heightReference: 'centre',
      height: { overMm: 0, overInclusive: true, upToMm: 850, upToInclusive: true },
      loadState: 'driver or 75 kg in the seat',
      vertical: { minPct: 0.5, maxPct: 2.75 },
      aimPct: 1.3,
      lateral: null,
      lateralAimPct: null,
      source: {
        what: 'Periodic inspection manual for cars, 4.1.2',
        edition: 'as quoted 23 Mar 2022',
        seen: 'seen-second-hand',
        where: null,
      },
      note: null,
    },
    {
      id: 'MOT-5',
      lamp: 'driving',
      feature: 'hot-spot-centre',
      place: { kind: 'far' },
      heightReference: 'centre',
      height: { overMm: 0, overInclusive: true, upToMm: 850, upToInclusive: true },
      loadState: 'driver or 75 kg in the seat',
      vertical: { minPct: 0, maxPct: 2 },
      aimPct: null,
      lateral: { minPct: -2, maxPct: 0 },
      lateralAimPct: null,
      source: {
        what: 'Periodic inspection manual for cars, 4.1.2',
        edition: 'as quoted 23 Mar 2022',
        seen: 'memory',
        where: null,
      },
      note: null,
    },
  ],
};

export const R48: Scheme = {
  id: 'un-r48',
  title: 'UN Regulation 48',
  region: 'eu',
  words: 'gb',
  trafficSide: 'either',
  rows: [
    {
      ...INSPECTION.rows[0]!,
      id: 'R48-A1',
      heightReference: 'lower-edge',
      vertical: { minPct: 1, maxPct: 1.5 },
      aimPct: 1.25,
      source: { what: 'UN Regulation 48, 6.2.6.1', edition: '03 to 08 series', seen: 'memory', where: null },
    },
  ],
};

const TURN: TurnsAdvice = {
  kind: 'turn',
  steps: [
    {
      screw: 'top screw',
      drivenFrom: 'front',
      direction: 'clockwise',
      eighths: 11,
      exactTurns: 1.36,
      effect: { dropPct: 0.71, offsetPct: 0.02 },
    },
    {
      screw: 'side screw',
      drivenFrom: 'rear',
      direction: 'anticlockwise',
      eighths: 3,
      exactTurns: -0.41,
      effect: { dropPct: -0.03, offsetPct: 0.24 },
    },
  ],
  expected: { dropPct: 1.31, offsetPct: -0.14, uDropPct: 0.17, uOffsetPct: 0.12 },
  notes: ['Finish each screw by driving it in, against the spring, so that slack is taken up.'],
};

const leftBeam = cutOff(0.62, -0.4);
export const LEFT: ReadShot = {
  state: 'read',
  shot: 'left-dip',
  lamp: 'left',
  facts: FACTS,
  registration: REGISTRATION,
  view: viewOf(-565, 668),
  beam: leftBeam,
  dropPct: est(0.62, {
    'noise@left-dip': 0.011,
    floor: 0.1,
    'lamp-height@left': 0.06,
    'filling@left': 0.02,
    tone: -0.03,
  }),
  offsetPct: est(-0.4, { 'vehicle-axis': 0.09, 'noise@left-dip': 0.06 }),
  hotSpot: { dropPct: est(1.72, { floor: 0.1, tone: 0.05 }), offsetPct: est(-2, { 'vehicle-axis': 0.09 }) },
  tiltDeg: est(0.31, { 'cross-fall': 0.16 }),
  farShiftPct: { min: 0.12, max: 0.94 },
  verdicts: [
    {
      scheme: 'gb-inspection-car',
      verdict: {
        kind: 'too-close',
        row: 'MOT-1',
        probability: 0.84,
        nearest: 'too-high',
        settledBy: 'a second photo with the board moved back to 7.5 m',
        figureChecked: true,
      },
    },
    {
      scheme: 'un-r48',
      verdict: { kind: 'over', row: 'R48-A1', how: 'too-high', probability: 0.97, figureChecked: false },
    },
  ],
  target: { aboveCentreMm: -51, halfWidthMm: 9, rightOfCentreMm: -7, moveMm: -21 },
  turns: TURN,
  warnings: ['The flash fired or a room light was on: the dark part is not quite dark.'],
};

const rightBeam = cutOff(1.37, 0.55);
export const RIGHT: ReadShot = {
  ...LEFT,
  shot: 'right-dip',
  lamp: 'right',
  view: viewOf(571, 672),
  beam: rightBeam,
  dropPct: est(1.37, {
    'noise@right-dip': 0.013,
    floor: 0.1,
    'lamp-height@right': 0.07,
    'filling@right': 0.02,
    tone: -0.03,
  }),
  offsetPct: est(0.55, { 'vehicle-axis': 0.09, 'noise@right-dip': 0.07 }),
  hotSpot: { dropPct: est(2.47, { floor: 0.1 }), offsetPct: est(-1.05, { 'vehicle-axis': 0.09 }) },
  tiltDeg: est(-0.22, { 'cross-fall': 0.16 }),
  farShiftPct: { min: 0.11, max: 0.9 },
  verdicts: [
    {
      scheme: 'gb-inspection-car',
      verdict: { kind: 'within', row: 'MOT-1', probability: 0.996, figureChecked: true },
    },
    {
      scheme: 'un-r48',
      verdict: {
        kind: 'too-close',
        row: 'R48-A1',
        probability: 0.34,
        nearest: 'too-low',
        settledBy: 'measuring the floor with a water level',
        figureChecked: false,
      },
    },
  ],
  target: { aboveCentreMm: -53, halfWidthMm: 9, rightOfCentreMm: 4, moveMm: 14 },
  turns: { kind: 'leave', why: 'It is within; a turn smaller than an eighth would be lost in the slack.' },
  warnings: [],
};

const mainBeam: HotSpotFinding = {
  found: 'hot-spot',
  hotSpot: {
    dropPct: est(0.86, { 'noise@left-main': 0.03 }),
    offsetPct: est(-0.71, { 'noise@left-main': 0.04 }),
    clippedShare: 0,
  },
  topEdgeDropPct: null,
  leftEdgeOffsetPct: null,
  whyNoCutOff: 'a main beam has none',
  signs: [],
};

export const MAIN: ReadShot = {
  ...LEFT,
  shot: 'left-main',
  lamp: 'left-main',
  view: viewOf(-402, 655),
  beam: mainBeam,
  dropPct: null,
  offsetPct: null,
  hotSpot: {
    dropPct: est(0.86, { floor: 0.1, 'lamp-height@left-main': 0.08 }),
    offsetPct: est(-0.71, { 'vehicle-axis': 0.09 }),
  },
  tiltDeg: null,
  farShiftPct: { min: 0, max: 0 },
  verdicts: [
    {
      scheme: 'gb-inspection-car',
      verdict: { kind: 'within', row: 'MOT-5', probability: 0.99, figureChecked: false },
    },
  ],
  target: null,
  turns: null,
  warnings: [],
};

export const UNREAD: UnreadShot = {
  state: 'unread',
  shot: 'right-main',
  lamp: 'right-main',
  stage: 'marks',
  why: 'too-few-marks',
  detail: 'Only one mark was found; at least three are needed.',
  advice: 'Step to the side so that the tripod shades no mark, and take a photo with the room light on.',
  facts: FACTS,
  registration: null,
};

const lamp = (
  id: string,
  title: string,
  fn: JobLamp['function'],
  side: JobLamp['side'],
  up: number,
): JobLamp => ({
  id,
  title,
  function: fn,
  side,
  centreHeight: { mm: up, uMm: 2 },
  lowerEdge: null,
  litHeight: { mm: 170, uMm: 3 },
  litWidth: { mm: 171, uMm: 3 },
  filling: 'unknown',
  marking: 'arrow-left',
  handbook: null,
  mechanics: null,
});

const file = jobSchema.parse({
  dipcard: 1,
  title: 'Marigold, market van',
  rendered: true,
  vehicle: {
    kind: 'van',
    trafficSide: 'left',
    lamps: [
      { id: 'left', function: 'passing', side: 'left' },
      { id: 'right', function: 'passing', side: 'right' },
      { id: 'left-main', function: 'driving', side: 'left' },
      { id: 'right-main', function: 'driving', side: 'right' },
    ],
  },
  bay: {
    distance: 4900,
    method: { kind: 'floor', originAboveFoot: 0, axis: 'sighting', axisX: 3 },
  },
  board: {},
  schemes: ['gb-inspection-car', 'un-r48'],
});

export const JOB: Job = {
  file,
  title: file.title,
  rendered: true,
  trafficSide: 'left',
  vehicleKind: 'van',
  lamps: [
    lamp('left', 'Left dipped beam', 'passing', 'left', 650),
    lamp('right', 'Right dipped beam', 'passing', 'right', 654),
    lamp('left-main', 'Left main beam', 'driving', 'left', 641),
    lamp('right-main', 'Right main beam', 'driving', 'right', 643),
  ],
  board: { sheets: [], crosses: [], levelLine: [], checkDistance: null, extent: null, surface: 'matt' },
  shots: [],
  schemes: [INSPECTION, R48],
  words: 'gb',
  units: 'mm',
  oddities: [],
};

export const RESULT: JobResult = {
  title: JOB.title,
  rendered: true,
  shots: [LEFT, RIGHT, MAIN, UNREAD],
  pairs: [
    {
      left: 'left-dip',
      right: 'right-dip',
      dropDifferencePct: est(-0.75, { 'noise@left-dip': 0.011, 'lamp-height@left': 0.06 }),
      offsetDifferencePct: est(-0.95, { 'noise@left-dip': 0.06 }),
      remarks: ['The left beam is higher than the right one.'],
    },
  ],
  warnings: ['The distance was typed as 4900 mm for both lamps.'],
};
