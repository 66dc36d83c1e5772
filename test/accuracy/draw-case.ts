import type { BoardPoint } from '../../src/core/frames.ts';
import type { LampView } from '../../src/core/lamp-view.ts';
import type { CauseId } from '../../src/core/uncertainty/estimate.ts';
import type { Job } from '../../src/job/job.ts';
import { jobFromFile } from '../../src/job/load-job.ts';
import type { JobFile } from '../../src/job/schema.ts';
import {
  boardToPhoto,
  type EdgeFamily,
  HELD_BACK_FAMILY,
  makeScene,
  type PlacedPrint,
  Random,
  type Scene,
  TUNING_FAMILIES,
  tapeCross,
} from '../../src/renderer/index.ts';
import { PAPER_REFLECTANCE, sheetDesign } from '../../src/vision/mark-design.ts';

export interface CaseLabel {
  readonly seed: number;
  readonly megapixels: 3 | 12;
  readonly family: EdgeFamily;
  readonly heldBack: boolean;
  readonly kind: 'flat' | 'rise' | 'step' | 'short-ramp';
  readonly traffic: 'left' | 'right';
  readonly distanceM: number;
  readonly litMm: number;
  readonly filling: string;
  readonly stops: number;
  readonly ambientLux: number;
  readonly tone: 'srgb' | 's-curve';
  readonly iso: number;
  readonly marks: 'sheets' | 'crosses';
  readonly method: string;
}

export interface AccuracyCase {
  readonly label: CaseLabel;
  readonly scene: Scene;
  /** The job as the person typed it, its numbers wrong by as much as their own uncertainties allow. */
  readonly typed: Job;
  /** The same with the world's true numbers and no uncertainty of them; the lamp's size and filling as typed. */
  readonly exact: Job;
  /** The same, and the lamp's true size and filling. */
  readonly exactLamp: Job;
}

/** What may be set instead of drawn; everything else stays as the seed draws it. */
export interface CaseChanges {
  readonly distanceMm?: number;
}

