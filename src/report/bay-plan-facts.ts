import type { BayFacts, PlanLampFacts, PlanU } from '../core/bay-plan/facts.ts';
import { InputError } from '../core/errors.ts';
import type { Side } from '../core/frames.ts';
import type { Known } from '../core/geometry/bay/input-table.ts';
import type { LampFunction, Scheme } from '../core/rules/scheme.ts';
import { listSchemes, schemeById } from '../core/rules/schemes/list.ts';
import { DEFAULT_U, levelU, loadU } from '../job/defaults.ts';
import { COUNTRIES, LAMP_SETS, newJob } from '../job/new-job.ts';
import { dropPct, lengthMm } from '../job/quantity.ts';
import type { ParsedBayFile } from './bay-plan-schema.ts';
import { onTape, type Units } from './format.ts';
import type { Dialect } from './words.ts';

/** A bay file behind its door: facts in mm, what had to be assumed, and how the person is spoken to. */
export interface BayRequest {
  readonly title: string;
  readonly facts: BayFacts;
  readonly u: PlanU;
  /** What was not given and taken as usual, in plain words. */
  readonly assumed: readonly string[];
  readonly units: Units;
  readonly words: Dialect;
  readonly motorcycle: boolean;
}

/**
 * What reading a photo adds, per cent (k = 1), from our own accuracy table (DEVELOPERS.md: 320 rendered photos, seed
 * 20260): 95 % of all 12 MP photos lie within 0.159 % in drop and 0.262 % at the elbow, u = 0.081 and 0.134; of that,
 * 0.058 (right exposure), u = 0.030, is new in every photo, the rest (exposure and tone) belongs to the camera.
 */
const PHOTO_U: PlanU['photo'] = {
  dropShotPct: 0.03,
  dropCameraPct: 0.075,
  offsetPct: 0.134,
  source: 'our own accuracy table: rendered photographs of known answer, all conditions, 12 MP',
};

/** The plan's uncertainties are those of a real job whose owner gave none. */
export const PLAN_U: PlanU = {
  distance: DEFAULT_U.distance.u,
  lampMark: DEFAULT_U.lampMark.u,
  boardHeight: DEFAULT_U.boardHeight.u,
  datumHeight: DEFAULT_U.datumHeight.u,
  lampForward: DEFAULT_U.lampForward.u,
  axisMark: DEFAULT_U.axisMark.u,
  axisMarkGuessed: DEFAULT_U.axisMarkGuessed.u,
  sheetPlace: DEFAULT_U.sheetPlace.u,
  floorFlatnessMmPerM: DEFAULT_U.floorFlatness.u,
  floorUnmeasuredMmPerM: DEFAULT_U.floorUnmeasured.u,
  floorMeasuredMmPerM: DEFAULT_U.floorMeasured.u,
  outOfPlumbDeg: DEFAULT_U.outOfPlumb.u,
  boardYawDeg: DEFAULT_U.boardYaw.u,
  levelLineDeg: DEFAULT_U.levelLine.u,
  crossFallDeg: DEFAULT_U.crossFall.u,
  crossFallMeasuredDeg: DEFAULT_U.crossFallMeasured.u,
  noseMarksTangent: DEFAULT_U.noseMarks.u,
  levelSlope: {
    'water-level': levelU('water-level'),
    laser: levelU('laser'),
    'spirit-level': levelU('spirit-level'),
  },
  photo: PHOTO_U,
};

/** Lit part by kind of lamp, mm high x wide: usual sizes, common practice, no source. */
const LIT: Readonly<Record<'round' | 'lens' | 'strip', readonly [number, number]>> = {
  round: [170, 170],
  lens: [60, 60],
  strip: [25, 150],
};
const LAMP_UP: Readonly<Record<string, number>> = { motorcycle: 900, van: 750, truck: 900 };
const SHORT: Readonly<Record<LampFunction, string>> = { passing: 'dip', driving: 'main', 'front-fog': 'fog' };

/**
 * The facts of a bay file: every length in mm, every gap filled with something usual and named.
 * @throws InputError naming the field.
 */
