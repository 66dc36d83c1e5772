import { boardSurface } from './board-surface.ts';
import type { Camera } from './camera.ts';
import type { Lamp } from './lamp.ts';
import { type LampFields, lampFields, type Nodes, type NodeView, nodeView, patternAt } from './lit-fields.ts';
import { paintPrints } from './prints.ts';
import type { Scene } from './scene.ts';
import type { BoardPlace } from './space.ts';

/** The light that reaches the lens: luminance per pixel, cd/m2, and its colour at coarse nodes. */
export interface SceneLight {
  readonly luminance: Float32Array;
  readonly nodes: Nodes;
  /** Linear sRGB of luminance 1, at the nodes. */
  readonly colour: readonly [Float32Array, Float32Array, Float32Array];
}

/**
 * Light from every visible place towards the camera, before the lens: lamps with their openings, ambient, board with
 * its prints, wall and floor.
 *
 * Geometry is worked out at coarse nodes and bent straight between them (the curvature missed is below 0.02 px); the
 * lamps' pattern is read per pixel.
 */
export function sceneLight(
  scene: Scene,
  lamps: readonly Lamp[],
  board: BoardPlace,
  camera: Camera,
): SceneLight {
  const { widthPx: width, heightPx: height } = scene.camera;
  const step = Math.max(4, Math.min(12, Math.round(width / 250)));
  const nodes: Nodes = {
    step,
    columns: Math.ceil((width - 1) / step) + 2,
    rows: Math.ceil((height - 1) / step) + 2,
  };
  const view = nodeView(scene, board, camera, nodes);
  const fields = lamps.map((lamp) => lampFields(scene, lamp, board, camera, nodes, view));
  const luminance = reflectances(scene, board, nodes, view);
  paintPrints(luminance, width, height, scene.board.prints, (X, Y) => camera.project(board.place(X, Y)));
  addLight(luminance, width, height, nodes, view, fields);
  return { luminance, nodes, colour: nodeColours(scene, lamps, fields, view, nodes) };
}

/** A row of node values at photo row y. */
function rowOf(field: Float32Array, nodes: Nodes, y: number, out: Float64Array): void {
  const j = Math.min(nodes.rows - 2, Math.floor(y / nodes.step));
  const t = y / nodes.step - j;
  const a = j * nodes.columns;
  const b = a + nodes.columns;
  for (let i = 0; i < nodes.columns; i++) out[i] = field[a + i]! * (1 - t) + field[b + i]! * t;
}

/**
 * Reflectance of every pixel without prints: board with its albedo, wall, and floor. The floor's is negative, so
 * that the light falling on it can be told from the wall's.
 */
function reflectances(scene: Scene, board: BoardPlace, nodes: Nodes, view: NodeView): Float32Array {
  const { widthPx: width, heightPx: height } = scene.camera;
  const { left, right, bottom, top, albedo } = scene.board;
  const { wallAlbedo, floorAlbedo, lampHeightMm } = scene.surroundings;
  const { grain } = boardSurface(scene.board);
  const plane = new Float32Array(width * height);
  const rowX = new Float64Array(nodes.columns);
  const rowY = new Float64Array(nodes.columns);
  const rowSlow = new Float64Array(nodes.columns);
  const footUp = board.place(0, 0).up + lampHeightMm;
  for (let y = 0; y < height; y++) {
    rowOf(view.X, nodes, y, rowX);
    rowOf(view.Y, nodes, y, rowY);
    rowOf(view.slow, nodes, y, rowSlow);
    for (let x = 0; x < width; x++) {
      const i = (x / nodes.step) | 0;
      const t = x / nodes.step - i;
      const X = rowX[i]! + t * (rowX[i + 1]! - rowX[i]!);
      const Y = rowY[i]! + t * (rowY[i + 1]! - rowY[i]!);
      const uneven = 1 + rowSlow[i]! + t * (rowSlow[i + 1]! - rowSlow[i]!) + grain(X, Y);
      const mmPerPx = Math.abs(rowX[i + 1]! - rowX[i]!) / nodes.step + 1e-6;
      const inside = Math.min(X - left, right - X, Y - bottom, top - Y) / mmPerPx + 0.5;
      const share = Math.max(0, Math.min(1, inside));
      const isFloor = share === 0 && footUp + Y * board.ey.up + X * board.ex.up < 0;
      plane[y * width + x] = isFloor
        ? -floorAlbedo * uneven
        : (share * albedo + (1 - share) * wallAlbedo) * uneven;
    }
  }
  return plane;
}

