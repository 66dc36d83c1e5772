import { type BadPhoto, mmPerDeg } from './bad-plane.ts';
import type { Beam } from './beam.ts';
import type { LampSpec } from './lamp.ts';
import type { Random } from './random.ts';
import type { Scene } from './scene.ts';

/** Other light than one dipped lamp's: each takes a good scene and spoils it. Colours are linear sRGB of luminance 1. */

const SUNSET: readonly [number, number, number] = [1.7, 0.87, 0.31];
const AMBER: readonly [number, number, number] = [2.3, 0.71, 0.02];
const DEG = Math.PI / 180;

/** The same scene with another first lamp. */
export function withLamp(scene: Scene, change: Partial<LampSpec>): Scene {
  return { ...scene, lamps: [{ ...scene.lamps[0]!, ...change }, ...scene.lamps.slice(1)] };
}

/** The first lamp's beam, changed; a scene's own lamps are built, never ready-made. */
function withBeam(scene: Scene, change: object): Scene {
  return withLamp(scene, { beam: { ...scene.lamps[0]!.beam, ...change } as LampSpec['beam'] });
}

/** A ready beam without cut-off. */
function spot(intensity: (aside: number, up: number) => number): Beam {
  return { intensity: (u, v) => intensity(u / DEG, v / DEG), cutOff: null, finest: 0.1 * DEG, fringe: 0 };
}

/** Evening sky on the board: much light, more of it towards the top and one side. */
export function sunset(scene: Scene, random: Random): BadPhoto {
  const ambient = {
    lux: random.uniform(30, 150),
    perMetreX: random.uniform(-0.3, 0.3),
    perMetreY: random.uniform(0.3, 0.9),
    colour: SUNSET,
  };
  return { scene: { ...scene, ambient }, edits: {} };
}

/** A torch in the lamp's place: a round spot with a soft rim. */
export function torch(scene: Scene, random: Random): BadPhoto {
  const rim = random.uniform(2, 4.5);
  const soft = random.uniform(0.08, 0.4);
  const core = random.uniform(0.8, 2);
  const beam = spot((a, b) => {
    const r = Math.hypot(a, b);
    return 9000 * (Math.exp(-((r / core) ** 2)) + 0.25 / (1 + Math.exp((r - rim) / soft)) + 0.004);
  });
  const aim = { dropPct: random.uniform(0, 3), offsetPct: random.uniform(-2, 2), tiltDeg: 0 };
  return { scene: withLamp(scene, { beam, aim }), edits: {} };
}

/** No lamp lit at all: a street lamp or ceiling light shines on the board from above. */
export function ceilingLight(scene: Scene, random: Random): BadPhoto {
  const { distanceMm } = scene.board.stand;
  const wide = random.uniform(5, 12);
  const beam = spot((a, b) => 900 * Math.exp(-((a / wide) ** 2) - ((b - 6) / wide) ** 2) + 30);
  const aim = { dropPct: 0, offsetPct: random.uniform(-4, 4), tiltDeg: 0 };
  const place = { right: 0, forward: 0.2 * distanceMm, up: 200 };
  const opening = { filling: 'disc', widthMm: 120, heightMm: 120, seed: 1 } as const;
  return {
    scene: withLamp(scene, { beam, aim, place, opening, colour: [1.2, 0.97, 0.7] }),
    edits: {},
  };
}

/** The other lamp of the pair is lit too. */
export function twoLamps(scene: Scene, random: Random): BadPhoto {
  const first = scene.lamps[0]!;
  const { aim } = first;
  const other: LampSpec = {
    ...first,
    place: { right: random.pick([-1, 1]) * random.uniform(450, 1400), forward: 0, up: 0 },
    aim: {
      ...aim,
      dropPct: aim.dropPct + random.pick([-1, 1]) * random.uniform(0.25, 1.2),
      offsetPct: aim.offsetPct + random.uniform(-0.7, 0.7),
    },
  };
  return { scene: { ...scene, lamps: [first, other] }, edits: {} };
}

