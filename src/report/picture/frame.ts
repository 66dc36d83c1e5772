import type { Registration } from '../../core/board-view.ts';
import type { BoardPoint, PhotoPoint, Tangent } from '../../core/frames.ts';
import { photoPointOf } from '../../core/geometry/board-projection.ts';
import { boardPointAt, tangentOf } from '../../core/geometry/lamp-tangents.ts';
import type { LampView } from '../../core/lamp-view.ts';
import type { PagePoint } from './draw.ts';

/** Width of every finished picture, page units. */
export const PAGE_WIDTH = 1600;

/** A piece of the photo (px, whole numbers) and where it stands on the page. */
export interface Pane {
  readonly source: {
    readonly left: number;
    readonly top: number;
    readonly width: number;
    readonly height: number;
  };
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Photo px to page units within one pane. */
export function onPane(pane: Pane, p: PhotoPoint): PagePoint {
  const scale = pane.width / pane.source.width;
  // Pixel centres are whole numbers, so the crop's left border lies at left - 0.5.
  return {
    px: pane.x + (p.x - pane.source.left + 0.5) * scale,
    py: pane.y + (p.y - pane.source.top + 0.5) * scale,
  };
}

/** Whether a photo point lies in the pane's piece of the photo. */
export function inPane(pane: Pane, p: PhotoPoint): boolean {
  const { left, top, width, height } = pane.source;
  return p.x >= left && p.x <= left + width - 1 && p.y >= top && p.y <= top + height - 1;
}

/** Everything of a shot that is needed to put board or lamp places on a pane. */
export interface Sight {
  readonly registration: Registration;
  readonly view: LampView;
}

/** A direction from the lamp, as the photo shows it on the board. */
export function photoOfTangent(sight: Sight, t: Tangent): PhotoPoint {
  return photoPointOf(sight.registration.view, boardPointAt(sight.view, t));
}

/** A board place, as the photo shows it. */
export function photoOfBoard(sight: Sight, p: BoardPoint): PhotoPoint {
  return photoPointOf(sight.registration.view, p);
}

/** The lamp's direction to a board place `aboveMm`, `rightMm` from the centre mark. */
export function tangentFromMark(view: LampView, rightMm: number, aboveMm: number): Tangent {
  return tangentOf(view, { X: view.axisFoot.X + rightMm, Y: view.axisFoot.Y + aboveMm });
}

/** A drop and offset in per cent as a board place counted from the centre mark, mm. */
export function markPlaceOf(
  view: LampView,
  dropPct: number,
  offsetPct: number,
): { readonly rightMm: number; readonly aboveMm: number } {
  const p = boardPointAt(view, { u: offsetPct / 100, v: -dropPct / 100 });
  return { rightMm: p.X - view.axisFoot.X, aboveMm: p.Y - view.axisFoot.Y };
}
