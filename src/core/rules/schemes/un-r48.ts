import type { Band, Scheme, SchemeRow, SchemeSource } from '../scheme.ts';
import { above, aboveUpTo, band, below, between, FAR } from './row-parts.ts';

/**
 * UN Regulation 48, 03 to 08 series, 6.2.6.1: dipped-beam inclination by the height of the lower edge of the apparent
 * surface, vehicle unladen. The text prints downward inclination as negative; here down is positive.
 * The 09 series has other numbers, which we have not seen.
 */
const SOURCE: SchemeSource = {
  what: 'UN Regulation 48, 6.2.6.1',
  edition: '03 to 08 series of amendments; not the 09 series',
  seen: 'memory',
  where: null,
};

interface Step {
  readonly id: string;
  readonly height: SchemeRow['height'];
  readonly stays: Band;
  readonly initial: Band;
  readonly choice?: string;
  readonly note: string | null;
}

/** Two rows: the band that every load state must keep, and the narrower one for the initial setting. */
function twoRows({ id, height, stays, initial, choice, note }: Step): readonly SchemeRow[] {
  const shared = {
    lamp: 'passing',
    feature: 'flat-part',
    place: FAR,
    heightReference: 'lower-edge',
    height,
    lateral: null,
    lateralAimPct: null,
    source: SOURCE,
  } as const;
  // The two options stand against each other within each kind of row.
  const option = (kind: string): { choice?: string } =>
    choice === undefined ? {} : { choice: `${choice}, ${kind}` };
  return [
    {
      ...shared,
      ...option('any load'),
      id,
      loadState: 'every load state from driver alone to fully laden; judged here in the one you measured',
      vertical: stays,
      aimPct: null,
      note,
    },
    {
      ...shared,
      ...option('initial aim'),
      id: `${id}-initial`,
      loadState: "unladen, one person (75 kg) in the driver's seat; levelling control at its stop",
      vertical: initial,
      aimPct: (initial.minPct! + initial.maxPct!) / 2,
      note: "The maker's own figure is on a plate near the lamps or by the maker's plate; where it is known, it goes first.",
    },
  ];
}

const A1: Step = {
  id: 'R48-A1',
  height: below(800),
  stays: band(0.5, 2.5),
  initial: band(1, 1.5),
  note: null,
};
const A2: Step = {
  id: 'R48-A2',
  height: between(800, 1000),
  stays: band(0.5, 2.5),
  initial: band(1, 1.5),
  choice: 'R48 from 0.8 to 1.0 m',
  note: 'The first of two options; the maker chose one at approval.',
};
const A3: Step = {
  id: 'R48-A3',
  height: between(800, 1000),
  stays: band(1, 3),
  initial: band(1.5, 2),
  choice: 'R48 from 0.8 to 1.0 m',
  note: 'The second of two options; the maker chose one at approval.',
};
const A4: Step = {
  id: 'R48-A4',
  height: above(1000),
  stays: band(1, 3),
  initial: band(1.5, 2),
  note: null,
};
const A5: Step = {
  id: 'R48-A5',
  height: above(1200),
  stays: band(1.5, 3.5),
  initial: band(2, 2.5),
  note: 'Only for heavy goods vehicles approved for off-road use (N3G).',
};

export const UN_R48: Scheme = {
  id: 'un-r48',
  title: 'UN Regulation 48, cars, vans, lorries and buses',
  region: 'eu',
  words: 'gb',
  trafficSide: 'either',
  rows: [A1, A2, A3, A4].flatMap(twoRows),
};

export const UN_R48_OFF_ROAD: Scheme = {
  id: 'un-r48-off-road',
  title: 'UN Regulation 48, heavy off-road goods vehicles (N3G)',
  region: 'eu',
  words: 'gb',
  trafficSide: 'either',
  rows: [A1, A2, A3, { ...A4, height: aboveUpTo(1000, 1200) }, A5].flatMap(twoRows),
};