/** A twin lamp close by, aimed almost the same: the two edges run into each other. */
export function twinLamps(scene: Scene, random: Random): BadPhoto {
  const first = scene.lamps[0]!;
  const { aim } = first;
  const other: LampSpec = {
    ...first,
    place: {
      right: random.pick([-1, 1]) * random.uniform(150, 350),
      forward: 0,
      up: random.uniform(-20, 20),
    },
    aim: { ...aim, dropPct: aim.dropPct + random.pick([-1, 1]) * random.uniform(0.05, 0.5) },
  };
  return { scene: { ...scene, lamps: [first, other] }, edits: {} };
}

/** Main beam instead of dipped. */
export function mainBeam(scene: Scene): BadPhoto {
  return { scene: withBeam(scene, { kind: 'driving', peakCd: 60000 }), edits: {} };
}

/** Main beam on top of the dipped beam. */
export function mainAndDipped(scene: Scene, random: Random): BadPhoto {
  const first = scene.lamps[0]!;
  const beam = { ...first.beam, kind: 'driving', peakCd: random.uniform(20000, 60000) } as LampSpec['beam'];
  const aim = { ...first.aim, dropPct: first.aim.dropPct - random.uniform(0.8, 1.6) };
  const main: LampSpec = { ...first, beam, aim };
  return { scene: { ...scene, lamps: [first, main] }, edits: {} };
}

/** Front fog lamp: level edge, very wide, low. */
export function frontFog(scene: Scene, random: Random): BadPhoto {
  const low = scene.lamps[0]!.aim.dropPct + random.uniform(1, 2);
  const fog = withBeam(scene, {
    kind: 'flat',
    peakCd: 9000,
    hotSpot: {
      asideDeg: 0,
      belowDeg: 1.2,
      widthDeg: random.uniform(9, 14),
      heightDeg: random.uniform(1, 1.6),
    },
    spread: { share: 0.6, widthDeg: 20, foregroundDeg: 2 },
  });
  return { scene: withLamp(fog, { aim: { dropPct: low, offsetPct: 0, tiltDeg: 0 } }), edits: {} };
}

/** A lamp made for the other side of the road. */
export function otherSide(scene: Scene): BadPhoto {
  const { beam } = scene.lamps[0]!;
  const traffic = 'traffic' in beam && beam.traffic === 'left' ? 'right' : 'left';
  return { scene: withBeam(scene, { kind: 'rise', traffic }), edits: {} };
}

/** A turn signal beside the lamp happened to be lit. */
export function blinker(scene: Scene, random: Random): BadPhoto {
  const peakCd = random.uniform(200, 700);
  const beam = spot((a, b) => peakCd * Math.exp(-((a / 18) ** 2) - (b / 12) ** 2));
  const other: LampSpec = {
    ...scene.lamps[0]!,
    beam,
    colour: AMBER,
    aim: { dropPct: 0, offsetPct: 0, tiltDeg: 0 },
    place: { right: random.pick([-1, 1]) * random.uniform(150, 300), forward: 0, up: 0 },
  };
  return { scene: { ...scene, lamps: [...scene.lamps, other] }, edits: {} };
}

/** A motorcycle that leans on its side stand: a level beam, sloping on the board. */
export function leaningMotorcycle(scene: Scene, random: Random): BadPhoto {
  const tiltDeg = random.pick([-1, 1]) * random.uniform(6, 12);
  const flat = withBeam(scene, { kind: 'flat' });
  return { scene: withLamp(flat, { aim: { ...scene.lamps[0]!.aim, tiltDeg } }), edits: {} };
}

/** The whole lamp sits twisted in its bowl. */
export function twistedLamp(scene: Scene, random: Random): BadPhoto {
  const tiltDeg = random.pick([-1, 1]) * random.uniform(3, 6);
  return { scene: withLamp(scene, { aim: { ...scene.lamps[0]!.aim, tiltDeg } }), edits: {} };
}

/** Aimed so that the edge passes over the top of the board. */
export function edgeOverBoard(scene: Scene, random: Random): BadPhoto {
  const { axisFoot, distanceMm } = scene.board.stand;
  const over = random.uniform(0.4, 1.2) * mmPerDeg(scene);
  const dropPct = (-100 * (scene.board.top + over - axisFoot.Y)) / distanceMm;
  return { scene: withLamp(scene, { aim: { ...scene.lamps[0]!.aim, dropPct } }), edits: {} };
}
