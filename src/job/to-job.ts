import { InputError } from '../core/errors.ts';
import { boardOf } from './board-of.ts';
import { DEFAULT_U } from './defaults.ts';
import { lampGeometryOf } from './geometry-of.ts';
import type { Job, JobShot } from './job.ts';
import { lampOf } from './lamp-of.ts';
import { measuredOrNull } from './measured.ts';
import { odditiesOf } from './oddities.ts';
import { JobFileError, refuseTwins } from './problems.ts';
import type { ParsedJobFile } from './schema.ts';
import { schemesOf } from './schemes-of.ts';

/**
 * The job as the rest of the program wants it: mm and per cent everywhere, uncertainties filled in, one geometry per
 * shot, names checked against each other.
 * @throws JobFileError naming the field.
 */
export function toJob(file: ParsedJobFile): Job {
  try {
    refuseTwins(file.vehicle.lamps, (lamp) => lamp.id, 'vehicle.lamps', 'id');
    refuseTwins(file.shots, (shot) => shot.id, 'shots', 'id');
    refuseStrangers(file);
    // Not used in a reading yet, but a wrong figure must not lie in wait in the file.
    measuredOrNull(file.vehicle.wheelbase, 'vehicle.wheelbase', DEFAULT_U.wheelbase);
    measuredOrNull(file.vehicle.width, 'vehicle.width', DEFAULT_U.wheelbase);
    const lamps = file.vehicle.lamps.map((lamp, i) => lampOf(lamp, `vehicle.lamps.${i}`));
    const board = boardOf(file);
    const job = {
      file,
      title: file.title,
      rendered: file.rendered,
      trafficSide: file.vehicle.trafficSide,
      vehicleKind: file.vehicle.kind,
      lamps,
      board,
      shots: file.shots.map((shot, i) => shotOf(file, shot, `shots.${i}`)),
      schemes: schemesOf(file, lamps),
      words: file.words,
      units: file.units,
    };
    return { ...job, oddities: odditiesOf(job) };
  } catch (e) {
    if (e instanceof InputError && !(e instanceof JobFileError)) {
      throw JobFileError.from(e);
    }
    throw e;
  }
}

/** A mistyped lamp id in a table of lamps would otherwise be passed over in silence. */
function refuseStrangers(file: ParsedJobFile): void {
  const { method, distances } = file.bay;
  const tables: readonly (readonly [string, Readonly<Record<string, unknown>> | undefined])[] = [
    ['bay.distances', distances],
    ['bay.method.lampMarks', method.kind === 'nose-to-board' ? method.lampMarks : undefined],
    ['bay.method.lampCentres', method.kind === 'level-datum' ? method.lampCentres : undefined],
  ];
  const known = file.vehicle.lamps.map((lamp) => lamp.id);
  for (const [field, table] of tables) {
    for (const id of Object.keys(table ?? {})) {
      if (!known.includes(id)) {
        throw new JobFileError(`${field}.${id}`, `a lamp of this vehicle: ${known.join(', ')}`, id);
      }
    }
  }
}

function shotOf(file: ParsedJobFile, shot: ParsedJobFile['shots'][number], field: string): JobShot {
  if (!file.vehicle.lamps.some((lamp) => lamp.id === shot.lamp)) {
    const known = file.vehicle.lamps.map((lamp) => lamp.id).join(', ');
    throw new JobFileError(`${field}.lamp`, `a lamp of this vehicle: ${known}`, shot.lamp);
  }
  const crosses = new Set(file.board.crosses.map((cross) => cross.name));
  shot.taps?.forEach((tap, i) => {
    if (!crosses.has(tap.cross)) {
      throw new JobFileError(
        `${field}.taps.${i}.cross`,
        `a cross of the board: ${[...crosses].join(', ') || 'none is given'}`,
        tap.cross,
      );
    }
  });
  refuseTwins(shot.taps ?? [], (tap) => tap.cross, `${field}.taps`, 'cross');
  return {
    id: shot.id,
    lamp: shot.lamp,
    photos: shot.photos,
    lampsOff: shot.lampsOff ?? null,
    marksShot: shot.marksShot ?? null,
    taps: shot.taps ?? [],
    geometry: lampGeometryOf(
      file,
      shot.lamp,
      shot.distance === undefined ? undefined : { value: shot.distance, field: `${field}.distance` },
    ),
  };
}
