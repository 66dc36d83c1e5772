import * as faulty from '../../src/renderer/faulty-lamp.ts';
import {
  type Beam,
  type BeamSpec,
  buildBeam,
  DEFAULT_BEAM,
  Random,
  type Scene,
} from '../../src/renderer/index.ts';

/** A fault of a lamp, drawn gross enough that a careful person would see it on the board. */
export interface Fault {
  readonly name: string;
  /** Codes, any of which tells of it. */
  readonly tellsBy: readonly string[];
  /** Codes that are no false alarm beside them: the fault shows in that way, too. */
  readonly may: readonly string[];
  readonly beam: (spec: BeamSpec, random: Random) => Beam;
}

const sign = (random: Random): 1 | -1 => random.pick([-1, 1]);
/** A good lamp as the fault finds it: with a rise, or a step, for faults that speak of the elbow. */
const withElbow = (spec: BeamSpec): BeamSpec =>
  spec.kind === 'flat' || spec.kind === 'short-ramp' ? { ...spec, kind: 'rise' } : spec;

export const FAULTS: readonly Fault[] = [
  {
    name: 'turned as a whole',
    tellsBy: ['twisted', 'tilted'],
    may: ['hot-spot-astray', 'edge-crooked'],
    beam: (spec, random) => faulty.turned(buildBeam(withElbow(spec)), sign(random) * random.uniform(3, 6)),
  },
  {
    name: 'hazy lens',
    tellsBy: ['haze', 'light-above'],
    may: ['soft-edge', 'unfit-source'],
    beam: (spec, random) => faulty.hazed(buildBeam(spec), random.uniform(0.3, 0.7)),
  },
  {
    name: 'second edge above',
    tellsBy: ['double-edge'],
    may: ['light-above', 'haze', 'soft-edge', 'two-ways-differ', 'two-hot-spots', 'edge-crooked'],
    beam: (spec, random) =>
      faulty.withCopies(buildBeam(spec), [
        {
          rightDeg: random.uniform(-0.6, 0.6),
          upDeg: random.uniform(1.2, 2.4),
          share: random.uniform(0.15, 0.45),
        },
      ]),
  },
  {
    name: 'lamp for the other side',
    tellsBy: ['wrong-side'],
    may: ['hot-spot-astray'],
    beam: (spec) => faulty.otherSided(buildBeam(withElbow(spec))),
  },
  {
    name: 'bulb upside down',
    tellsBy: ['upside-down'],
    may: ['light-above', 'haze'],
    beam: (spec) => faulty.upsideDown(buildBeam(spec)),
  },
  {
    name: 'bulb out of focus',
    tellsBy: ['soft-edge', 'light-above', 'unfit-source', 'haze'],
    may: ['two-ways-differ', 'hot-spot-astray', 'two-hot-spots', 'double-edge', 'edge-crooked'],
    beam: (spec, random) => faulty.outOfFocus(buildBeam(spec), random.uniform(0.9, 1.5)),
  },
  {
    name: 'source not made for the lamp',
    tellsBy: ['unfit-source'],
    may: [
      'light-above',
      'haze',
      'soft-edge',
      'two-hot-spots',
      'double-edge',
      'two-ways-differ',
      'hot-spot-astray',
      'edge-crooked',
    ],
    beam: (spec, random) => faulty.unfitSource(buildBeam(spec), drawSource(random), spec.peakCd),
  },
  {
    name: 'hot spot aside',
    tellsBy: ['hot-spot-astray'],
    may: ['two-hot-spots', 'edge-crooked'],
    beam: (spec, random) => {
      const asideDeg = random.pick([random.uniform(-6, -4), random.uniform(7, 8.5)]);
      return buildBeam({
        ...withElbow(spec),
        hotSpot: { ...spec.hotSpot, asideDeg },
        spread: { ...spec.spread, share: 0.4 },
      });
    },
  },
  {
    name: 'hot spot too low',
    tellsBy: ['hot-spot-astray'],
    may: ['soft-edge', 'light-above'],
    beam: (spec, random) =>
      buildBeam({
        ...spec,
        hotSpot: { ...spec.hotSpot, belowDeg: random.uniform(4, 5) },
        spread: { ...spec.spread, share: 0.2 },
      }),
  },
  {
    name: 'two hot spots',
    tellsBy: ['two-hot-spots', 'unfit-source'],
    may: ['hot-spot-astray', 'edge-crooked', 'double-edge'],
    beam: (spec, random) => {
      const narrow = { ...spec, hotSpot: { ...spec.hotSpot, widthDeg: 1.3 } };
      return faulty.withCopies(buildBeam({ ...narrow, kind: 'flat' }), [
        {
          rightDeg: sign(random) * random.uniform(4, 5.5),
          upDeg: random.uniform(-0.8, -0.2),
          share: random.uniform(0.4, 0.5),
        },
      ]);
    },
  },
];

function drawSource(random: Random): faulty.UnfitSource {
  const aside = random.uniform(1.2, 2.4);
  return {
    copies: [
      { rightDeg: -aside, upDeg: random.uniform(-0.6, 0.3), share: 0.27 },
      { rightDeg: aside, upDeg: random.uniform(0.2, 0.9), share: 0.27 },
      { rightDeg: random.uniform(-0.6, 0.6), upDeg: random.uniform(0.5, 1.3), share: 0.2 },
    ],
    hole: {
      rightDeg: random.uniform(-0.4, 0.8),
      downDeg: random.uniform(0.9, 1.4),
      radiusDeg: random.uniform(0.7, 1.1),
      depth: random.uniform(0.6, 0.85),
    },
    streaks: Array.from({ length: 3 + random.below(3) }, () => ({
      rightDeg: random.uniform(-7, 7),
      upDeg: random.uniform(1.5, 4),
      lengthDeg: random.uniform(1, 2.2),
      thickDeg: random.uniform(0.25, 0.5),
      share: random.uniform(0.05, 0.12),
    })),
  };
}

/** The scene with its first lamp spoilt; the lamp keeps aim, opening and place. */
export function withFault(scene: Scene, fault: Fault, seed: number): Scene {
  const first = scene.lamps[0]!;
  const spec = 'intensity' in first.beam ? DEFAULT_BEAM : first.beam;
  const random = new Random(Math.imul(seed, 48271) + 3);
  return { ...scene, lamps: [{ ...first, beam: fault.beam(spec, random) }, ...scene.lamps.slice(1)] };
}
