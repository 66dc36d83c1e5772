/** Every sentence of the bay plan about places and methods, for terminal, page and PDF alike. */
import type { Tool } from '../core/bay-plan/facts.ts';
import type { Hindrance, LevelMethod } from '../core/bay-plan/methods.ts';
import type { OpenPlace, PlannedKind, PlannedPlace } from '../core/bay-plan/plan.ts';
import type { Shortfall } from '../core/bay-plan/shortfalls.ts';
import type { AxisMethod } from '../core/geometry/bay/axis.ts';
import { MM_PER_INCH } from '../core/units.ts';
import type { BayRequest } from './bay-plan-facts.ts';
import { acrossRoom, fixed, onTape, type Units } from './format.ts';
import type { Dialect } from './words.ts';

type Voice = Pick<BayRequest, 'units' | 'words' | 'motorcycle'>;

/** "car" or "motorcycle", as it is called in a sentence. */
function vehicleWord({ motorcycle }: Pick<Voice, 'motorcycle'>): string {
  return motorcycle ? 'motorcycle' : 'vehicle';
}

/** What a place is called; the board at two distances by where the vehicle stands. */
export function placeName(place: PlannedPlace, voice: Voice): string {
  return place.kind === 'board-moved' && place.state === 'open'
    ? `${nameOf(place.forecast.place.kind, voice)}, board at two distances`
    : nameOf(place.kind, voice);
}

function nameOf(kind: PlannedKind, voice: Voice): string {
  const drive = voice.words === 'us' ? 'driveway' : 'drive';
  const yard = voice.words === 'us' ? 'Parking lot' : 'Yard or car park';
  switch (kind) {
    case 'nose-in':
      return 'Garage, nose to the end wall';
    case 'nose-out':
      return 'Garage, nose to the door';
    case 'shining-in':
      return `On the ${drive}, shining into the garage`;
    case 'house-wall':
      return `On the ${drive}, at the wall`;
    case 'board-moved':
      return `${voice.motorcycle ? 'Motorcycle' : 'Vehicle'} stays, board at two distances`;
    case 'yard-near':
      return `${yard}, ${yardWords(7600, voice)}`;
    case 'yard-far':
      return `${yard}, ${yardWords(10_000, voice)}`;
  }
}

function yardWords(mm: number, { units }: Pick<Voice, 'units'>): string {
  if (units === 'in') return mm < 8000 ? '25 ft' : '33 ft';
  return mm < 8000 ? '7.6 m' : '10 m';
}

/** A short name for a table's first column. */
export function placeShort(kind: PlannedKind): string {
  return {
    'nose-in': 'Nose to end wall',
    'nose-out': 'Nose to door',
    'shining-in': 'Shining in',
    'house-wall': 'At the wall',
    'board-moved': 'Board moved',
    'yard-near': 'Yard, nearer',
    'yard-far': 'Yard, farther',
  }[kind];
}

/** A size of card or room: up to the next 10 mm, or the next inch. */
export function atLeast(mm: number, units: Units): string {
  const step = units === 'in' ? MM_PER_INCH : 10;
  return onTape(Math.ceil(mm / step - 1e-9) * step, units);
}

/** A height to look for, not to measure by: to the nearest 10 mm or inch. */
export function roughly(mm: number, units: Units): string {
  const step = units === 'in' ? MM_PER_INCH : 10;
  return onTape(Math.round(mm / step) * step, units);
}

/** Spelling and words of the United States for a text written in British ones. */
export function inDialect(text: string, words: Dialect): string {
  return words === 'gb' ? text : US_WORDS.reduce((t, [from, to]) => t.replace(from, to), text);
}

const US_WORDS: readonly (readonly [RegExp, string])[] = [
  [/\bcentre/g, 'center'],
  [/\bCentre/g, 'Center'],
  [/\btyre/g, 'tire'],
  [/\bTyre/g, 'Tire'],
  [/\blevelling\b/g, 'leveling'],
  [/\bbonnet\b/g, 'hood'],
  [/\bfootway\b/g, 'sidewalk'],
  [/\bdipped beam/g, 'low beam'],
  [/\bneighbour/g, 'neighbor'],
];

/** A half width in per cent, for tables and sentences: two digits below 1, one above. */
export function pct(value: number): string {
  return value >= 9.95
    ? `${fixed(value, 0)} %`
    : value >= 0.995
      ? `${fixed(value, 1)} %`
      : `${fixed(value, 2)} %`;
}

