import { beforeAll, describe, expect, test } from 'vitest';
import type { DecodedPhoto } from '../../src/core/raster.ts';
import { expandedUncertainty, standardUncertainty } from '../../src/core/uncertainty/estimate.ts';
import { jobFromFile } from '../../src/job/load-job.ts';
import { type ReadProgress, readJob } from '../../src/job/read-job.ts';
import type { ReadShot, ShotResult, UnreadShot } from '../../src/job/result.ts';
import type { JobFile } from '../../src/job/schema.ts';
import { PhotoError } from '../../src/photo/errors.ts';
import { boardToPhoto } from '../../src/renderer/index.ts';
import { CROSSES, crossPrints, jobFor, type RenderedShot, renderShot } from './rendered-job.ts';

// Rendered photographs (1500 x 1125, 5 m, lamp lit over 60 mm) against the renderer's own dense truth. The reader is
// given the true geometry, so what is left is marks, light and method; limits are the stated uncertainties.
const CAMERA = { camera: { widthPx: 1500, heightPx: 1125 } } as const;

let lit: RenderedShot;
let dark: RenderedShot;
let crosses: RenderedShot;
let plain: ReadShot;
beforeAll(async () => {
  lit = renderShot(CAMERA, 5);
  dark = renderShot({ ...CAMERA, sensor: { exposure: { auto: 'hot-spot', stops: -2 } } }, 6);
  crosses = renderShot({ ...CAMERA, ambient: { lux: 1 } }, 7, crossPrints());
  plain = asRead(await readOne(jobFor(), { 'one.jpg': lit.photo }));
});

async function readOne(file: JobFile, photos: Record<string, DecodedPhoto | Error>): Promise<ShotResult> {
  const result = await readJob(jobFromFile(file), { decode: decodeFrom(photos) });
  return result.shots[0]!;
}

function decodeFrom(photos: Record<string, DecodedPhoto | Error>) {
  return (path: string): Promise<DecodedPhoto> => {
    const photo = photos[path];
    if (photo === undefined)
      return Promise.reject(Object.assign(new Error('no such file'), { code: 'ENOENT' }));
    return photo instanceof Error ? Promise.reject(photo) : Promise.resolve(photo);
  };
}

function asRead(shot: ShotResult): ReadShot {
  if (shot.state === 'unread') throw new Error(`${shot.stage} ${shot.why}: ${shot.detail}`);
  return shot;
}

function asUnread(shot: ShotResult): UnreadShot {
  if (shot.state === 'read') throw new Error('the shot was read');
  return shot;
}