export function bayRequest(file: ParsedBayFile): BayRequest {
  const country = file.country === undefined ? null : COUNTRIES[file.country];
  const words = file.words ?? country?.words ?? 'gb';
  const units = file.units ?? country?.units ?? 'mm';
  const assumed: string[] = [];
  const say = (what: string, mm: number): void => void assumed.push(`${what}: ${onTape(mm, units)} (usual).`);
  const trafficSide = country?.trafficSide ?? 'left';
  const vehicle = vehicleOf(file, say);
  return {
    title: file.title,
    facts: {
      garage: garageOf(file),
      drive: driveOf(file),
      elsewhere: file.elsewhere,
      elsewhereFlatnessMmPerM: flatnessOf(file.elsewhereFlatness),
      vehicle,
      lamps: lampsOf(file, schemesOf(file), vehicle.widthMm, say),
      trafficSide,
      tools: file.tools,
      engineNeeded: file.engineNeeded,
    },
    u: PLAN_U,
    assumed,
    units,
    words,
    motorcycle: file.vehicle.kind === 'motorcycle',
  };
}

type Say = (what: string, mm: number) => void;

function positive(typed: string | number, field: string, most = 100_000): number {
  const mm = lengthMm(typed, field);
  if (!(mm > 0 && mm <= most)) throw new InputError(field, `a length above 0, up to ${most / 1000} m`, typed);
  return mm;
}

function optional(typed: string | number | undefined, field: string, most?: number): number | null {
  return typed === undefined ? null : positive(typed, field, most);
}

function slopeOf(typed: string | number | undefined, field: string): number {
  return typed === undefined ? 0 : dropPct(typed, field);
}

function flatnessOf(typed: ParsedBayFile['elsewhereFlatness']): number | null {
  if (typeof typed === 'number') return typed;
  if (typed === 'unknown') return null;
  return typed === 'flat' ? DEFAULT_U.floorFlatness.u : 1.5 * DEFAULT_U.floorFlatness.u;
}

function garageOf({ garage }: ParsedBayFile): BayFacts['garage'] {
  if (garage === null) return null;
  return {
    lengthMm: positive(garage.length, 'garage.length'),
    widthMm: optional(garage.width, 'garage.width'),
    doorWidthMm: optional(garage.doorWidth, 'garage.doorWidth'),
    doorHeightMm: optional(garage.doorHeight, 'garage.doorHeight'),
    slopePct: slopeOf(garage.slope, 'garage.slope'),
    flatnessMmPerM: flatnessOf(garage.flatness),
  };
}

function driveOf({ drive }: ParsedBayFile): BayFacts['drive'] {
  if (drive === null) return null;
  return {
    lengthMm: positive(drive.length, 'drive.length'),
    slopePct: slopeOf(drive.slope, 'drive.slope'),
    flatnessMmPerM: flatnessOf(drive.flatness),
  };
}

function vehicleOf(file: ParsedBayFile, say: Say): BayFacts['vehicle'] {
  const { vehicle } = file;
  const twoWheels = vehicle.kind === 'motorcycle';
  const lengthOf = positive(vehicle.length, 'vehicle.length', 20_000);
  const wheelbase = optional(vehicle.wheelbase, 'vehicle.wheelbase', 10_000);
  const nose = optional(vehicle.nose, 'vehicle.nose', 5000);
  const behind = optional(vehicle.lampBehindNose, 'vehicle.lampBehindNose', 5000);
  const usual = {
    wheelbase: Math.round((lengthOf * (twoWheels ? 0.66 : 0.61)) / 10) * 10,
    nose: Math.round((lengthOf * (twoWheels ? 0.15 : 0.18)) / 10) * 10,
    behind: twoWheels ? 400 : 150,
  };
  if (wheelbase === null) say('Wheelbase', usual.wheelbase);
  if (nose === null) say('Nose ahead of the front axle', usual.nose);
  if (behind === null) say('Lamps behind the foremost point', usual.behind);
  return {
    lengthMm: lengthOf,
    widthMm: optional(vehicle.width, 'vehicle.width', 4000),
    // What is only assumed now will have been taped by the time of the reading: its usual doubt counts.
    wheelbase: { value: wheelbase ?? usual.wheelbase, u: DEFAULT_U.wheelbase.u },
    noseAheadOfAxleMm: nose ?? usual.nose,
    lampBehindNoseMm: behind ?? usual.behind,
    loadU: loadU(vehicle.kind),
  };
}