/** One seeded photo: a world drawn around typed numbers, so that the numbers are wrong as they say they may be. */
export function drawCase(seed: number, megapixels: 3 | 12, changes: CaseChanges = {}): AccuracyCase {
  // Neighbouring seeds must not draw alike: the generator's first numbers follow its seed.
  const random = new Random(Math.imul(seed, 2654435761) ^ (seed >>> 7));
  const held = random.uniform(0, 1) < 0.15;
  const family = held ? HELD_BACK_FAMILY : random.pick(TUNING_FAMILIES);
  const kind = random.pick(['rise', 'rise', 'step', 'short-ramp', 'flat'] as const);
  const traffic = random.pick(['left', 'right'] as const);
  const drawnMm = Math.round(random.uniform(3000, 10000) / 10) * 10;
  const distanceMm = changes.distanceMm ?? drawnMm;
  const litMm = random.pick([60, 90, 130, 170]);
  // Drawn from the seed alone, so that the other draws stay what they were.
  const typedLitMm = Math.round(litMm * (1 + 0.1 * (2 * new Random(seed ^ 0x2545f491).uniform(0, 1) - 1)));
  const filling = random.pick([
    'disc',
    'centre-weighted',
    'upper-half',
    'lower-half-dim',
    'ring',
    'lens',
  ] as const);
  const stops = random.pick([0, 0, 0, -1, 1, 2]);
  const ambientLux = random.pick([
    random.uniform(0, 1),
    random.uniform(0, 1),
    random.uniform(0, 1),
    random.uniform(1, 3),
    random.uniform(3, 10),
  ]);
  const tone = random.pick(['srgb', 'srgb', 's-curve'] as const);
  // With the hot spot just burnt out and 1/60 s or so a phone needs ISO 50 to 200; the rest is clumsy, and happens.
  const iso = random.pick([100, 100, 100, 200, 200, 400, 800, 1600]);
  const marks = random.uniform(0, 1) < 0.8 ? 'sheets' : 'crosses';
  const half = Math.max(900, 0.12 * distanceMm);
  const zero = { X: Math.round(random.uniform(-120, 120)), Y: Math.round(random.uniform(600, 720)) };

  const sheetPlaces: readonly BoardPoint[] = [
    { X: -0.8 * half, Y: 135 },
    { X: -0.36 * half, Y: 130 },
    { X: 0.37 * half, Y: 132 },
    { X: 0.79 * half, Y: 138 },
    { X: -0.77 * half, Y: 1230 },
  ].map(rounded);
  const crossPlaces: readonly BoardPoint[] = [
    { X: -0.85 * half, Y: 90 },
    { X: -0.3 * half, Y: 130 },
    { X: 0.36 * half, Y: 100 },
    { X: 0.86 * half, Y: 140 },
    { X: -0.84 * half, Y: 1290 },
    { X: 0.83 * half, Y: 1240 },
    { X: -0.87 * half, Y: 500 },
    { X: 0.88 * half, Y: 460 },
  ].map(rounded);

  const method = typedMethod(
    random.pick(['nose-to-board', 'nose-to-board', 'floor', 'level-datum'] as const),
    zero,
  );
  const file: JobFile = {
    dipcard: 1,
    title: `Accuracy ${seed}`,
    rendered: true,
    vehicle: {
      kind: 'car',
      trafficSide: traffic,
      wheelbase: 2500,
      lamps: [
        {
          id: 'lamp',
          function: 'passing',
          side: 'left',
          centre: { right: -560, forward: 620, up: 670 },
          // A tape over a curved lens: within 10 %, and nobody knows how a lamp fills.
          litHeight: { value: typedLitMm, u: 0.06 * typedLitMm },
          litWidth: { value: typedLitMm, u: 0.06 * typedLitMm },
        },
      ],
    },
    bay: { distance: distanceMm, method },
    board: {
      sheets: marks === 'sheets' ? sheetPlaces.map((at, i) => ({ number: i + 1, at, turnDeg: 0 })) : [],
      crosses: marks === 'crosses' ? crossPlaces.map((at, i) => ({ name: `cross ${i + 1}`, at })) : [],
      extent: { left: -half, right: half, bottom: 0, top: 1400 },
    },
    shots: [{ id: 'shot', lamp: 'lamp', photos: ['photo.jpg'] }],
    schemes: [],
  };
  const plain = jobFromFile(file);
  const shot = plain.shots[0]!;

  // The world: every input off by its own uncertainty, one draw per cause.
  const draws = new Map<CauseId, number>();
  const drawn = (cause: CauseId) => {
    const known = draws.get(cause);
    if (known !== undefined) return known;
    const z = random.normal();
    draws.set(cause, z);
    return z;
  };
  const world: LampView = shot.geometry.view(shot.geometry.inputs.map((i) => i.value + i.u * drawn(i.cause)));

  const trueSheets = plain.board.sheets.map((s) => ({
    ...s,
    at: s.at && {
      X: { mm: s.at.X.mm + s.at.X.uMm * random.normal(), uMm: 0 },
      Y: { mm: s.at.Y.mm + s.at.Y.uMm * random.normal(), uMm: 0 },
    },
    turnDeg: (s.turnDeg ?? 0) + s.uTurnDeg * random.normal(),
    uTurnDeg: 0,
  }));
  const trueCrosses = plain.board.crosses.map((c) => ({
    ...c,
    at: { X: c.at.X + c.uMm * random.normal(), Y: c.at.Y + c.uMm * random.normal() },
    uMm: 0,
  }));
  const prints: PlacedPrint[] = [];
  for (const s of trueSheets) {
    const design = sheetDesign(s.number, 'a4');
    const place = (p: BoardPoint): BoardPoint => placed(p, { X: s.at!.X.mm, Y: s.at!.Y.mm }, s.turnDeg);
    const w = design.widthMm / 2;
    const h = design.heightMm / 2;
    prints.push({
      shape: {
        kind: 'polygon',
        points: [
          { X: -w, Y: -h },
          { X: w, Y: -h },
          { X: w, Y: h },
          { X: -w, Y: h },
        ].map(place),
      },
      reflectance: PAPER_REFLECTANCE,
    });
    for (const shape of design.shapes) {
      if (shape.kind === 'polygon')
        prints.push({
          shape: { kind: 'polygon', points: shape.points.map(place) },
          reflectance: shape.reflectance,
        });
      else prints.push({ shape: { ...shape, centre: place(shape.centre) }, reflectance: shape.reflectance });
    }
  }
  for (const c of trueCrosses) prints.push(...tapeCross(c.at, 120, 19, random.uniform(-3, 3)));

  const widthPx = megapixels === 3 ? 2000 : 4000;
  const back = random.uniform(300, 900);
  const focal35Mm = (34.6 * (world.distanceMm + back)) / (2.25 * half);
  const scene = makeScene({
    beam: {
      kind,
      traffic,
      family,
      sharpnessG: random.uniform(0.13, 0.45),
      strayShare: random.uniform(0.004, 0.015),
      peakCd: random.uniform(18000, 45000),
      rampDeg: random.pick([25, 30, 40]),
      shelfPct: random.uniform(0.5, 1),
      seed,
    },
    aim: {
      dropPct: random.uniform(0.3, 2.6),
      offsetPct: random.uniform(-1.5, 1.5),
      tiltDeg: random.uniform(-1, 1),
    },
    opening: { filling, widthMm: litMm, heightMm: litMm, seed },
    stand: {
      distanceMm: world.distanceMm,
      axisFoot: world.axisFoot,
      outOfPlumbDeg: world.outOfPlumbDeg,
      yawDeg: world.yawDeg,
      rollDeg: world.rollDeg,
    },
    board: { left: -half, right: half, bottom: 0, top: 1400, prints, seed, finish: 'matt' },
    ambient: {
      lux: ambientLux,
      perMetreX: random.uniform(-0.15, 0.15),
      perMetreY: random.uniform(-0.15, 0.15),
    },
    camera: {
      widthPx,
      heightPx: (widthPx * 3) / 4,
      place: { right: random.uniform(-700, 700), forward: -back, up: random.uniform(100, 700) },
      lookAt: { X: 0, Y: 660 },
      rollDeg: random.uniform(-1.5, 1.5),
      focal35Mm,
      k1: random.uniform(-0.02, 0.02),
    },
    lens: {
      blurPx: random.uniform(0.7, 1.3) * (megapixels === 3 ? 1 : 1.4),
      veil: random.uniform(0.001, 0.006),
      bloom: random.uniform(0, 0.015),
    },
    sensor: { iso, exposure: { auto: 'hot-spot', stops }, denoise: random.pick([0, 0, 0.3]) },
    tone: { curve: tone, strength: tone === 'srgb' ? 0 : random.uniform(0.15, 0.5) },
    surroundings: { lampHeightMm: 660 },
  });

  // Taps are by hand: a few pixels off, as a thumb is.
  const taps = trueCrosses.map((c) => {
    const p = boardToPhoto(scene, c.at.X, c.at.Y);
    return { cross: c.name, x: p.x + 3 * random.normal(), y: p.y + 3 * random.normal() };
  });
  const typed: Job = { ...plain, shots: [{ ...shot, taps }] };
  const exact: Job = {
    ...plain,
    board: { ...plain.board, sheets: trueSheets, crosses: trueCrosses },
    shots: [{ ...shot, taps, geometry: { inputs: [], view: () => world, leavesOut: [] } }],
  };
  const lit = { mm: litMm, uMm: 0.01 * litMm };
  const exactLamp: Job = {
    ...exact,
    lamps: exact.lamps.map((lamp) => ({ ...lamp, filling, litHeight: lit, litWidth: lit })),
  };
  return {
    label: {
      seed,
      megapixels,
      family,
      heldBack: held,
      kind,
      traffic,
      distanceM: world.distanceMm / 1000,
      litMm,
      filling,
      stops,
      ambientLux,
      tone,
      iso,
      marks,
      method: method.kind,
    },
    scene,
    typed,
    exact,
    exactLamp,
  };
}

function typedMethod(
  kind: 'nose-to-board' | 'floor' | 'level-datum',
  zero: BoardPoint,
): JobFile['bay']['method'] {
  if (kind === 'nose-to-board') return { kind, lampMarks: { lamp: { X: zero.X, Y: zero.Y } } };
  if (kind === 'floor')
    return { kind, originAboveFoot: 0, footAboveTyrePlane: -5, axis: 'strings', axisX: zero.X + 560 };
  return {
    kind,
    tool: 'water-level',
    wheelbase: 2500,
    frontContact: -800,
    rearContact: -804,
    boardOrigin: -806,
    axis: 'sighting',
    axisX: zero.X + 560,
  };
}

function placed(p: BoardPoint, at: BoardPoint, turnDeg: number): BoardPoint {
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  return { X: at.X + p.X * c - p.Y * s, Y: at.Y + p.X * s + p.Y * c };
}

function rounded(p: BoardPoint): BoardPoint {
  return { X: Math.round(p.X), Y: Math.round(p.Y) };
}
