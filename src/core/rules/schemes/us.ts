import { MM_PER_INCH, pctFromDeg } from '../../units.ts';
import type { Scheme, SchemeRow, SchemeSource } from '../scheme.ts';
import { ANY_HEIGHT, aboveUpTo, BOARD_25_FT, band, between, pctFromInchesAt25Ft } from './row-parts.ts';

const DRIVER = "one person in the driver's seat, tank about half full, tyres at their pressure";

const US_ROW = {
  place: BOARD_25_FT,
  heightReference: 'centre',
  loadState: DRIVER,
  lateral: null,
  lateralAimPct: null,
} as const;

/** Tolerance of visually aimed lamps in the service pages (standards' row US-7), degrees. */
const VISUAL_TOLERANCE_DEG = 0.38;
/** Aim of the left cut-off below level (row US-7), degrees; the right cut-off is aimed level. */
const VOL_AIM_DEG = 0.4;
const VISUAL: SchemeSource = {
  what: 'Service data at 25 ft: 53.2 mm (0.4 deg) below level for one type, level for the other, each within 2.0 in (0.38 deg); which type is which: 49 CFR 571.108, from memory',
  edition: 'undated service pages',
  seen: 'seen-second-hand',
  where: null,
};

/** US lamps with VOL or VOR on the lens: the cut-off is aimed by eye on a board 25 ft away; no sideways setting. */
export const US_VISUAL_AIM: Scheme = {
  id: 'us-visual-aim',
  title: 'US low beams marked VOL or VOR',
  region: 'us',
  words: 'us',
  trafficSide: 'right',
  rows: [
    {
      ...US_ROW,
      id: 'US-7-VOL',
      lamp: 'passing',
      feature: 'flat-part',
      markings: ['VOL'],
      height: ANY_HEIGHT,
      vertical: band(
        pctFromDeg(VOL_AIM_DEG - VISUAL_TOLERANCE_DEG),
        pctFromDeg(VOL_AIM_DEG + VISUAL_TOLERANCE_DEG),
      ),
      aimPct: pctFromDeg(VOL_AIM_DEG),
      source: VISUAL,
      note: 'Left cut-off, read 2.5 deg left. These lamps have no sideways setting.',
    },
    {
      ...US_ROW,
      id: 'US-7-VOR',
      lamp: 'passing',
      feature: 'flat-part-2.0R',
      markings: ['VOR'],
      height: ANY_HEIGHT,
      vertical: band(-pctFromDeg(VISUAL_TOLERANCE_DEG), pctFromDeg(VISUAL_TOLERANCE_DEG)),
      aimPct: 0,
      source: VISUAL,
      note: 'Right cut-off, read 2.0 deg right. These lamps have no sideways setting.',
    },
  ],
};

const BY_HEIGHT: SchemeSource = {
  what: "Workshop manual's in-service table by mounting height, board at 25 ft; which part of the beam is counted is our reading",
  edition: 'undated',
  seen: 'memory',
  where: null,
};

/** One line of the table (row US-18), inches down at 25 ft, for both beams of an older lamp. */
function byHeight(
  id: string,
  height: SchemeRow['height'],
  inches: { readonly min: number | null; readonly aim: number; readonly max: number },
  note: string | null,
): readonly SchemeRow[] {
  const figures = {
    ...US_ROW,
    height,
    vertical: band(
      inches.min === null ? null : pctFromInchesAt25Ft(inches.min),
      pctFromInchesAt25Ft(inches.max),
    ),
    aimPct: pctFromInchesAt25Ft(inches.aim),
    source: BY_HEIGHT,
    note,
  };
  return [
    { ...figures, id: `${id}-high-beam`, lamp: 'driving', feature: 'hot-spot-centre' },
    {
      ...figures,
      id: `${id}-low-beam`,
      lamp: 'passing',
      feature: 'bright-zone-top-left',
      forBeam: ['no-cut-off'],
    },
  ];
}

export const US_OLDER_BY_HEIGHT: Scheme = {
  id: 'us-older-by-height',
  title: 'US lamps without VOL or VOR, by mounting height',
  region: 'us',
  words: 'us',
  trafficSide: 'right',
  rows: [
    ...byHeight('US-18-22in', between(22 * MM_PER_INCH, 36 * MM_PER_INCH), { min: -4, aim: 0, max: 4 }, null),
    ...byHeight(
      'US-18-36in',
      aboveUpTo(36 * MM_PER_INCH, 48 * MM_PER_INCH),
      { min: -2, aim: 2, max: 6 },
      null,
    ),
    ...byHeight(
      'US-18-48in',
      aboveUpTo(48 * MM_PER_INCH, 54 * MM_PER_INCH),
      { min: null, aim: 4, max: 6.5 },
      "The upper limit can't be read in the print we have seen, so nothing here guards against dazzle.",
    ),
  ],
};

/** Lamps aimed on high beam (row US-14): beam centre within 4 in of the lamp's centre at 25 ft, both ways. */
export const US_OLDER_FOUR_INCH: Scheme = {
  id: 'us-older-four-inch',
  title: 'US lamps aimed on high beam, 4 in at 25 ft',
  region: 'us',
  words: 'us',
  trafficSide: 'right',
  rows: [
    {
      ...US_ROW,
      id: 'US-14',
      lamp: 'driving',
      feature: 'hot-spot-centre',
      height: ANY_HEIGHT,
      vertical: band(-pctFromInchesAt25Ft(4), pctFromInchesAt25Ft(4)),
      aimPct: 0,
      lateral: band(-pctFromInchesAt25Ft(4), pctFromInchesAt25Ft(4)),
      lateralAimPct: 0,
      source: {
        what: 'Pennsylvania 67 Pa. Code 175.80, quoted on a forum; after SAE J599',
        edition: 'undated quotation',
        seen: 'seen-second-hand',
        where: 'www.feoa.net/threads/lighting-regulations.2205/',
      },
      note: null,
    },
  ],
};

/** Low beam without a cut-off (row US-15): top and left edge of the bright zone on the lamp's lines, 4 in either way. */
export const US_NO_CUT_OFF: Scheme = {
  id: 'us-no-cut-off',
  title: 'US low beams without a cut-off, 4 in at 25 ft',
  region: 'us',
  words: 'us',
  trafficSide: 'right',
  rows: [
    {
      ...US_ROW,
      id: 'US-15',
      lamp: 'passing',
      feature: 'bright-zone-top-left',
      forBeam: ['no-cut-off'],
      height: ANY_HEIGHT,
      vertical: band(-pctFromInchesAt25Ft(4), pctFromInchesAt25Ft(4)),
      aimPct: 0,
      lateral: band(-pctFromInchesAt25Ft(4), pctFromInchesAt25Ft(4)),
      lateralAimPct: 0,
      source: { what: 'SAE J599, 1997', edition: 'figures not seen', seen: 'memory', where: null },
      note: null,
    },
  ],
};
