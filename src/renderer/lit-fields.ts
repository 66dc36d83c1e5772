import { openingPatterns, type TangentArea } from './board-light.ts';
import { boardSurface, GLOSS } from './board-surface.ts';
import type { Camera } from './camera.ts';
import type { Lamp } from './lamp.ts';
import type { LogGrid } from './log-grid.ts';
import type { Nodes } from './nodes.ts';
import type { Scene } from './scene.ts';
import { type BoardPlace, dot, type LampPoint, minus, unit } from './space.ts';

/** What the camera looks at from each node. */
export interface NodeView {
  /** Board point, also beyond the board's edges (then on the wall in its plane). */
  readonly X: Float32Array;
  readonly Y: Float32Array;
  /** Slow unevenness of the albedo there, and luminance that ambient light gives a white matt surface, cd/m2. */
  readonly slow: Float32Array;
  readonly ambient: Float32Array;
  readonly walls: readonly LampPoint[];
  /** Where the line of sight meets the floor; the wall's place where it does not. */
  readonly floors: readonly LampPoint[];
}

/** How one lamp lights one surface, at the nodes. */
export interface LitFields {
  readonly u: Float32Array;
  readonly v: Float32Array;
  /** Natural log of what turns the pattern (cd) into luminance of a white matt surface (cd/m2). */
  readonly log: Float32Array;
}

/** A lamp's pattern: fine where the board is, coarse around it. */
export interface Pattern {
  readonly board: LogGrid;
  readonly around: LogGrid;
}

/** Natural log of the pattern, cd, in direction (u, v). */
export function patternAt(pattern: Pattern, u: number, v: number): number {
  const { board } = pattern;
  const inside = u >= board.u0 && v >= board.v0 && u <= board.uEnd && v <= board.vEnd;
  return inside ? board.logAt(u, v) : pattern.around.logAt(u, v);
}

/** One lamp's light at the nodes. */
export interface LampFields {
  readonly pattern: Pattern;
  readonly wall: LitFields;
  readonly floor: LitFields;
  /** Mirror-like share of board and wall, in units of a white matt board. */
  readonly gloss: Float32Array;
}

/** How far to the sides, down and up light is worked out where no board is; beyond, the border's value holds. */
const CLEAR: TangentArea = { uLow: -0.5, uHigh: 0.5, vLow: -0.2, vHigh: 0.16 };

export function nodeView(scene: Scene, board: BoardPlace, camera: Camera, nodes: Nodes): NodeView {
  const n = nodes.columns * nodes.rows;
  const surface = boardSurface(scene.board);
  const X = new Float32Array(n);
  const Y = new Float32Array(n);
  const slow = new Float32Array(n);
  const ambient = new Float32Array(n);
  const walls: LampPoint[] = [];
  const floors: LampPoint[] = [];
  const eye = scene.camera.place;
  const floorUp = -scene.surroundings.lampHeightMm;
  const { lux, perMetreX, perMetreY } = scene.ambient;
  for (let j = 0; j < nodes.rows; j++) {
    for (let i = 0; i < nodes.columns; i++) {
      const k = j * nodes.columns + i;
      const way = camera.wayOf(i * nodes.step, j * nodes.step);
      const hit = board.meet(eye, way) ?? { X: 1e5, Y: 1e5 };
      X[k] = hit.X;
      Y[k] = hit.Y;
      slow[k] = surface.slow(hit.X, hit.Y);
      ambient[k] = (lux * Math.max(0.1, 1 + (perMetreX * hit.X + perMetreY * hit.Y) / 1000)) / Math.PI;
      const wall = board.place(hit.X, hit.Y);
      walls.push(wall);
      const t = way.up < 0 ? (floorUp - eye.up) / way.up : -1;
      const forward = eye.forward + t * way.forward;
      const seen = t > 0 && forward > 100 && forward < 2 * scene.board.stand.distanceMm;
      floors.push(seen ? { right: eye.right + t * way.right, forward, up: floorUp } : wall);
    }
  }
  return { X, Y, slow, ambient, walls, floors };
}

interface Direction {
  readonly u: number;
  readonly v: number;
  readonly depth: number;
}

function directionOf(place: LampPoint, lamp: Lamp): Direction {
  const d = minus(place, lamp.place);
  return { u: d.right / d.forward, v: d.up / d.forward, depth: d.forward };
}

/**
 * One lamp's light at the nodes. The pattern is worked out at one distance; where the board's parts stand at different
 * distances, also at a second one, and the smooth difference is carried by the nodes.
 */