describe('a rendered photo with printed sheets', () => {
  test('drop, elbow and hot spot come out within U of the truth, the drop within 0.05 % with true inputs', () => {
    const shot = plain;
    const truth = lit.truth.onBoard;
    const dropError = shot.dropPct!.value - truth.dropPct!;
    expect(Math.abs(dropError)).toBeLessThan(0.05);
    expect(Math.abs(dropError)).toBeLessThan(expandedUncertainty(shot.dropPct!));
    expect(Math.abs(shot.offsetPct!.value - truth.elbow!.offsetPct)).toBeLessThan(
      expandedUncertainty(shot.offsetPct!),
    );
    expect(Math.abs(shot.hotSpot!.dropPct.value - truth.hotSpot.dropPct)).toBeLessThan(0.35);
    expect(Math.abs(shot.hotSpot!.offsetPct.value - truth.hotSpot.offsetPct)).toBeLessThan(0.35);
    expect(shot.registration.rmsMm).toBeLessThan(0.3);
  });

  test('the biggest doubts are the bay and the lamp height, as taped, not the photo', () => {
    const shot = plain;
    const parts = shot.dropPct!.parts;
    // 3 mm and 5 mm at 5 m.
    expect(parts['lamp-height@left-dip']).toBeCloseTo(0.06, 6);
    expect(Math.abs(parts.floor!)).toBeCloseTo(0.1, 6);
    expect(parts['marks-found@one-y']).toBeDefined();
    expect(Object.keys(parts).some((id) => id.startsWith('marks-placed@sheet3+sheet5+sheet8'))).toBe(true);
    expect(standardUncertainty(shot.dropPct!)).toBeGreaterThan(0.12);
  });

  test('verdicts of both schemes, an aim of 1.30 %, a line on the tape and turns of the top screw follow', () => {
    const shot = plain;
    expect(new Set(shot.verdicts.map((v) => v.scheme))).toEqual(
      new Set(['gb-inspection-car', 'gb-lighting-default']),
    );
    expect(shot.aim?.kind).toBe('shared');
    // 1.3 % at 5 m is 65 mm below the mark.
    expect(shot.target!.aboveCentreMm).toBeCloseTo(-65, 0);
    expect(shot.turns).not.toBeNull();
    expect(shot.farShiftPct.min).toBe(0);
    expect(shot.farShiftPct.max).toBeGreaterThan(0.1);
  });

  test('a lamp height typed 20 mm too low makes the drop 0.40 % smaller: as wrong as the tape', async () => {
    const file = jobFor();
    file.vehicle.lamps[0]!.centre = { right: 120, up: 635 };
    const wrong = asRead(await readOne(file, { 'one.jpg': lit.photo }));
    expect(wrong.dropPct!.value - plain.dropPct!.value).toBeCloseTo(-0.4, 1);
  });

  test('sheets without places survey themselves and give the same drop within U', async () => {
    const file = jobFor();
    file.board = {
      sheets: [{ number: 3, at: { X: -850, Y: 300 } }, { number: 5 }, { number: 8, at: { X: 880, Y: 330 } }],
    };
    const result = await readJob(jobFromFile(file), { decode: decodeFrom({ 'one.jpg': lit.photo }) });
    const shot = asRead(result.shots[0]!);
    expect(Math.abs(shot.dropPct!.value - lit.truth.onBoard.dropPct!)).toBeLessThan(0.08);
    expect(shot.registration.points.some((p) => p.name.startsWith('sheet 5'))).toBe(true);
  });
});

describe('tape crosses', () => {
  const file = (): JobFile => {
    const f = jobFor();
    f.board = {
      crosses: CROSSES.map(({ name, X, Y }) => ({ name, at: { X, Y } })),
      extent: { left: -1200, right: 1200, bottom: 0, top: 1400 },
    };
    f.shots![0]!.taps = CROSSES.map(({ name, X, Y }, i) => {
      const p = boardToPhoto(crosses.scene, X, Y);
      // A thumb lands some pixels off.
      return { cross: name, x: p.x + 4 - 2 * i, y: p.y - 5 + 3 * i };
    });
    return f;
  };

  test('five tapped crosses give the drop within U of the truth', async () => {
    const shot = asRead(await readOne(file(), { 'one.jpg': crosses.photo }));
    expect(Math.abs(shot.dropPct!.value - crosses.truth.onBoard.dropPct!)).toBeLessThan(0.08);
    expect(shot.registration.rmsMm).toBeLessThan(2);
  });

  test('two crosses that changed names are refused at the marks, with advice', async () => {
    const f = file();
    const taps = f.shots![0]!.taps!;
    f.shots![0]!.taps = taps.map((t) => ({
      ...t,
      cross: t.cross === 'A' ? 'D' : t.cross === 'D' ? 'A' : t.cross,
    }));
    const shot = asUnread(await readOne(f, { 'one.jpg': crosses.photo }));
    expect(shot.stage).toBe('marks');
    expect(shot.advice.length).toBeGreaterThan(20);
  });

  test('crosses that nobody tapped ask for taps', async () => {
    const f = file();
    delete f.shots![0]!.taps;
    const shot = asUnread(await readOne(f, { 'one.jpg': crosses.photo }));
    expect([shot.stage, shot.why]).toEqual(['marks', 'no-marks']);
    expect(shot.advice).toMatch(/[Tt]ap at least four crosses/);
  });
});

