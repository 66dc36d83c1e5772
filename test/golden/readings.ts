import { readFile } from 'node:fs/promises';
import path from 'node:path';
import type { TurnsAdvice } from '../../src/core/adjusters/lamp-mechanics.ts';
import { type Estimate, expandedUncertainty } from '../../src/core/uncertainty/estimate.ts';
import type { Job } from '../../src/job/job.ts';
import { loadJob } from '../../src/job/load-job.ts';
import { readJob } from '../../src/job/read-job.ts';
import type { JobResult, PairResult, ReadShot, ShotResult } from '../../src/job/result.ts';
import { decodePhoto } from '../../src/photo/node/decode.ts';

export const MARIGOLD = path.resolve(import.meta.dirname, '../../samples/marigold');
export const GOLDEN_FILE = path.join(import.meta.dirname, 'marigold.json');
export const JOB_FILES = ['job.json', 'crosses.job.json'] as const;

/** A figure as the person sees it: value and U (k = 2), per cent or deg. */
export interface GoldenFigure {
  readonly value: number;
  readonly U: number;
}

/** What is accepted of one shot that can be read. */
export interface GoldenReading {
  readonly state: 'read';
  readonly drop: GoldenFigure | null;
  readonly elbow: GoldenFigure | null;
  readonly tilt: GoldenFigure | null;
  readonly hotSpotDrop: GoldenFigure | null;
  readonly hotSpotOffset: GoldenFigure | null;
  readonly farShift: { readonly min: number; readonly max: number };
  /** 'scheme row: verdict', in the order given. */
  readonly verdicts: readonly string[];
  /** 'turn: outer screw clockwise 2/8, top screw ...', or the kind of advice; null when the lamp has no screws. */
  readonly turns: string | null;
  readonly targetAboveCentreMm: number | null;
}

export interface GoldenRefusal {
  readonly state: 'unread';
  readonly stage: string;
  readonly why: string;
  readonly detail: string;
  readonly advice: string;
}

export interface GoldenPair {
  readonly lamps: string;
  readonly dropDifference: GoldenFigure | null;
  readonly offsetDifference: GoldenFigure | null;
}

export interface Golden {
  readonly shots: Readonly<Record<string, GoldenReading | GoldenRefusal>>;
  readonly pairs: readonly GoldenPair[];
}

/** Reads one of the sample jobs from its files, as the command line does. */
export async function readSampleJob(name: (typeof JOB_FILES)[number]): Promise<JobResult> {
  return readMarigold(await loadJob(path.join(MARIGOLD, name)));
}

/** Reads a job whose photos lie in samples/marigold. */
export function readMarigold(job: Job): Promise<JobResult> {
  return readJob(job, {
    decode: async (photo) => decodePhoto(await readFile(path.join(MARIGOLD, photo)), photo),
  });
}

/** What a run's results have to keep. */
export function goldenOf(results: readonly JobResult[]): Golden {
  return {
    shots: Object.fromEntries(results.flatMap((r) => r.shots).map((shot) => [shot.shot, shotOf(shot)])),
    pairs: results.flatMap((r) => r.pairs).map(pairOf),
  };
}

function shotOf(shot: ShotResult): GoldenReading | GoldenRefusal {
  if (shot.state === 'unread') {
    const { stage, why, detail, advice } = shot;
    return { state: 'unread', stage, why, detail, advice };
  }
  return {
    state: 'read',
    drop: figure(shot.dropPct),
    elbow: figure(shot.offsetPct),
    tilt: figure(shot.tiltDeg),
    hotSpotDrop: figure(shot.hotSpot?.dropPct ?? null),
    hotSpotOffset: figure(shot.hotSpot?.offsetPct ?? null),
    farShift: { min: rounded(shot.farShiftPct.min), max: rounded(shot.farShiftPct.max) },
    verdicts: shot.verdicts.map(verdictText),
    turns: turnsText(shot.turns),
    targetAboveCentreMm: shot.target === null ? null : rounded(shot.target.aboveCentreMm),
  };
}

function pairOf(pair: PairResult): GoldenPair {
  return {
    lamps: `${pair.left} against ${pair.right}`,
    dropDifference: figure(pair.dropDifferencePct),
    offsetDifference: figure(pair.offsetDifferencePct),
  };
}

function figure(e: Estimate | null): GoldenFigure | null {
  return e === null ? null : { value: rounded(e.value), U: rounded(expandedUncertainty(e)) };
}

/** To 0.0001: finer than every tolerance, so that rounding is not what is compared. */
function rounded(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}

function verdictText({ scheme, verdict }: ReadShot['verdicts'][number]): string {
  const more = verdict.kind === 'over' ? ` (${verdict.how})` : '';
  return `${scheme} ${verdict.row}: ${verdict.kind}${more}`;
}

function turnsText(turns: TurnsAdvice | null): string | null {
  if (turns === null) return null;
  const steps = turns.kind === 'turn' ? turns.steps : turns.kind === 'try' ? [turns.step] : [];
  const words = steps.map((s) => `${s.screw} ${s.direction} ${s.eighths}/8`);
  return words.length === 0 ? turns.kind : `${turns.kind}: ${words.join(', ')}`;
}