/** "yes", "no", "2 of 4": what a perfectly aimed lamp would get. */
export function provenWord(place: OpenPlace): string {
  const { within, of } = place.proof;
  if (of === 0) return '-';
  return within === of ? 'yes' : within === 0 ? 'no' : `${within} of ${of}`;
}

/** What a place lacks, a sentence each; those that say the same of two lamps once. */
export function lackLines(place: PlannedPlace, request: BayRequest): readonly string[] {
  const near = place.shortfalls.some((s) => s.what === 'near-field');
  const said = place.shortfalls.map((s) => lackLine(s, request, near)).filter((l) => l !== null);
  return [...new Set(said)];
}

function lackLine(s: Shortfall, request: BayRequest, nearField: boolean): string | null {
  const { units } = request;
  const room = (mm: number): string => acrossRoom(mm, units);
  const tape = (mm: number): string => onTape(mm, units);
  switch (s.what) {
    case 'no-room':
      return `Too short: with room to work it would need ${room(s.shortByMm)} more to see a lamp at all.`;
    case 'engine-indoors':
      return 'Lamps that need the engine running: outdoors only. The exhaust would stay under the roof.';
    case 'short':
      return `Lamp to board is only ${room(s.distanceMm)}: good for finding which screw does what, not for a figure.`;
    case 'near-field':
      return `One distance proves nothing of far from here: a lamp lit over ${tape(s.litMm ?? 170)} smears its own edge, and what an instrument would see lies anywhere within ${pct(s.openPct)} below the edge on the board. From ${room(7500)} on it can be said.`;
    case 'not-proven':
      // Not provable from so near, or on another board's figure: the near-field line says the first of these.
      return s.outcome === 'not-from-here' && nearField ? null : notProven(s, request);
    case 'slope':
      return `The wheels stand on a slope (${pct(Math.abs(s.pitchPct))}, nose ${s.pitchPct > 0 ? 'up' : 'down'}): chock the downhill side of both axles, and nobody stands between ${vehicleWord(request)} and board until that is checked. Measure the slope with a level line; the floor alone would give it as aim.`;
    case 'board-on-slope':
      return `The foot of the board lies ${roughly(s.footMm, units)} ${s.footMm < 0 ? 'below' : 'above'} the plane of the tyres: carry every height with a water level or a laser line.`;
    case 'astride':
      return 'One axle stands inside, one outside: the threshold counts as slope. Only heights from a level line hold here.';
    case 'floor-unknown':
      return 'Nobody has said how flat the floor is: it counts as out by 2 mm per m. Lay a long straight edge on it; gullies and thresholds show at once.';
    case 'door-narrow':
      return `The door cuts the beam: the light needs ${room(s.needMm)} there, the door has ${room(s.haveMm)}. Do one lamp at a time, with that lamp before the middle of the door.`;
    case 'door-low':
      return `The door's upper edge (${room(s.haveMm)}) may cut the light: it needs ${room(s.needMm)}.`;
    case 'low-on-board':
      return s.edgeMm < 0
        ? 'The edge would fall on the floor before it reaches the board.'
        : `The edge would stand only ${roughly(s.edgeMm, units)} over the board's foot: hardly room for sheets under it.`;
    case 'high-board':
      return `The board has to reach ${room(s.topMm)} high: fix it well, a falling board hits lamps and people.`;
    case 'one-card':
      return `One board for all lamps would be ${room(s.needMm)} wide, there are ${room(s.haveMm)}: move one card from lamp to lamp.`;
    case 'no-side-room':
      return `Only ${roughly(s.haveMm, units)} beside the ${vehicleWord(request)}: no door opens far enough to get out. Use 75 kg strapped into the seat, and a camera over the bonnet.`;
    case 'away':
      return `A drive there, in the dark, in a ${vehicleWord(request)} that may not be allowed on the road yet; everything has to be carried along.`;
    case 'pair':
      return `Photos of two boards, the second ${room(s.nearMm)} away, read together: far can be judged, and the lamp's size leaves it open by at most ${pct(s.bothPct)} either way (${pct(s.bothPct) === pct(s.onePct) ? 'no less than' : pct(s.onePct)} with one board). That is a forecast, and twice the photos.`;
    case 'open-air':
      return null;
  }
}

