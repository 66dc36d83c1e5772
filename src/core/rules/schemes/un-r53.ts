import type { Scheme } from '../scheme.ts';
import { ANY_HEIGHT, band, FAR } from './row-parts.ts';

/** UN Regulation 53, motorcycles (standards' rows L-1 to L-3): that 6.2.5 checks the inclination was seen, not its figures. */
export const UN_R53: Scheme = {
  id: 'un-r53',
  title: 'UN Regulation 53, motorcycles',
  region: 'eu',
  words: 'gb',
  trafficSide: 'either',
  rows: [
    {
      id: 'R53-L3',
      lamp: 'passing',
      feature: 'flat-part',
      place: FAR,
      heightReference: 'lower-edge',
      height: ANY_HEIGHT,
      loadState: 'rider alone (75 kg), and fully laden; judged here in the one you measured',
      vertical: band(0.5, 2.5),
      aimPct: null,
      lateral: null,
      lateralAimPct: null,
      source: {
        what: 'UN Regulation 53, 6.2.5',
        edition: '01 series to Supplement 21 (20 May 2020): contents seen, figures not',
        seen: 'memory',
        where: 'consautoregs.com/unece/un-r5300-rev-3',
      },
      note: null,
    },
  ],
};