describe('brackets, marks shots and what goes wrong', () => {
  test('of a bracket all frames give the edge, and the picture of the better exposed one is handed on', async () => {
    const file = jobFor({ shots: [{ id: 'one', lamp: 'left-dip', photos: ['dark.jpg', 'one.jpg'] }] });
    const handed: (DecodedPhoto | null)[] = [];
    const result = await readJob(jobFromFile(file), {
      decode: decodeFrom({ 'dark.jpg': dark.photo, 'one.jpg': lit.photo }),
      onShot: (_, photo) => void handed.push(photo),
    });
    const shot = asRead(result.shots[0]!);
    expect(handed).toEqual([lit.photo]);
    // What the darker frame adds is within the edge's own noise and the marks' few hundredths of a pixel.
    expect(Math.abs(shot.dropPct!.value - plain.dropPct!.value)).toBeLessThan(0.03);
  });

  test('a marks shot of the same tripod carries a photo whose own marks are not looked at', async () => {
    const file = jobFor();
    file.shots![0]!.marksShot = 'marks.jpg';
    const shot = asRead(await readOne(file, { 'one.jpg': lit.photo, 'marks.jpg': dark.photo }));
    expect(Math.abs(shot.dropPct!.value - lit.truth.onBoard.dropPct!)).toBeLessThan(0.06);
    expect(shot.warnings).toEqual([]);
  });

  test('a camera nudged by some px between marks shot and photo is followed: the drop is true to 0.05 %', async () => {
    const nudged = renderShot({ camera: { ...CAMERA.camera, lookAt: { X: 4, Y: 661 } } }, 8);
    const file = jobFor();
    file.shots![0]!.marksShot = 'marks.jpg';
    const shot = asRead(await readOne(file, { 'one.jpg': lit.photo, 'marks.jpg': nudged.photo }));
    expect(shot.warnings).toEqual([]);
    expect(Math.abs(shot.dropPct!.value - lit.truth.onBoard.dropPct!)).toBeLessThan(0.05);
  });

  test('a camera knocked by a tenth of the picture is noticed, and the photo speaks for itself', async () => {
    const knocked = renderShot({ camera: { ...CAMERA.camera, lookAt: { X: 160, Y: 700 } } }, 8);
    const file = jobFor();
    file.shots![0]!.marksShot = 'marks.jpg';
    const shot = asRead(await readOne(file, { 'one.jpg': lit.photo, 'marks.jpg': knocked.photo }));
    expect(shot.warnings.join(' ')).toMatch(
      /marks shot does not fit: the camera moved, and with it the picture by \d+ px/,
    );
    expect(Math.abs(shot.dropPct!.value - lit.truth.onBoard.dropPct!)).toBeLessThan(0.05);
  });

  test('a lamps-off photo takes 25 lx of room light out: the drop is true to 0.05 %, and its doubt about other light halves', async () => {
    const ambient = { lux: 25 };
    const bright = renderShot({ ...CAMERA, ambient }, 9);
    const sensor = { exposure: { s: bright.truth.exposure.exposureS } };
    const off = renderShot({ ...CAMERA, ambient, sensor, lamp: { lit: false } }, 10);
    const file = jobFor();
    const without = asRead(await readOne(file, { 'one.jpg': bright.photo }));
    file.shots![0]!.lampsOff = 'off.jpg';
    const subtracted = asRead(await readOne(file, { 'one.jpg': bright.photo, 'off.jpg': off.photo }));
    const truth = bright.truth.onBoard.dropPct!;
    expect(subtracted.warnings).toEqual([]);
    expect(Math.abs(subtracted.dropPct!.value - truth)).toBeLessThan(0.05);
    // Without it the darkest place has to speak for the room: near enough here, but never as surely.
    const doubt = (shot: typeof subtracted) => Math.abs(shot.dropPct!.parts.ambient ?? 0);
    expect(doubt(subtracted)).toBeLessThan(0.5 * doubt(without));
    expect(Math.abs(without.dropPct!.value - truth)).toBeLessThan(0.1);
    // Another exposure is no use for subtracting, and is said so.
    const facts = { ...off.photo.facts, exposureS: 0.5 * bright.truth.exposure.exposureS };
    const other = asRead(
      await readOne(file, { 'one.jpg': bright.photo, 'off.jpg': { ...off.photo, facts } }),
    );
    // What its prints tell of the camera's response still counts, whatever its exposure.
    expect(Math.abs(other.dropPct!.value - without.dropPct!.value)).toBeLessThan(0.01);
    expect(other.warnings.join(' ')).toMatch(/not subtracted.*exposed differently from what its file says/);
  });

  test("a missing photo, a damaged one and a stranger's board are results, each with its stage", async () => {
    const missing = asUnread(await readOne(jobFor(), {}));
    expect([missing.stage, missing.why]).toEqual(['photo', 'missing']);
    const damaged = asUnread(
      await readOne(jobFor(), {
        'one.jpg': new PhotoError('damaged', 'one.jpg', 'it is damaged', 'Copy it again.'),
      }),
    );
    expect([damaged.stage, damaged.why, damaged.advice]).toEqual(['photo', 'damaged', 'Copy it again.']);
    const file = jobFor();
    file.board = { sheets: [{ number: 20, at: { X: 0, Y: 0 } }] };
    const stranger = asUnread(await readOne(file, { 'one.jpg': lit.photo }));
    expect([stranger.stage, stranger.why]).toEqual(['marks', 'other-jobs-marks']);
    expect(stranger.facts?.width).toBe(1500);
  });

  test('a black photo is told to be too dark at the marks or the beam, never read', async () => {
    const { width, height, channels, maxLevel } = lit.photo.raster;
    const data = new Uint8Array(width * height * channels).fill(3);
    const black = { ...lit.photo, raster: { width, height, channels, maxLevel, data } };
    const shot = asUnread(await readOne(jobFor(), { 'one.jpg': black }));
    expect(shot.stage).toBe('marks');
  });

  test('progress names every stage once; an aborted run stops with the reason', async () => {
    const seen: ReadProgress[] = [];
    await readJob(jobFromFile(jobFor()), {
      decode: decodeFrom({ 'one.jpg': lit.photo }),
      onProgress: (p) => seen.push(p),
    });
    expect(seen.map((p) => p.stage)).toEqual(['survey', 'photo', 'marks', 'beam', 'done']);
    expect(seen.at(-1)).toMatchObject({ shot: 'one', done: 1, of: 1 });
    const abort = new AbortController();
    const run = readJob(jobFromFile(jobFor()), {
      decode: decodeFrom({ 'one.jpg': lit.photo }),
      onProgress: (p) => p.stage === 'marks' && abort.abort(new Error('stopped by the person')),
      signal: abort.signal,
    });
    await expect(run).rejects.toThrow('stopped by the person');
  });
});

