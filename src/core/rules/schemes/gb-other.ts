import type { Scheme, SchemeRow, SchemeSource } from '../scheme.ts';
import { above, FAR, NO_LIMITS, upTo } from './row-parts.ts';

const RVLR: SchemeSource = {
  what: 'Road Vehicles Lighting Regulations 1989, Schedule 4: aim where the maker has marked none',
  edition: 'not seen',
  seen: 'memory',
  where: null,
};

const RVLR_ROW: Omit<SchemeRow, 'id' | 'height' | 'aimPct'> = {
  lamp: 'passing',
  feature: 'flat-part',
  place: FAR,
  heightReference: 'centre',
  loadState: "kerbside weight and 75 kg in the driver's seat; levelling control at its stop",
  vertical: NO_LIMITS,
  lateral: null,
  lateralAimPct: null,
  source: RVLR,
  note: 'A figure to set to, without a tolerance.',
};

/** GB lighting law's default aim (standards' row RVLR-1): 1.3 % up to a centre height of 850 mm, 2.0 % above. */
export const GB_LIGHTING_DEFAULT: Scheme = {
  id: 'gb-lighting-default',
  title: 'GB lighting regulations, aim where the maker gives none',
  region: 'gb',
  words: 'gb',
  trafficSide: 'left',
  rows: [
    { ...RVLR_ROW, id: 'RVLR-1', height: upTo(850), aimPct: 1.3 },
    { ...RVLR_ROW, id: 'RVLR-1-over-850', height: above(850), aimPct: 2 },
  ],
};

/**
 * Individual approval: no figure of the manual could be read (standards' rows IVA-3 and IVA-5), so none is held.
 */
export const GB_INDIVIDUAL_APPROVAL: Scheme = {
  id: 'gb-individual-approval',
  title: 'GB individual approval (cars, section 25 of the manual)',
  region: 'gb',
  words: 'gb',
  trafficSide: 'left',
  rows: [],
  typeIn:
    'We hold no aim figures for individual approval. Type in the limits from the inspection manual that your centre uses (for cars section 25, headlamps), with page and edition, as your own table.',
};