function notProven(s: Extract<Shortfall, { what: 'not-proven' }>, { facts }: BayRequest): string {
  const scheme = facts.lamps.flatMap((l) => l.schemes).find((x) => x.id === s.scheme);
  const start = {
    'too-close': 'even a perfectly aimed lamp would be too close to call. ',
    'too-wide': TOO_WIDE,
    'not-from-here': '',
  }[s.outcome];
  return `${scheme?.title ?? s.scheme}: ${start}${s.outcome === 'too-wide' ? '' : (s.why ?? '')}`.trim();
}

/** Said where U is wider than the limits are apart. */
export const TOO_WIDE =
  "can't be proven from here: the doubt is wider than the limits are apart, so not even a perfectly aimed lamp would pass for sure.";

const LEVEL_WORDS: Readonly<Record<LevelMethod, string>> = {
  'nose-to-board': 'Nose to the board (A)',
  'water-level': 'Water level (B)',
  laser: 'Laser line (B)',
  'spirit-level': 'Spirit level, stepped (B)',
  'floor-measured': 'Floor, step measured',
  'floor-unmeasured': 'Floor as it is',
};
/** What each way of carrying the level takes for granted. */
const LEVEL_LEAVES: Readonly<Record<LevelMethod, string>> = {
  'nose-to-board':
    'Takes wheels and board foot to be one flat plane, with the nose at the board and rolled back: leaves out thresholds, gullies and a floor that is not flat. No lamp height needed.',
  'water-level':
    'Takes the ground under the wheels to be the plane through the axles: leaves out soft ground and a tyre that sinks. The floor in between does not matter.',
  laser: 'As the water level; leaves out that the line itself may tilt (0.3 mm per m as usually specified).',
  'spirit-level':
    'As the water level; every step adds its own error (1 mm per m is 0.1 %). Turn it end for end.',
  'floor-measured':
    "Takes the floor under the wheels as one plane, apart from the step at the board's foot that you measured.",
  'floor-unmeasured': 'Takes the floor as one plane from wheels to board: whatever it is not shows as aim.',
};
const AXIS_WORDS: Readonly<Record<AxisMethod, string>> = {
  sighting: 'Sighting over two centre points',
  strings: 'Strings along the wheels',
  'nose-marks': 'Nose marks, rolled straight back',
  'two-tapes': 'Two tapes to the board',
  none: 'By eye',
};
const AXIS_LEAVES: Readonly<Record<AxisMethod, string>> = {
  sighting:
    'Leaves out whether the two points lie on the middle of the body: measure both from the same parts.',
  strings: 'Leaves out different tracks front and rear, and wheels that are not straight.',
  'nose-marks': 'Leaves out a path that curves while rolling back: hold the steering wheel still.',
  'two-tapes': '3 mm on each tape over 1200 mm is already 0.35 %: not the way to straight ahead.',
  none: 'Height is not touched, but no sideways figure will hold.',
};

/** A way to carry the level: its name, and what it leaves out. */
export function levelWords(method: LevelMethod): { readonly name: string; readonly leaves: string } {
  return { name: LEVEL_WORDS[method], leaves: LEVEL_LEAVES[method] };
}

/** A way to carry straight ahead. */
export function axisWords(method: AxisMethod): { readonly name: string; readonly leaves: string } {
  return { name: AXIS_WORDS[method], leaves: AXIS_LEAVES[method] };
}

const TOOL_WORDS: Readonly<Record<Tool, string>> = {
  tape: 'a steel tape',
  'spirit-level': 'a spirit level',
  'water-level': 'a water level',
  laser: 'a laser line',
  string: 'string',
  'plumb-bob': 'a plumb bob',
  helper: 'a helper',
  tripod: 'a tripod',
};

export function toolWord(tool: Tool): string {
  return TOOL_WORDS[tool];
}

/** Why a method can't be used here, as it stands in a table's cell; null when it can. */
export function hindranceWords(h: Hindrance | null): string | null {
  if (h === null) return null;
  if (h.place === 'not-one-plane') return 'not here: no one plane';
  if (h.place === 'nose-cannot-reach') return 'not here: nose too far off';
  // Three kinds of level are any level: a cell of a table is small.
  const any = (tools: readonly Tool[]): string =>
    tools.length > 2 ? 'any level' : tools.map((t) => toolWord(t).replace(/^an? /, '')).join(' or ');
  return `needs ${h.tools.map(any).join(', ')}`;
}
