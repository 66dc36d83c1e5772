import type { Scheme, SchemeRow, SchemeSource } from '../scheme.ts';
import { ANY_HEIGHT, above, band, FAR, NO_LIMITS, upTo } from './row-parts.ts';

/**
 * GB periodic inspection, official inspection manual 4.1.2, as in force since 24 March 2016: heights are those of the
 * lamp's centre, traffic keeps left. Until that day the lower limit up to 850 mm was 2.0 % and the break point had to
 * lie 0 to 2 % left; many pages still print that.
 */

const EDITION = 'limits in force since 24 March 2016; quoted 23 March 2022';
const LIMITS: SchemeSource = {
  what: "GB inspection manual 4.1.2, quoted on a rider's page; limits confirmed by the authority's notice of the change",
  edition: EDITION,
  seen: 'seen-second-hand',
  where: 'mattersoftesting.blog.gov.uk/the-mot-headlamp-aim-test-is-changing',
};
const FLAT_TOP: SchemeSource = {
  what: 'GB inspection manual 4.1.2: other patterns pass when the whole upper edge lies in the tolerance band',
  edition: "copies of 11 September 2023 and of 2012; the band's figures as quoted in 2022",
  seen: 'seen-second-hand',
  where: 'www.ukmot.com/manual/1.8/All-Headlamps',
};
const FROM_MEMORY: SchemeSource = {
  what: 'GB inspection manual 4.1.2; the quotation we read breaks off before this figure',
  edition: 'not seen',
  seen: 'memory',
  where: null,
};
const NOT_HELD: SchemeSource = {
  what: 'GB inspection manual 4.1.2, dipped beam with a hot spot and no cut-off: we found no figures',
  edition: 'not seen',
  seen: 'memory',
  where: null,
};

interface Vehicle {
  /** Put before row ids: '' for cars, 'M-' for motorcycles. */
  readonly prefix: string;
  readonly loadState: string;
  readonly note: string | null;
}

function rows({ prefix, loadState, note }: Vehicle): readonly SchemeRow[] {
  const shared = {
    place: FAR,
    heightReference: 'centre',
    loadState,
    aimPct: null,
    lateral: null,
    lateralAimPct: null,
    note,
  } as const;
  const dipped = { ...shared, lamp: 'passing' } as const;
  const main = { ...shared, lamp: 'driving', feature: 'hot-spot-centre' } as const;
  const low = { height: upTo(850) };
  const high = { height: above(850) };
  return [
    {
      ...dipped,
      ...low,
      id: `${prefix}MOT-1`,
      feature: 'flat-part',
      forBeam: ['rise', 'step'],
      vertical: band(0.5, 2.75),
      source: LIMITS,
    },
    {
      ...dipped,
      ...high,
      id: `${prefix}MOT-2`,
      feature: 'flat-part',
      forBeam: ['rise', 'step'],
      vertical: band(1.25, 2.75),
      source: LIMITS,
    },
    {
      ...dipped,
      height: ANY_HEIGHT,
      id: `${prefix}MOT-3`,
      feature: 'rise-against-zone',
      forBeam: ['rise', 'step'],
      vertical: band(0.5, null),
      source: LIMITS,
      note: 'No white light right of straight ahead and above the 0.5 % line. That the zone lies on that side is our reading for traffic that keeps left.',
    },
    {
      ...dipped,
      ...low,
      id: `${prefix}MOT-4`,
      feature: 'whole-top-edge',
      forBeam: ['flat'],
      vertical: band(0.5, 2.75),
      source: FLAT_TOP,
    },
    {
      ...dipped,
      ...high,
      id: `${prefix}MOT-4-over-850`,
      feature: 'whole-top-edge',
      forBeam: ['flat'],
      vertical: band(1.25, 2.75),
      source: FLAT_TOP,
    },
    {
      ...main,
      ...low,
      id: `${prefix}MOT-5`,
      vertical: band(0, 2),
      lateral: band(null, 0),
      source: LIMITS,
    },
    {
      ...main,
      ...high,
      id: `${prefix}MOT-5-over-850`,
      vertical: band(0, 2.75),
      lateral: band(null, 0),
      source: LIMITS,
    },
    {
      ...main,
      height: ANY_HEIGHT,
      id: `${prefix}MOT-6`,
      vertical: NO_LIMITS,
      lateral: band(-2, null),
      source: FROM_MEMORY,
    },
    {
      ...dipped,
      height: ANY_HEIGHT,
      id: `${prefix}MOT-7`,
      feature: 'hot-spot-centre',
      forBeam: ['no-cut-off'],
      vertical: NO_LIMITS,
      source: NOT_HELD,
      note: 'Type in the figures of the manual, with page and edition, as your own table.',
    },
  ];
}

export const GB_INSPECTION_CAR: Scheme = {
  id: 'gb-inspection-car',
  title: 'GB periodic inspection, cars and light vans',
  region: 'gb',
  words: 'gb',
  trafficSide: 'left',
  rows: rows({
    prefix: '',
    // MOT-8 and MOT-10: levelling control as found; a person in the driver's seat.
    loadState: "one person in the driver's seat; levelling control left as it is",
    note: null,
  }),
};

export const GB_INSPECTION_MOTORCYCLE: Scheme = {
  id: 'gb-inspection-motorcycle',
  title: 'GB periodic inspection, motorcycles',
  region: 'gb',
  words: 'gb',
  trafficSide: 'left',
  rows: rows({
    prefix: 'M-',
    // MOT-11.
    loadState: 'rider seated, machine upright, front wheel straight, tyres not soft',
    note: "The figures come from a quotation on a rider's page that does not say whether it is the car or the motorcycle manual.",
  }),
};
