import type { TrafficSide } from '../core/frames.ts';
import type { BeamKind } from './cut-off-shape.ts';
import { type EdgeFamily, TUNING_FAMILIES } from './edge-profile.ts';
import type { Filling } from './filling.ts';
import { tapeCross } from './prints.ts';
import type { BoardSpec, PlacedPrint, ToneSpec } from './scene.ts';

export type Range = readonly [number, number];

/** What a seeded run draws from; each list is drawn from evenly, each range uniformly. */
export interface SceneRanges {
  readonly families: readonly EdgeFamily[];
  readonly kinds: readonly BeamKind[];
  readonly traffic: readonly TrafficSide[];
  readonly sharpnessG: Range;
  readonly strayShare: Range;
  readonly fillings: readonly Filling[];
  /** Lit height, mm; the width is up to twice it (a strip: a quarter as high, four to seven times as wide). */
  readonly litMm: Range;
  readonly dropPct: Range;
  readonly offsetPct: Range;
  readonly tiltDeg: Range;
  readonly distanceMm: Range;
  readonly lampHeightMm: Range;
  readonly outOfPlumbDeg: Range;
  readonly yawDeg: Range;
  readonly rollDeg: Range;
  readonly finishes: readonly BoardSpec['finish'][];
  readonly bowMm: Range;
  readonly ambientLux: Range;
  /** Stops from 'hot spot just clipped'. */
  readonly stops: Range;
  readonly tones: readonly ToneSpec[];
  readonly iso: readonly number[];
  readonly blurPx: Range;
  readonly veil: Range;
  readonly k1: Range;
  readonly pixels: { readonly widthPx: number; readonly heightPx: number };
  /** How much of the picture's width the board fills. */
  readonly fill: Range;
  readonly board: {
    readonly left: number;
    readonly right: number;
    readonly bottom: number;
    readonly top: number;
  };
  /** What is printed on the board; board millimetres. */
  readonly prints: (board: SceneRanges['board']) => readonly PlacedPrint[];
}

/** What was drawn, for tables of errors by family, exposure and so on. */
export interface SceneLabel {
  readonly family: EdgeFamily;
  readonly kind: BeamKind;
  readonly traffic: TrafficSide;
  readonly sharpnessG: number;
  readonly filling: Filling;
  readonly litWidthMm: number;
  readonly litHeightMm: number;
  readonly distanceMm: number;
  readonly ambientLux: number;
  readonly stops: number;
  readonly tone: ToneSpec['curve'];
  readonly finish: BoardSpec['finish'];
  readonly megapixels: number;
}

/** Four tape crosses near the board's corners. */
export function cornerCrosses(board: SceneRanges['board']): readonly PlacedPrint[] {
  const inset = 120;
  return [board.left + inset, board.right - inset].flatMap((X) =>
    [board.bottom + inset, board.top - inset].flatMap((Y) => tapeCross({ X, Y })),
  );
}

/** Good practice at home, every family that may be tuned on. */
export const DEFAULT_RANGES: SceneRanges = {
  families: TUNING_FAMILIES,
  kinds: ['rise', 'rise', 'step', 'short-ramp', 'flat'],
  traffic: ['left', 'right'],
  sharpnessG: [0.15, 0.4],
  strayShare: [0.003, 0.015],
  fillings: [
    'disc',
    'centre-weighted',
    'upper-half',
    'lower-half-dim',
    'ring',
    'lens',
    'strip',
    'lens-strip',
    'facets',
  ],
  litMm: [40, 170],
  dropPct: [-0.5, 2],
  offsetPct: [-2, 2],
  tiltDeg: [-1.5, 1.5],
  distanceMm: [3000, 10000],
  lampHeightMm: [550, 900],
  outOfPlumbDeg: [-2, 2],
  yawDeg: [-2.5, 2.5],
  rollDeg: [-0.4, 0.4],
  finishes: ['matt', 'matt', 'satin'],
  bowMm: [0, 0],
  ambientLux: [0, 1],
  stops: [-0.3, 1],
  tones: [
    { curve: 'srgb', strength: 0 },
    { curve: 's-curve', strength: 0.3 },
    { curve: 'local', strength: 0.5 },
  ],
  iso: [50, 100, 200, 400],
  blurPx: [0.5, 1.4],
  veil: [0.001, 0.006],
  k1: [-0.04, 0.03],
  pixels: { widthPx: 2000, heightPx: 1500 },
  fill: [0.6, 0.92],
  board: { left: -1200, right: 1200, bottom: 0, top: 1400 },
  prints: cornerCrosses,
};