function lampsOf(
  file: ParsedBayFile,
  schemes: readonly Scheme[],
  widthMm: number | null,
  say: Say,
): readonly PlanLampFacts[] {
  const { lamps } = file;
  const up = optional(lamps.height, 'lamps.height', 3000);
  const spacing = optional(lamps.spacing, 'lamps.spacing', 3000);
  const lower = optional(lamps.lowerEdge, 'lamps.lowerEdge', 3000);
  const usualUp = LAMP_UP[file.vehicle.kind] ?? 650;
  const usualSpacing = widthMm === null ? 1100 : Math.round((widthMm - 400) / 10) * 10;
  if (up === null) say('Lamp centres over the floor', usualUp);
  const pairs = LAMP_SETS[lamps.set].some(([, count]) => count === 'pair');
  if (pairs && spacing === null) say('From lamp centre to lamp centre', usualSpacing);
  const [litHigh, litWide] = lamps.kind === 'unknown' ? [null, null] : LIT[lamps.kind];
  const litHeightMm = optional(lamps.litHeight, 'lamps.litHeight', 1000) ?? litHigh;
  if (lamps.litHeight === undefined) say('Lit part of a lamp, in height', litHeightMm ?? 170);
  const half = (spacing ?? usualSpacing) / 2;
  const centreUp: Known = { value: up ?? usualUp, u: DEFAULT_U.lampHeight.u };
  return LAMP_SETS[lamps.set].flatMap(([lampFunction, count]) =>
    (count === 'pair' ? (['left', 'right'] as const) : (['centre'] as const)).map(
      (side: Side): PlanLampFacts => ({
        id: side === 'centre' ? SHORT[lampFunction] : `${side}-${SHORT[lampFunction]}`,
        function: lampFunction,
        side,
        centreRight: {
          value: side === 'centre' ? 0 : side === 'left' ? -half : half,
          u: DEFAULT_U.lampSide.u,
        },
        centreUp,
        lowerEdge:
          lower === null
            ? litHeightMm === null
              ? null
              : { value: centreUp.value - litHeightMm / 2, u: Math.hypot(centreUp.u, DEFAULT_U.lowerEdge.u) }
            : { value: lower, u: DEFAULT_U.lowerEdge.u },
        litHeightMm,
        litWidthMm: optional(lamps.litWidth, 'lamps.litWidth', 1000) ?? litWide,
        filling: lamps.filling,
        marking: lamps.marking,
        beam: lamps.beam ?? usualBeam(file),
        schemes,
      }),
    ),
  );
}

/** US lamps without a visual-aim mark have no cut-off to speak of; all others rise to the kerb. */
function usualBeam({ country, lamps }: ParsedBayFile): PlanLampFacts['beam'] {
  const visual = lamps.marking === 'VOL' || lamps.marking === 'VOR' || lamps.marking === 'VO';
  return country === 'us' && !visual ? 'no-cut-off' : 'rise';
}

/** The schemes chosen, or those that a new job for that country would get. */
function schemesOf(file: ParsedBayFile): readonly Scheme[] {
  const ids = file.schemes ?? usualSchemes(file);
  return ids.map((id, i) => {
    const scheme = schemeById(id);
    if (scheme !== null) return scheme;
    const known = listSchemes().map((s) => s.id);
    throw new InputError(`schemes.${i}`, `one of ${known.join(', ')}`, id);
  });
}

function usualSchemes({ country, approval, vehicle, lamps }: ParsedBayFile): readonly string[] {
  if (country === undefined) return [];
  const job = newJob({
    vehicle: { kind: vehicle.kind, country, approval },
    lamps: lamps.set,
    place: { by: 'height', height: 650 },
    distance: 5000,
    litSize: null,
    marking: lamps.marking,
  });
  return job.schemes ?? [];
}
