import { type CauseId, type CauseKind, causeKind } from './estimate.ts';

/** A cause in plain words. */
export interface CauseWords {
  /** What is not known well, as it stands after "the biggest doubt is". */
  readonly what: string;
  /** What the person could do about it, as an instruction. */
  readonly shrink: string;
}

const WORDS: Readonly<Record<CauseKind, CauseWords>> = {
  noise: {
    what: 'grain in the photo',
    shrink: 'Take two or three more photos of this lamp from the tripod; their mean is surer.',
  },
  'marks-found': {
    what: 'how exactly the marks were found in the photo',
    shrink: 'Fill the frame with the board, focus on it, and keep all marks in view.',
  },
  'shape-model': {
    what: 'how well the edge follows the shape that was fitted to it',
    shrink: 'Wipe the lens, shade the other lamp and any stray light, and photograph the lamp again.',
  },
  focus: {
    what: 'how sharp the photo is',
    shrink: 'Use a tripod and the timer, tap the marks to focus, and take the file as the camera saved it.',
  },
  levelness: {
    what: 'how level the level line is',
    shrink: 'Use a water level, or turn the spirit level end for end and take the mean.',
  },
  distance: {
    what: 'the distance from lamp to board',
    shrink: 'Measure the distance again with a steel tape pulled tight, from the lamp to the board.',
  },
  floor: {
    what: 'whether the floor between wheels and board is one flat plane',
    shrink: "Level across the tyres' contact points and the foot of the board with a water level.",
  },
  'cross-fall': {
    what: 'how far the floor leans sideways',
    shrink: 'Measure the height of both front tyres from a level line.',
  },
  'board-lean': {
    what: 'how far the board leans towards or away from the vehicle',
    shrink: 'Set the board upright with a level or a plumb line.',
  },
  'board-turn': {
    what: "how square the board stands to the vehicle's axis",
    shrink: 'Measure from the board to the two wheels on either side, and turn the board until both agree.',
  },
  'board-height': {
    what: 'how high the board stands',
    shrink: 'Measure the height of the board again from the floor that the tyres stand on.',
  },
  'vehicle-axis': {
    what: 'where straight ahead of the vehicle is on the board',
    shrink: 'Mark the lamp centres on the board with the nose close to it, then roll straight back.',
  },
  'marks-placed': {
    what: 'where the marks stand on the board',
    shrink: 'Measure the places of the marks again with a steel tape.',
  },
  ambient: {
    what: 'other light falling on the board',
    shrink: 'Wait until it is dark, or take one photo with the lamps off from the same tripod.',
  },
  'lamp-height': {
    what: "how high the lamp's centre was measured",
    shrink:
      "Measure the height of the lamp's centre again, or mark it on the board with the nose close to it.",
  },
  'lamp-side': {
    what: "how far to the side the lamp's centre was measured",
    shrink: "Measure the lamp's centre from the vehicle's centre line again.",
  },
  'lamp-mark': {
    what: "how exactly the lamp's centre was marked on the board",
    shrink: "Mark the lamp's centre again with the nose closer to the board.",
  },
  'lit-size': {
    what: 'how large the lit part of the lamp is',
    shrink: 'Measure the height and width of the lit part of the lamp.',
  },
  filling: {
    what: 'how the light fills the lamp',
    shrink: 'Photograph the beam from a second, longer distance as well, or move the board further away.',
  },
  tone: {
    what: 'how the camera turns light into brightness',
    shrink: 'Take a bracket of three exposures, or photograph the grey scale of a printed sheet.',
  },
  glare: {
    what: "light scattered in the camera's lens",
    shrink: "Wipe the camera's lens and keep the lamp itself out of the picture.",
  },
  'uneven-light': {
    what: 'how evenly lens and board send the light back',
    shrink:
      'Keep the hot spot near the middle of the picture, zoom in a little, and use an evenly white board.',
  },
  'lens-distortion': {
    what: "how the camera's lens bends straight lines",
    shrink: 'Stand further back and zoom in, so that the board fills the middle of the picture.',
  },
  'exposure-ratio': {
    what: 'the true ratio of the exposures in the bracket',
    shrink: 'Take the bracket again with the exposures set by hand.',
  },
  load: {
    what: 'how the vehicle was loaded',
    shrink: 'Set the tyre pressures, empty the boot, and put 75 kg in the seat.',
  },
};

/** A cause in plain words, and what would make it smaller. */
export function causeWords(id: CauseId): CauseWords {
  return WORDS[causeKind(id)];
}

/** A per cent figure inside a sentence: two places, no needless minus before nought. */
export function pctText(pct: number): string {
  const text = pct.toFixed(2);
  return `${text === '-0.00' ? '0.00' : text} %`;
}

/** A drop inside a sentence: "1.30 % down", "0.20 % up". */
export function dropText(pct: number): string {
  return `${pctText(Math.abs(pct))} ${pct < 0 ? 'up' : 'down'}`;
}
