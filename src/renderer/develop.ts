import type { Camera } from './camera.ts';
import type { Glare } from './lens.ts';
import { gaussianBlur } from './lens.ts';
import { stretch } from './nodes.ts';
import { Random } from './random.ts';
import type { Scene } from './scene.ts';
import type { SceneLight } from './scene-light.ts';
import { toneTable } from './tone.ts';

/** What the camera did, as it would write into the file. */
export interface ExposureUsed {
  readonly exposureS: number;
  readonly fNumber: number;
  readonly iso: number;
  /** Linear value (1 = white) per luminance in cd/m2. */
  readonly perCdM2: number;
}

/** Share of saturation per channel under equal light: green is the most sensitive. */
const SENSITIVITY = [0.55, 1, 0.65] as const;
const WEIGHTS = [0.2126, 0.7152, 0.0722] as const;
const TABLE = 65536;

let normals: Float32Array | null = null;
/** 65536 normal numbers, the same in every run; a photo's seed chooses the order in which they are used. */
function normalTable(): Float32Array {
  if (!normals) {
    const random = new Random(20011);
    normals = Float32Array.from({ length: TABLE }, () => random.normal());
  }
  return normals;
}

/**
 * The exposure. By ISO 12232 (from memory: saturation-based speed, lens factor 0.65) white is reached at a luminance
 * of 120 N^2/(S t) cd/m2. 'auto' makes the brightest place of the board just reach white in its strongest colour.
 */
export function exposureOf(
  scene: Scene,
  light: SceneLight,
  glare: Glare,
  gains: readonly number[],
): ExposureUsed {
  const { iso, fNumber, exposure } = scene.sensor;
  if ('s' in exposure) {
    return { exposureS: exposure.s, fNumber, iso, perCdM2: (exposure.s * iso) / (120 * fNumber * fNumber) };
  }
  let peak = 0;
  const { block, columns, rows, means } = glare;
  const { step } = light.nodes;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const x = Math.min(scene.camera.widthPx - 1, (i + 0.5) * block);
      const y = Math.min(scene.camera.heightPx - 1, (j + 0.5) * block);
      const node = Math.round(y / step) * light.nodes.columns + Math.round(x / step);
      const colour = Math.max(...light.colour.map((field, c) => field[node]! * gains[c]!));
      const all = glare.kept * means[j * columns + i]! + glare.light[j * columns + i]!;
      peak = Math.max(peak, all * colour * vignetteAt(scene, x, y));
    }
  }
  const perCdM2 = 2 ** exposure.stops / peak;
  return { exposureS: (perCdM2 * 120 * fNumber * fNumber) / iso, fNumber, iso, perCdM2 };
}

function vignetteAt(scene: Scene, x: number, y: number): number {
  const { widthPx, heightPx } = scene.camera;
  const half2 = (widthPx * widthPx + heightPx * heightPx) / 4;
  const dx = x - (widthPx - 1) / 2;
  const dy = y - (heightPx - 1) / 2;
  return 1 - (scene.lens.vignetting * (dx * dx + dy * dy)) / half2;
}

/** White balance: makes the main light neutral by the given strength, luminance kept. */
export function whiteBalance(scene: Scene): readonly [number, number, number] {
  const lamp = scene.lamps.find((one) => one.lit);
  const colour = lamp ? lamp.colour : scene.ambient.colour;
  const raw = colour.map((c) => c ** -scene.sensor.whiteBalance);
  const y = raw.reduce((sum, gain, c) => sum + WEIGHTS[c]! * gain * colour[c]!, 0);
  return raw.map((gain) => gain / y) as [number, number, number];
}

/**
 * From light at the sensor to levels: glare, vignetting, photon and read noise, saturation, white balance, clipping,
 * tone curve, eight bits.
 * @returns width * height * 3 levels, row after row.
 */
