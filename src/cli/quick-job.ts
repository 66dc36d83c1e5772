import path from 'node:path';
import { z } from 'zod';
import type { Job } from '../job/job.ts';
import { jobFromFile } from '../job/load-job.ts';
import { JOB_VERSION, type JobFile } from '../job/schema.ts';
import { CliError } from './errors.ts';

/** The flags of `read --photo`: one lamp, one photo or a bracket, marks placed from the lamp's centre mark. */
export const quickOptions = z.object({
  photo: z.array(z.string().min(1)).min(1),
  lampsOff: z.string().min(1).optional(),
  marksShot: z.string().min(1).optional(),
  distance: z.string({ error: 'is missing: from the lamp to the board, e.g. --distance "5 m"' }),
  sheet: z.array(z.string()).default([]),
  cross: z.array(z.string()).default([]),
  function: z.enum(['passing', 'driving', 'front-fog']),
  side: z.enum(['left', 'right', 'centre']),
  traffic: z.enum(['left', 'right']),
  height: z.string().optional(),
  litHeight: z.string().optional(),
  scheme: z.array(z.string()).default([]),
  units: z.enum(['mm', 'cm', 'in']),
  words: z.enum(['gb', 'us']),
});

const LAMP = 'lamp';

/**
 * A job for the photos of one lamp, all in one folder: the board's origin is the lamp's centre mark, made with the nose at the board.
 * @throws CliError for a place that can't be understood, or photos in several folders; JobFileError for what the job's own checks refuse.
 */
export function quickJob(o: z.output<typeof quickOptions>): Job {
  const crosses = o.cross.map(crossOf);
  const sheets = o.sheet.map(sheetOf);
  if (sheets.length === 0 && crosses.length === 0)
    throw new CliError(
      "--sheet or --cross: say where the marks are, counted from the lamp's centre mark, e.g. --sheet 1@-600,-300 2@600,-300.",
    );
  const folder = path.dirname(o.photo[0]!);
  for (const file of [...o.photo, o.lampsOff, o.marksShot])
    if (file !== undefined && path.dirname(file) !== folder)
      throw new CliError(`${file}: put all photos of a lamp into one folder; the first one is in ${folder}.`);
  const file: JobFile = {
    dipcard: JOB_VERSION,
    title: path.basename(o.photo[0]!).slice(0, 80),
    vehicle: {
      trafficSide: o.traffic,
      lamps: [
        {
          id: LAMP,
          function: o.function,
          side: o.side,
          centre: {
            ...(o.side === 'centre' ? { right: 0 } : {}),
            ...(o.height === undefined ? {} : { up: o.height }),
          },
          ...(o.litHeight === undefined ? {} : { litHeight: o.litHeight }),
        },
      ],
    },
    bay: {
      distance: o.distance,
      method: { kind: 'nose-to-board', lampMarks: { [LAMP]: { X: 0, Y: 0 } } },
    },
    board: { sheets, crosses: crosses.map(({ name, at }) => ({ name, at })) },
    shots: [
      {
        id: 'photo',
        lamp: LAMP,
        photos: o.photo.map((file) => path.basename(file)),
        ...(o.lampsOff === undefined ? {} : { lampsOff: path.basename(o.lampsOff) }),
        ...(o.marksShot === undefined ? {} : { marksShot: path.basename(o.marksShot) }),
        ...(crosses.length === 0
          ? {}
          : { taps: crosses.map(({ name, tap }) => ({ cross: name, x: tap.x, y: tap.y })) }),
      },
    ],
    schemes: o.scheme,
    units: o.units,
    words: o.words,
  };
  return jobFromFile(file);
}

function sheetOf(text: string): { number: number; at: { X: string; Y: string } } {
  const m = /^(\d{1,3})@([^,@]+),([^,@]+)$/.exec(text.trim());
  if (m === null) throw new CliError(`--sheet: expected number@right,up such as 1@-600,-300, got "${text}".`);
  return { number: Number(m[1]), at: { X: bareMm(m[2]!), Y: bareMm(m[3]!) } };
}

function crossOf(text: string): {
  name: string;
  at: { X: string; Y: string };
  tap: { x: number; y: number };
} {
  const m = /^([^@]+)@([^,@]+),([^,@]+)@([\d.]+),([\d.]+)$/.exec(text.trim());
  if (m === null)
    throw new CliError(`--cross: expected name@right,up@x,y such as A@-500,-200@812,1630, got "${text}".`);
  return {
    name: m[1]!.trim(),
    at: { X: bareMm(m[2]!), Y: bareMm(m[3]!) },
    tap: { x: Number(m[4]), y: Number(m[5]) },
  };
}

/** Bare numbers are mm; "-30 cm" keeps its unit. */
function bareMm(text: string): string {
  return text.trim();
}