describe('left and right', () => {
  test('two lamps of one beam, read from one board, differ by 0 within U, without floor, load and axis', async () => {
    const file = jobFor();
    const left = file.vehicle.lamps[0]!;
    // The same photo serves as the right lamp's: the difference must then be 0 exactly.
    file.vehicle.lamps = [left, { ...left, id: 'right-dip', side: 'right' }];
    file.shots = [
      { id: 'l', lamp: 'left-dip', photos: ['one.jpg'] },
      { id: 'r', lamp: 'right-dip', photos: ['one.jpg'] },
    ];
    const result = await readJob(jobFromFile(file), { decode: decodeFrom({ 'one.jpg': lit.photo }) });
    expect(result.pairs).toHaveLength(1);
    const { dropDifferencePct } = result.pairs[0]!;
    expect(dropDifferencePct!.value).toBe(0);
    expect(Math.abs(dropDifferencePct!.parts.floor!)).toBeLessThan(1e-9);
    expect(Math.abs(dropDifferencePct!.parts.load!)).toBeLessThan(1e-9);
    // Two lamp heights of 3 mm at 5 m stay: 0.085 % and little else.
    expect(standardUncertainty(dropDifferencePct!)).toBeGreaterThan(0.084);
    expect(standardUncertainty(dropDifferencePct!)).toBeLessThan(0.11);
    expect(standardUncertainty(dropDifferencePct!)).toBeLessThan(
      standardUncertainty(asRead(result.shots[0]!).dropPct!),
    );
  });
});