/** Turns reflectances into luminances, in place. */
function addLight(
  plane: Float32Array,
  width: number,
  height: number,
  nodes: Nodes,
  view: NodeView,
  lamps: readonly LampFields[],
): void {
  const make = (): Float64Array => new Float64Array(nodes.columns);
  const ambient = make();
  const rows = lamps.map(() => ({
    wall: { u: make(), v: make(), log: make() },
    floor: { u: make(), v: make(), log: make() },
    gloss: make(),
  }));
  for (let y = 0; y < height; y++) {
    rowOf(view.ambient, nodes, y, ambient);
    lamps.forEach((lamp, k) => {
      const row = rows[k]!;
      rowOf(lamp.gloss, nodes, y, row.gloss);
      for (const surface of ['wall', 'floor'] as const) {
        rowOf(lamp[surface].u, nodes, y, row[surface].u);
        rowOf(lamp[surface].v, nodes, y, row[surface].v);
        rowOf(lamp[surface].log, nodes, y, row[surface].log);
      }
    });
    for (let x = 0; x < width; x++) {
      const i = (x / nodes.step) | 0;
      const t = x / nodes.step - i;
      const coded = plane[y * width + x]!;
      const reflectance = Math.abs(coded);
      let light = reflectance * (ambient[i]! + t * (ambient[i + 1]! - ambient[i]!));
      for (let k = 0; k < lamps.length; k++) {
        const row = rows[k]!;
        const on = coded < 0 ? row.floor : row.wall;
        const u = on.u[i]! + t * (on.u[i + 1]! - on.u[i]!);
        const v = on.v[i]! + t * (on.v[i + 1]! - on.v[i]!);
        const log = on.log[i]! + t * (on.log[i + 1]! - on.log[i]!);
        const gloss = coded < 0 ? 0 : row.gloss[i]! + t * (row.gloss[i + 1]! - row.gloss[i]!);
        light += (reflectance + gloss) * Math.exp(patternAt(lamps[k]!.pattern, u, v) + log);
      }
      plane[y * width + x] = light;
    }
  }
}

/** Colour of the light at the nodes: the lamps' and the ambient's, mixed by their shares; fringe at the cut-off. */
function nodeColours(
  scene: Scene,
  lamps: readonly Lamp[],
  fields: readonly LampFields[],
  view: NodeView,
  nodes: Nodes,
): [Float32Array, Float32Array, Float32Array] {
  const n = nodes.columns * nodes.rows;
  const red = new Float32Array(n);
  const green = new Float32Array(n);
  const blue = new Float32Array(n);
  const [ar, ag, ab] = scene.ambient.colour;
  for (let k = 0; k < n; k++) {
    const ambient = view.ambient[k]! + 1e-9;
    let r = ar * ambient;
    let g = ag * ambient;
    let b = ab * ambient;
    fields.forEach(({ pattern, wall }, l) => {
      const lamp = lamps[l]!;
      const light = Math.exp(patternAt(pattern, wall.u[k]!, wall.v[k]!) + wall.log[k]!);
      const tint = lamp.beam.fringe === 0 ? 0 : fringeAt(lamp, wall.u[k]!, wall.v[k]!);
      r += light * lamp.colour[0] * (1 - tint);
      g += light * lamp.colour[1] * (1 + 0.12 * tint);
      b += light * lamp.colour[2] * (1 + 1.4 * tint);
    });
    const y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
    red[k] = r / y;
    green[k] = g / y;
    blue[k] = b / y;
  }
  return [red, green, blue];
}

/** How blue the light is at a place: + above the cut-off, - (yellow) below, within about 0.3 deg of it. */
function fringeAt(lamp: Lamp, u: number, v: number): number {
  const { cutOff, fringe } = lamp.beam;
  if (!cutOff) return 0;
  const du = u - lamp.aim.offsetPct / 100;
  const w = (v + lamp.aim.dropPct / 100 - cutOff.height(du)) / (0.2 * (Math.PI / 180));
  return 0.3 * fringe * w * Math.exp(-0.5 * w * w);
}
