/** What can hurt, said where it can hurt (design: cautions that users always see). Plain sentences, no numbers to round. */

export interface CautionContext {
  readonly words: 'gb' | 'us';
  readonly motorcycle: boolean;
  /** A lamp is to be turned or tilted. */
  readonly adjusting: boolean;
}

/** Said with every report: what a reading is, and what it is not. */
export const NO_CERTIFICATE =
  "A reading prepares for an inspection; it is no certificate. Local law, the vehicle's handbook and a licensed " +
  'tester decide, and their floor and instrument differ from yours (allow 0.2 to 0.3 %: common practice, no source).';

/** Said wherever a rendered sample appears. */
export const RENDERED =
  'DEMONSTRATION: these photographs were drawn by a program. No real lamp was measured.';

/** Before the lamps are lit. */
const BEFORE_LIGHT: readonly string[] = [
  'Chock the downhill side of the wheels on both axles, brake on, in gear.',
  'On a slope, nobody stands between vehicle and wall until that is checked.',
  "Don't stare into a lamp.",
  'Shade the other lamp with a panel standing clear of it. Nothing touches lens or rim: plastic melts, glass is hot, rims are sharp.',
  'Lamps that need the engine running: outdoors only.',
];

/** Beside every advice to turn or tilt. */
export const AT_THE_SCREWS = 'Lamp off and cool first: hot glass, soft plastic, sharp rims.';

const BEFORE_TURNING: readonly string[] = [
  'Never force a seized screw. Let lamp and rim cool before you reach in.',
  "Don't open the wiring of a discharge lamp.",
];

const MOTORCYCLE = 'A motorcycle needs a helper or a proper stand, upright, wheel straight.';

/** Last of all. */
export const NEVER_DAZZLE = 'Never drive with lamps that dazzle.';

/** The cautions for one report, in the order they are met. */
export function cautionsFor(context: CautionContext): readonly string[] {
  return [
    ...BEFORE_LIGHT,
    `Don't point ${context.words === 'us' ? 'high' : 'main'} beam at a road or at neighbours.`,
    ...(context.motorcycle ? [MOTORCYCLE] : []),
    ...(context.adjusting ? BEFORE_TURNING : []),
    NEVER_DAZZLE,
  ];
}
