import type { Scheme } from '../scheme.ts';
import { GB_INSPECTION_CAR, GB_INSPECTION_MOTORCYCLE } from './gb-inspection.ts';
import { GB_INDIVIDUAL_APPROVAL, GB_LIGHTING_DEFAULT } from './gb-other.ts';
import { JAPAN } from './japan.ts';
import { UN_R48, UN_R48_OFF_ROAD } from './un-r48.ts';
import { UN_R53 } from './un-r53.ts';
import { US_NO_CUT_OFF, US_OLDER_BY_HEIGHT, US_OLDER_FOUR_INCH, US_VISUAL_AIM } from './us.ts';

const SCHEMES: readonly Scheme[] = [
  GB_INSPECTION_CAR,
  GB_INSPECTION_MOTORCYCLE,
  GB_LIGHTING_DEFAULT,
  GB_INDIVIDUAL_APPROVAL,
  UN_R48,
  UN_R48_OFF_ROAD,
  UN_R53,
  US_VISUAL_AIM,
  US_OLDER_BY_HEIGHT,
  US_OLDER_FOUR_INCH,
  US_NO_CUT_OFF,
  JAPAN,
];

/** Every scheme with a fixed id, in the order to offer them. */
export function listSchemes(): readonly Scheme[] {
  return SCHEMES;
}

/** The scheme of an id, or null; handbook and own-table schemes are made from the job instead. */
export function schemeById(id: string): Scheme | null {
  return SCHEMES.find((scheme) => scheme.id === id) ?? null;
}