export function lampFields(
  scene: Scene,
  lamp: Lamp,
  board: BoardPlace,
  camera: Camera,
  nodes: Nodes,
  view: NodeView,
): LampFields {
  const { stand, left, right, bottom, top } = scene.board;
  const middle = (left + right) / 2;
  const corners = [left, middle, right]
    .flatMap((X) => [board.place(X, bottom), board.place(X, top)])
    .map((p) => directionOf(p, lamp));
  const depths = corners.map((one) => one.depth);
  const [nearest, furthest] = [Math.min(...depths), Math.max(...depths)];
  const same = furthest - nearest < 0.0008 * stand.distanceMm;
  const depth = same ? (nearest + furthest) / 2 : nearest;
  const here = areaOf(corners);
  const seen = view.walls.map((p) => directionOf(p, lamp));
  const [near, far] = openingPatterns(lamp, same ? [depth] : [depth, furthest], here) as [LogGrid, LogGrid?];
  const all = areaOf([...corners, ...seen.map(clear)]);
  const [around] = openingPatterns(lamp, [depth], all, 0.1 * (Math.PI / 180)) as [LogGrid];
  const correction = (one: Direction): number => {
    if (!far) return 0;
    const share = Math.max(-0.5, Math.min(1.5, (one.depth - depth) / (furthest - depth)));
    return share * (far.logAt(one.u, one.v) - near.logAt(one.u, one.v));
  };
  const wall = litFields(lamp, view.walls, correction, (d) => dot(d, board.away));
  const floor = litFields(
    lamp,
    view.floors,
    () => 0,
    (d) => -d.up,
  );
  return {
    pattern: { board: near, around },
    wall,
    floor,
    gloss: glossField(scene, lamp, board, camera, nodes, view),
  };
}

/** @param facing distance from the lamp to the surface's plane, for a vector from lamp to place. */
function litFields(
  lamp: Lamp,
  places: readonly LampPoint[],
  correction: (one: Direction) => number,
  facing: (d: LampPoint) => number,
): LitFields {
  const u = new Float32Array(places.length);
  const v = new Float32Array(places.length);
  const log = new Float32Array(places.length);
  places.forEach((place, k) => {
    const one = directionOf(place, lamp);
    const d = minus(place, lamp.place);
    const r2 = dot(d, d);
    const cos = Math.max(1e-4, facing(d) / Math.sqrt(r2));
    u[k] = one.u;
    v[k] = one.v;
    // E = I cos/r^2 (standards MET-6), mm to m; a matt surface sends out E/pi.
    log[k] = Math.log((1e6 * cos) / (r2 * Math.PI)) + correction(one);
  });
  return { u, v, log };
}

/** A mirror-like lobe around the half-way direction between lamp and camera (Blinn's model, normalised). */
function glossField(
  scene: Scene,
  lamp: Lamp,
  board: BoardPlace,
  camera: Camera,
  nodes: Nodes,
  view: NodeView,
): Float32Array {
  const field = new Float32Array(nodes.columns * nodes.rows);
  const shine = GLOSS[scene.board.finish];
  if (shine.strength === 0) return field;
  view.walls.forEach((place, k) => {
    const toLamp = unit(minus(lamp.place, place));
    const toEye = unit(minus(camera.spec.place, place));
    const half = unit({
      right: toLamp.right + toEye.right,
      forward: toLamp.forward + toEye.forward,
      up: toLamp.up + toEye.up,
    });
    const facing = Math.max(0, -dot(half, board.away));
    field[k] = ((shine.strength * (shine.exponent + 8)) / 8) * facing ** shine.exponent;
  });
  return field;
}

/** The nearest direction for which light is worked out where no board is. */
function clear(one: Direction): Direction {
  return {
    u: Math.max(CLEAR.uLow, Math.min(CLEAR.uHigh, one.u)),
    v: Math.max(CLEAR.vLow, Math.min(CLEAR.vHigh, one.v)),
    depth: one.depth,
  };
}

/** The smallest rectangle around directions, and a little more. */
function areaOf(directions: readonly Direction[]): TangentArea {
  const area = { uLow: 9, uHigh: -9, vLow: 9, vHigh: -9 };
  for (const { u, v } of directions) {
    area.uLow = Math.min(area.uLow, u - 0.002);
    area.uHigh = Math.max(area.uHigh, u + 0.002);
    area.vLow = Math.min(area.vLow, v - 0.002);
    area.vHigh = Math.max(area.vHigh, v + 0.002);
  }
  return area;
}
