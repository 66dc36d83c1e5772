import { readFile } from 'node:fs/promises';
import path from 'node:path';
import type { DecodedPhoto, Raster } from '../core/raster.ts';
import type { Job } from '../job/job.ts';
import { readJob } from '../job/read-job.ts';
import type { JobResult, ShotResult } from '../job/result.ts';
import { decodePhoto } from '../photo/node/decode.ts';
import { resultCsv } from '../report/data/csv.ts';
import { resultData } from '../report/data/result-data.ts';
import type { ResultData } from '../report/data/result-schema.ts';
import { htmlReport } from '../report/html/page.ts';
import { composePicture, pictureSvg } from '../report/picture/compose.ts';
import { textReport } from '../report/text.ts';
import { EXIT, type ExitCode } from './exit.ts';
import { writeWhole } from './write-file.ts';

/** How to read a job's photos. */
export interface ReadingOptions {
  /** Folder that the job's photo paths are relative to. */
  readonly folder: string;
  readonly shots?: readonly string[];
  /** Where report, pictures and data go; null writes nothing. */
  readonly out: string | null;
  readonly onProgress?: (done: number, of: number, shot: string) => void;
}

export interface Reading {
  readonly result: JobResult;
  readonly data: ResultData;
  readonly text: string;
  readonly exit: ExitCode;
  /** Files written, the report first. */
  readonly files: readonly string[];
}

/** Reads a job's photos and writes the report; the pictures are drawn while each photo is in memory. */
export async function readAndReport(job: Job, options: ReadingOptions): Promise<Reading> {
  const { folder, out } = options;
  const inline = new Map<string, string>();
  const pictures: string[] = [];
  const result = await readJob(job, {
    decode: async (file) => decodePhoto(await readFile(path.join(folder, file)), file),
    ...(options.shots === undefined ? {} : { shots: options.shots }),
    onProgress: (p) => options.onProgress?.(p.done, p.of, p.shot),
    onShot: async (shot, photo) => {
      if (out === null || photo === null) return;
      const drawn = await drawShot(job, shot, photo);
      inline.set(shot.shot, drawn.svg);
      const file = path.join(out, `${shot.shot}.jpg`);
      await writeWhole(file, drawn.jpeg);
      pictures.push(file);
    },
  });
  const data = resultData(job, result);
  const text = textReport(job, result);
  const files: string[] = [];
  if (out !== null) {
    const write = async (name: string, content: string): Promise<void> => {
      const file = path.join(out, name);
      await writeWhole(file, content);
      files.push(file);
    };
    await write('report.html', htmlReport(job, result, { pictures: inline, made: null }));
    await write('report.txt', text);
    await write('result.json', `${JSON.stringify(data, null, 2)}\n`);
    await write('readings.csv', resultCsv(data));
    files.push(...pictures);
  }
  return { result, data, text, exit: exitOf(result), files };
}

/** The picture as a file of its own, and as SVG for the page, where the text stands beside it. */
async function drawShot(
  job: Job,
  shot: ShotResult,
  photo: DecodedPhoto,
): Promise<{ readonly jpeg: Uint8Array; readonly svg: string }> {
  const [{ loadLettering }, { paneImages, pictureJpeg }] = await Promise.all([
    import('./lettering.ts'),
    import('./picture-file.ts'),
  ]);
  const lettering = await loadLettering();
  const size = { width: photo.raster.width, height: photo.raster.height };
  const whole = composePicture(lettering, job, shot, size);
  const panes = await paneImages({ ...size, data: rgb8(photo.raster) }, whole);
  const bare = composePicture(lettering, job, shot, size, { legend: false });
  const hrefs = panes.map((p) => `data:image/jpeg;base64,${Buffer.from(p).toString('base64')}`);
  return { jpeg: await pictureJpeg(whole, panes), svg: pictureSvg(bare, hrefs) };
}

/** Eight-bit RGB of an upright raster. */
function rgb8(raster: Raster): Uint8Array {
  const { data, channels, maxLevel, width, height } = raster;
  if (channels === 3 && maxLevel === 255) return new Uint8Array(data.buffer, data.byteOffset, data.length);
  const out = new Uint8Array(width * height * 3);
  const shift = maxLevel === 255 ? 0 : 8;
  for (let i = 0, j = 0; j < out.length; i += channels, j += 3) {
    out[j] = data[i]! >> shift;
    out[j + 1] = data[i + 1]! >> shift;
    out[j + 2] = data[i + 2]! >> shift;
  }
  return out;
}

/**
 * The exit code of a result: a photo that could not be read weighs most, then a lamp that is not shown to be within
 * anything that was chosen, or is over or too close for one of them.
 */
export function exitOf(result: JobResult): ExitCode {
  if (result.shots.some((s) => s.state === 'unread')) return EXIT.unread;
  const notWithin = result.shots.some((shot) => {
    if (shot.state !== 'read' || shot.verdicts.length === 0) return false;
    const kinds = shot.verdicts.map((v) => v.verdict.kind);
    return kinds.includes('over') || kinds.includes('too-close') || !kinds.includes('within');
  });
  return notWithin ? EXIT.notWithin : EXIT.ok;
}
