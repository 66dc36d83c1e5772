import type { NothingFound } from '../finding.ts';

type Words = Pick<NothingFound, 'why' | 'detail' | 'advice'>;

const pct = (n: number): string => n.toFixed(1);

/** What to say when the light on the board is no dipped beam that can be measured. Details read on after "because". */
export const REFUSALS = {
  notABeam: (): Words => ({
    why: 'not-a-beam',
    detail:
      'the light falls away as steeply to the sides or downwards as upwards, which a dipped beam does not: it looks like a torch, a main beam or a lamp overhead',
    advice: 'Switch to dipped beam, put every other light out, and photograph the beam again.',
  }),
  spotElsewhere: (deg: number): Words => ({
    why: 'not-a-beam',
    detail: `the brightest place lies ${pct(Math.abs(deg))} degrees ${deg > 0 ? 'below' : 'above'} the edge, where a dipped beam has it about 1 degree below: this looks like a main beam, or like two lamps at once`,
    advice: 'Switch to dipped beam, shade the other lamp, and photograph the beam again.',
  }),
  farAside: (offsetPct: number): Words => ({
    why: 'elbow-far-aside',
    detail: `the elbow lies ${pct(Math.abs(offsetPct))} % to the ${offsetPct < 0 ? 'left' : 'right'} of straight ahead, further than a lamp on its mounts can be aimed: it is more likely another lamp's`,
    advice:
      "Shade the other lamp with a panel that stands clear of it, and check which lamp the photo is of. If it is this lamp, check that the vehicle's axis is where the job says, and turn the lamp roughly straight first.",
  }),
  knifeEdge: (g: number): Words => ({
    why: 'knife-edge',
    detail: `the edge is sharper than any lamp throws it (light falls to 1/${(10 ** g).toFixed(0)} within 0.1 degree): it looks like the end of a board, a strip of tape or a shadow`,
    advice:
      'Use a board that goes on above the edge, with nothing standing close to it in the beam, and give the true size of the board in the job.',
  }),
  secondEdge: (awayDeg: number): Words => ({
    why: 'several-edges',
    detail: `a second edge runs ${pct(Math.abs(awayDeg))} degrees ${awayDeg < 0 ? 'below' : 'above'} the one that was found, so which of them is the cut-off cannot be told`,
    advice:
      'Shade the other lamp with a panel that stands clear of it, see that dipped beam alone is lit and that nothing shades the beam, and use one board without joints.',
  }),
  darkBand: (awayDeg: number): Words => ({
    why: 'shadow-at-edge',
    detail: `a dark band crosses the beam ${pct(Math.abs(awayDeg))} degrees ${awayDeg < 0 ? 'below' : 'above'} the edge: a shadow, a groove or gap in the board, or the dark band of a pulsed lamp`,
    advice:
      'Clear the way between lamp and board, use one smooth board without joints or grooves, and expose for 1/30 s or longer if the lamp is an LED.',
  }),
  boardLine: (awayDeg: number): Words => ({
    why: 'lines-on-board',
    detail: `a joint, groove, line or strip of tape runs along the board ${pct(Math.abs(awayDeg))} degrees ${awayDeg < 0 ? 'below' : 'above'} the edge, and pulls it`,
    advice:
      'Use one smooth board or a sheet of matt card over the wall, without joints, grooves or tape where the edge falls.',
  }),
  unevenEdge: (spreadPct: number): Words => ({
    why: 'broken-edge',
    detail: `the level part of the edge jumps up and down by ${pct(2 * spreadPct)} % from place to place, as on brick, on a stained board, through snow or past something in the beam`,
    advice: 'Put up plain matt card, wipe the camera lens and clear the beam; then photograph it again.',
  }),
  otherLight: (share: number): Words => ({
    why: 'other-light',
    detail: `above the edge it is ${Math.round(100 * share)} % as bright as below it: daylight, a room light or another lamp drowns the edge`,
    advice:
      'Wait for darkness and put other lights out, or take one photo with the lamp off from the same tripod.',
  }),
  leaning: (deg: number): Words => ({
    why: 'leaning',
    detail: `the edge slopes by ${pct(Math.abs(deg))} degrees, ${deg > 0 ? 'right' : 'left'} side up, from one end to the other: a vehicle on its side stand, or a lamp far out of its seat`,
    advice:
      'Hold a motorcycle upright with a helper or a proper stand; seat the lamp in its bowl; then photograph it again.',
  }),
  blackClipped: (): Words => ({
    why: 'black-clipped',
    detail: 'the photo goes to plain black right at the edge, so the dark side of it is lost',
    advice: 'Use the photo as the camera saved it, without filter or editing, or expose longer.',
  }),
} as const;
