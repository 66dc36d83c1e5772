import { boardSurface } from './board-surface.ts';
import type { Camera } from './camera.ts';
import type { Lamp } from './lamp.ts';
import { LampRows } from './lamp-rows.ts';
import { type LampFields, lampFields, type NodeView, nodeView, patternAt } from './lit-fields.ts';
import { type Nodes, rowOf, stretch } from './nodes.ts';
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
  // Looked up at every second pixel where that is below a tenth of the edge's width: at most 0.3 % of the light is
  // missed, where the profile bends most, and nothing at the inflection.
  const pixel = 1 / camera.focalPx;
  const finest = Math.min(...lamps.map((lamp) => lamp.beam.finest));
  addLight(luminance, width, height, nodes, view, fields, 2 * pixel < 0.1 * finest ? 2 : 1);
  return { luminance, nodes, colour: nodeColours(scene, lamps, fields, view, nodes) };
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
  const { index, part } = stretch(width, 1 / nodes.step, 0, nodes.columns);
  for (let y = 0; y < height; y++) {
    rowOf(view.X, nodes, y, rowX);
    rowOf(view.Y, nodes, y, rowY);
    rowOf(view.slow, nodes, y, rowSlow);
    for (let x = 0; x < width; x++) {
      const i = index[x]!;
      const t = part[x]!;
      const X = rowX[i]! + t * (rowX[i + 1]! - rowX[i]!);
      const Y = rowY[i]! + t * (rowY[i + 1]! - rowY[i]!);
      const uneven = 1 + rowSlow[i]! + t * (rowSlow[i + 1]! - rowSlow[i]!) + grain(X, Y);
      const inside = Math.min(X - left, right - X, Y - bottom, top - Y);
      const mmPerPx = Math.abs(rowX[i + 1]! - rowX[i]!) / nodes.step + 1e-6;
      const share = Math.max(0, Math.min(1, inside / mmPerPx + 0.5));
      const isFloor = share === 0 && footUp + Y * board.ey.up + X * board.ex.up < 0;
      plane[y * width + x] = isFloor
        ? -floorAlbedo * uneven
        : (share * albedo + (1 - share) * wallAlbedo) * uneven;
    }
  }
  return plane;
}

/** Turns reflectances into luminances, in place. `hop`: see LampRows. */
function addLight(
  plane: Float32Array,
  width: number,
  height: number,
  nodes: Nodes,
  view: NodeView,
  lamps: readonly LampFields[],
  hop: number,
): void {
  const ambient = new Float64Array(nodes.columns);
  const gloss = new Float64Array(nodes.columns);
  const rows = lamps.map((lamp) => ({
    wall: new LampRows(lamp, lamp.wall, nodes, width, hop),
    floor: new LampRows(lamp, lamp.floor, nodes, width, hop),
  }));
  const { index, part } = stretch(width, 1 / nodes.step, 0, nodes.columns);
  const light = new Float64Array(width);
  for (let y = 0; y < height; y++) {
    const line = plane.subarray(y * width, (y + 1) * width);
    rowOf(view.ambient, nodes, y, ambient);
    let floors = 0;
    for (let x = 0; x < width; x++) {
      const i = index[x]!;
      const reflectance = line[x]!;
      if (reflectance < 0) floors++;
      light[x] = Math.abs(reflectance) * (ambient[i]! + part[x]! * (ambient[i + 1]! - ambient[i]!));
    }
    lamps.forEach((lamp, k) => {
      rowOf(lamp.gloss, nodes, y, gloss);
      if (floors < width) {
        const wall = rows[k]!.wall.at(y);
        for (let x = 0; x < width; x++) {
          const reflectance = line[x]!;
          if (reflectance < 0) continue;
          const i = index[x]!;
          const shine = gloss[i]! + part[x]! * (gloss[i + 1]! - gloss[i]!);
          light[x]! += (reflectance + shine) * Math.exp(wall[x]!);
        }
      }
      if (floors > 0) {
        const floor = rows[k]!.floor.at(y);
        for (let x = 0; x < width; x++) if (line[x]! < 0) light[x]! -= line[x]! * Math.exp(floor[x]!);
      }
    });
    line.set(light);
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
