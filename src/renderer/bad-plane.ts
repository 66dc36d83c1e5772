import type { PhotoEdits, PhotoPlaces } from './render-photo.ts';
import type { Scene } from './scene.ts';

/** A photograph that went wrong: the scene, and what else happened to its light or its levels. */
export interface BadPhoto {
  readonly scene: Scene;
  readonly edits: PhotoEdits;
}

/** Calls `change` for every pixel with its light and its board place (mm); places are exact every 16 px. */
export function changeOnBoard(
  plane: Float32Array,
  places: PhotoPlaces,
  change: (light: number, X: number, Y: number) => number,
): void {
  const { width, height, boardOf } = places;
  const step = 16;
  for (let y = 0; y < height; y++) {
    let from = boardOf(0, y);
    for (let x0 = 0; x0 < width; x0 += step) {
      const to = boardOf(x0 + step, y);
      for (let x = x0; from && to && x < Math.min(width, x0 + step); x++) {
        const t = (x - x0) / step;
        const i = y * width + x;
        plane[i] = change(plane[i]!, from.X + t * (to.X - from.X), from.Y + t * (to.Y - from.Y));
      }
      from = to;
    }
  }
}

/** 0 well below 0, 1 well above, with an even slope over `soft` between: the penumbra of an extended lamp. */
export function ramp(x: number, soft: number): number {
  return Math.max(0, Math.min(1, x / Math.max(1e-6, soft) + 0.5));
}

/** The brightest light in a plane, coarsely: every 8th pixel each way. */
export function brightest(plane: Float32Array, width: number): number {
  let most = 0;
  for (let i = 0; i < plane.length; i += 8 * width + 8) most = Math.max(most, plane[i]!);
  for (let i = 0; i < plane.length; i += 61) most = Math.max(most, plane[i]!);
  return most;
}

/** One degree at the board, mm. */
export function mmPerDeg(scene: Scene): number {
  return scene.board.stand.distanceMm * Math.tan(Math.PI / 180);
}

/** About where the flat part of the first lamp's cut-off lies on the board, mm: its height, and 2.5 deg aside of the elbow. */
export function flatPartAt(scene: Scene): { readonly X: number; readonly Y: number } {
  const { aim, beam } = scene.lamps[0]!;
  const { axisFoot, distanceMm } = scene.board.stand;
  const traffic = 'traffic' in beam ? beam.traffic : 'right';
  const aside = (traffic === 'right' ? -1 : 1) * Math.tan((2.5 * Math.PI) / 180);
  return {
    X: axisFoot.X + distanceMm * (aim.offsetPct / 100 + aside),
    Y: axisFoot.Y - (distanceMm * aim.dropPct) / 100,
  };
}
