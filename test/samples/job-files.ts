import { JOB_VERSION, type JobFile } from '../../src/job/schema.ts';
import { TYPED } from './world.ts';

type FileLamp = JobFile['vehicle']['lamps'][number];

/** Fluted round lenses of the seven-inch class; lit part taped across the glass. */
const ROUND = { litHeight: 165, litWidth: 165, marking: 'unknown' } as const;

const LEFT_DIP: FileLamp = {
  id: 'left-dip',
  title: 'left dipped beam',
  function: 'passing',
  side: 'left',
  centre: { right: -520, up: 703 },
  ...ROUND,
  // Places from the ball that the bowl swings on, low and towards the middle of the van; M5 screws, one tried before.
  mechanics: {
    kind: 'supports',
    supports: [
      { kind: 'fixed', right: 0, up: 0 },
      { kind: 'screw', name: 'top screw', right: -58, up: 132, pitch: 0.8, clockwise: 'back' },
      { kind: 'screw', name: 'outer screw', right: -131, up: 57, pitch: 0.8, clockwise: 'back' },
      { kind: 'spring', right: -62, up: 61 },
    ],
  },
};

const RIGHT_DIP: FileLamp = {
  id: 'right-dip',
  title: 'right dipped beam',
  function: 'passing',
  side: 'right',
  centre: { right: 520, up: 711 },
  ...ROUND,
  // Places taped through the rim; nobody has turned these screws yet.
  mechanics: {
    kind: 'supports',
    supports: [
      { kind: 'fixed', right: 0, up: 0 },
      { kind: 'screw', name: 'top screw', right: 56, up: 133 },
      { kind: 'screw', name: 'outer screw', right: 132, up: 55 },
      { kind: 'spring', right: 60, up: 63 },
    ],
  },
};

/** The other filament of the left bowl: no screws of its own, so none are listed. */
const LEFT_MAIN: FileLamp = {
  id: 'left-main',
  title: 'left main beam',
  function: 'driving',
  side: 'left',
  centre: { right: -520, up: 703 },
  ...ROUND,
};

const VEHICLE = {
  kind: 'van',
  firstUsed: '1974',
  trafficSide: 'left',
  wheelbase: 2280,
  width: 1630,
} as const;
const LEFT_MARK = { ...TYPED.marks.left };
const SCHEMES = ['gb-inspection-car', 'gb-lighting-default'];

/** The job of the sheets. Every number is as a tape would give it; none is exactly right. */
export function marigoldJob(): JobFile {
  return {
    dipcard: JOB_VERSION,
    title: 'Marigold, market van of the village workshop',
    rendered: true,
    vehicle: { ...VEHICLE, lamps: [LEFT_DIP, RIGHT_DIP, LEFT_MAIN] },
    bay: {
      distance: TYPED.distance,
      method: {
        kind: 'nose-to-board',
        lampMarks: { 'left-dip': LEFT_MARK, 'right-dip': { ...TYPED.marks.right }, 'left-main': LEFT_MARK },
      },
    },
    board: {
      sheets: TYPED.sheets.map(({ number, X, Y }) => ({
        number,
        at: { X, Y },
        rulerMeasures: TYPED.ruler,
      })),
      surface: 'matt',
      extent: { ...TYPED.board },
    },
    shots: [
      {
        id: 'left-dipped',
        lamp: 'left-dip',
        photos: ['left-dipped.jpg'],
        takenAt: '2026-01-17T17:21:40',
        note: 'Other lamp shaded by a panel on a trestle, clear of the glass.',
      },
      {
        id: 'right-dipped',
        lamp: 'right-dip',
        photos: ['right-dipped.jpg'],
        takenAt: '2026-01-17T17:34:05',
      },
      {
        id: 'left-main',
        lamp: 'left-main',
        photos: ['left-main.jpg'],
        takenAt: '2026-01-17T17:26:12',
        note: 'Same bowl as the dipped beam: its screws move both.',
      },
      {
        id: 'left-bracket',
        lamp: 'left-dip',
        photos: ['left-dipped-dark.jpg', 'left-dipped-middle.jpg', 'left-dipped-bright.jpg'],
        takenAt: '2026-01-17T17:23:01',
      },
      {
        id: 'left-rehung',
        lamp: 'left-dip',
        photos: ['left-sheets-swapped.jpg'],
        takenAt: '2026-01-18T17:30:55',
        note: 'The wind took two sheets down; hung up again by torchlight.',
      },
    ],
    schemes: SCHEMES,
  };
}

/** A week earlier, before the sheets were printed: the same board with taped crosses only. */
export function crossesJob(
  taps: readonly { readonly cross: string; readonly x: number; readonly y: number }[],
): JobFile {
  return {
    dipcard: JOB_VERSION,
    title: 'Marigold, left lamp on a board with taped crosses',
    rendered: true,
    vehicle: { ...VEHICLE, lamps: [LEFT_DIP] },
    bay: {
      distance: TYPED.distance,
      method: { kind: 'nose-to-board', lampMarks: { 'left-dip': LEFT_MARK } },
    },
    board: {
      crosses: TYPED.crosses.map(({ name, X, Y }) => ({ name, at: { X, Y } })),
      surface: 'matt',
      extent: { ...TYPED.board },
    },
    shots: [
      {
        id: 'left-crosses',
        lamp: 'left-dip',
        photos: ['left-crosses.jpg'],
        taps: [...taps],
        takenAt: '2026-01-10T16:58:31',
      },
    ],
    schemes: SCHEMES,
  };
}
