import type { Scheme, SchemeRow } from '../scheme.ts';
import { above, band, FAR, upTo } from './row-parts.ts';

/** The print gives places on a screen 10 m away; 10 mm there is 0.1 %. */
function pctFromMmAt10M(mm: number): number {
  return mm / 100;
}

const JP_ROW: Omit<SchemeRow, 'id' | 'height' | 'vertical'> = {
  lamp: 'passing',
  feature: 'elbow',
  place: FAR,
  heightReference: 'centre',
  loadState: "one person in the driver's seat",
  aimPct: null,
  lateral: band(-pctFromMmAt10M(270), pctFromMmAt10M(270)),
  lateralAimPct: null,
  source: {
    what: 'Japanese inspection of low beams with a cut-off, vehicles built from 1 September 1998',
    edition: 'handbook page of January 2020 and a page of limits',
    seen: 'seen-second-hand',
    where: 'www.tebra.top/2001/pageindices/index140.html',
  },
  note: 'The inspection also asks for 6400 cd at a stated point, which is not judged at home.',
};

export const JAPAN: Scheme = {
  id: 'japan',
  title: 'Japanese inspection, low beams with a cut-off',
  region: 'jp',
  words: 'us',
  trafficSide: 'left',
  rows: [
    {
      ...JP_ROW,
      id: 'JP-1',
      height: upTo(1000),
      vertical: band(pctFromMmAt10M(20), pctFromMmAt10M(150)),
    },
    {
      ...JP_ROW,
      id: 'JP-2',
      height: above(1000),
      vertical: band(pctFromMmAt10M(70), pctFromMmAt10M(200)),
    },
  ],
};
