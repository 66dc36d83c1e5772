import type { LampMechanics } from '../core/adjusters/lamp-mechanics.ts';
import type { BoardPoint, Side, TrafficSide } from '../core/frames.ts';
import type { LampGeometry } from '../core/lamp-view.ts';
import type { LampFunction, Scheme } from '../core/rules/scheme.ts';
import type { ParsedJobFile } from './schema.ts';

/** A number with its standard uncertainty, mm. */
export interface Measured {
  readonly mm: number;
  readonly uMm: number;
}

/** A job after the door: mm everywhere, uncertainties filled in, geometry per lamp made. */
export interface Job {
  readonly file: ParsedJobFile;
  readonly title: string;
  readonly rendered: boolean;
  readonly trafficSide: TrafficSide;
  readonly vehicleKind: ParsedJobFile['vehicle']['kind'];
  readonly lamps: readonly JobLamp[];
  readonly board: JobBoard;
  readonly shots: readonly JobShot[];
  readonly schemes: readonly Scheme[];
  readonly words: 'gb' | 'us';
  readonly units: 'mm' | 'cm' | 'in';
  /** Odd numbers worth a question, in plain words; never silently mended. */
  readonly oddities: readonly string[];
}

export interface JobLamp {
  readonly id: string;
  readonly title: string;
  readonly function: LampFunction;
  readonly side: Side;
  readonly centreHeight: Measured | null;
  readonly lowerEdge: Measured | null;
  readonly litHeight: Measured | null;
  readonly litWidth: Measured | null;
  readonly filling: ParsedJobFile['vehicle']['lamps'][number]['filling'];
  readonly marking: ParsedJobFile['vehicle']['lamps'][number]['marking'];
  readonly handbook: {
    readonly dropPct: number;
    readonly tolerancePct: number | null;
    readonly offsetPct: number | null;
    readonly onBoardAtMm: number | null;
    readonly source: string | null;
  } | null;
  readonly mechanics: LampMechanics | null;
}

/** Every mark the board should show, with its place. */
export interface JobBoard {
  readonly sheets: readonly {
    readonly number: number;
    readonly at: { readonly X: Measured; readonly Y: Measured } | null;
    readonly turnDeg: number | null;
    readonly uTurnDeg: number;
    /** True size over nominal size, from the printed ruler; 1 when not measured. */
    readonly scale: number;
  }[];
  readonly crosses: readonly { readonly name: string; readonly at: BoardPoint; readonly uMm: number }[];
  readonly levelLine: readonly string[];
  readonly checkDistance: { readonly from: string; readonly to: string; readonly length: Measured } | null;
  readonly surface: 'matt' | 'satin' | 'gloss' | 'unknown';
  /** Board mm; null when not told. */
  readonly extent: {
    readonly left: number;
    readonly right: number;
    readonly bottom: number;
    readonly top: number;
  } | null;
}

export interface JobShot {
  readonly id: string;
  readonly lamp: string;
  readonly photos: readonly string[];
  readonly lampsOff: string | null;
  readonly marksShot: string | null;
  readonly taps: readonly { readonly cross: string; readonly x: number; readonly y: number }[];
  readonly geometry: LampGeometry;
}