export function develop(
  scene: Scene,
  camera: Camera,
  light: SceneLight,
  glare: Glare,
  used: ExposureUsed,
  gains: readonly [number, number, number],
  random: Random,
): Uint8Array {
  const { widthPx: width, heightPx: height } = camera.spec;
  const { step, columns } = light.nodes;
  const out = new Uint8Array(width * height * 3);
  const table = toneTable(scene.tone, TABLE);
  const noise = normalTable();
  const least = Math.min(...gains.map((gain, c) => gain / SENSITIVITY[c]!));
  const electrons = gains.map(
    (gain, c) => (((scene.sensor.fullWell * 100) / used.iso) * SENSITIVITY[c]! * least) / gain,
  ) as [number, number, number];
  // Where the sensor is full: at or above white in every channel, so that burnt-out areas are white.
  const full = gains.map((gain, c) => gain / (SENSITIVITY[c]! * least)) as [number, number, number];
  const read2 = scene.sensor.readNoise ** 2;
  const local = scene.tone.curve === 'local' ? localGains(glare, used.perCdM2, scene.tone.strength) : null;
  let state = random.bits() | 1;
  const colour = new Float64Array(columns);
  const stray = new Float64Array(glare.columns);
  const lift = new Float64Array(glare.columns).fill(1);
  const lum = new Float64Array(width);
  const gain = new Float64Array(width).fill(1);
  const node = stretch(width, 1 / step, 0, columns);
  const block = stretch(width, 1 / glare.block, 0.5 / glare.block - 0.5, glare.columns);
  const shade = Float64Array.from({ length: width }, (_, x) => 1 - vignetteAt(scene, x, (height - 1) / 2));
  for (let y = 0; y < height; y++) {
    coarseRow(glare.light, glare, y, stray);
    if (local) coarseRow(local, glare, y, lift);
    const rowShade = vignetteAt(scene, (width - 1) / 2, y);
    for (let x = 0; x < width; x++) {
      const i = block.index[x]!;
      const t = block.part[x]!;
      const add = stray[i]! + t * (stray[i + 1]! - stray[i]!);
      const sharp = glare.kept * light.luminance[y * width + x]!;
      lum[x] = (sharp + add) * (rowShade - shade[x]!) * used.perCdM2;
      if (local) gain[x] = lift[i]! + t * (lift[i + 1]! - lift[i]!);
    }
    const j = Math.min(light.nodes.rows - 2, Math.floor(y / step));
    const tj = y / step - j;
    for (let c = 0; c < 3; c++) {
      const field = light.colour[c]!;
      const a = j * columns;
      for (let i = 0; i < columns; i++) {
        colour[i] = (field[a + i]! * (1 - tj) + field[a + columns + i]! * tj) * gains[c]!;
      }
      const e = electrons[c]!;
      const perElectron = 1 / e;
      const most = full[c]!;
      let at = y * width * 3 + c;
      for (let x = 0; x < width; x++, at += 3) {
        const i = node.index[x]!;
        const value = lum[x]! * (colour[i]! + node.part[x]! * (colour[i + 1]! - colour[i]!));
        state ^= state << 13;
        state ^= state >>> 17;
        state ^= state << 5;
        const noisy = value + noise[state & 65535]! * Math.sqrt(value * e + read2) * perElectron;
        const seen = Math.min(noisy, most) * gain[x]!;
        out[at] = seen <= 0 ? 0 : seen >= 1 ? 255 : table[(seen * 65535 + 0.5) | 0]!;
      }
    }
  }
  if (scene.sensor.denoise > 0) denoise(out, width, height, scene.sensor.denoise);
  return out;
}

/** Values of a coarse field (block centres) at photo row y, still per block along x. */
function coarseRow(field: Float32Array, glare: Glare, y: number, out: Float64Array): void {
  const g = Math.max(0, Math.min(glare.rows - 1.001, (y + 0.5) / glare.block - 0.5));
  const j = Math.floor(g);
  const t = g - j;
  const a = j * glare.columns;
  for (let i = 0; i < glare.columns; i++) {
    out[i] =
      field[a + i]! * (1 - t) + field[Math.min(a + glare.columns, field.length - glare.columns) + i]! * t;
  }
}

/** Local tone mapping: places with dark surroundings are lifted, bright ones held back a little. */
function localGains(glare: Glare, perCdM2: number, strength: number): Float32Array {
  const logs = glare.means.map((mean) => Math.log(mean * perCdM2 + 0.004));
  gaussianBlur(logs, glare.columns, glare.rows, glare.columns / 24);
  return logs.map((log) => Math.exp(-0.55 * strength * Math.min(0, log - Math.log(0.5))));
}

/** Averages a pixel with those of its four neighbours that differ by less than a few levels, as cameras do. */
function denoise(levels: Uint8Array, width: number, height: number, strength: number): void {
  const source = levels.slice();
  const near = Math.round(4 + 8 * strength);
  const stride = width * 3;
  const [up, left, right, down] = [-stride, -3, 3, stride] as const;
  for (let k = stride; k < (height - 1) * stride; k++) {
    const here = source[k]!;
    // The sum of the differences that are small: the mean of a pixel and its like lies a share of it away.
    let d = source[k + up]! - here;
    let sum = d <= near && d >= -near ? d : 0;
    d = source[k + left]! - here;
    if (d <= near && d >= -near) sum += d;
    d = source[k + right]! - here;
    if (d <= near && d >= -near) sum += d;
    d = source[k + down]! - here;
    if (d <= near && d >= -near) sum += d;
    levels[k] = (here + 0.2 * strength * sum + 0.5) | 0;
  }
}
