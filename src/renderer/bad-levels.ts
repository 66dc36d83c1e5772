import type { Random } from './random.ts';
import type { PhotoRaster } from './render-photo.ts';
import { encodeSrgb } from './tone.ts';

/** What happens to a finished picture: each gives a function from levels to levels. */
export type LevelsEdit = (raster: PhotoRaster) => PhotoRaster;

/** The picture with each pixel taken from another place; `size` of the new picture. */
function taken(
  raster: PhotoRaster,
  width: number,
  height: number,
  from: (x: number, y: number) => readonly [number, number],
): PhotoRaster {
  const data = new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [sx, sy] = from(x, y);
      const at = (sy * raster.width + sx) * 3;
      for (let c = 0; c < 3; c++) data[(y * width + x) * 3 + c] = raster.data[at + c]!;
    }
  }
  return { width, height, channels: 3, maxLevel: 255, data };
}

/** Left and right swapped. */
export const mirrored: LevelsEdit = (r) => taken(r, r.width, r.height, (x, y) => [r.width - 1 - x, y]);

/** Stored on its head, and the file does not say so. */
export const upsideDown: LevelsEdit = (r) =>
  taken(r, r.width, r.height, (x, y) => [r.width - 1 - x, r.height - 1 - y]);

/** Lying on its side, and the file does not say so. */
export const onItsSide: LevelsEdit = (r) => taken(r, r.height, r.width, (x, y) => [y, r.height - 1 - x]);

/** Part of the picture: shares of width and height. */
export function cropped(left: number, top: number, right: number, bottom: number): LevelsEdit {
  return (r) => {
    const [x0, y0] = [Math.round(left * r.width), Math.round(top * r.height)];
    const width = Math.round((right - left) * r.width);
    const height = Math.round((bottom - top) * r.height);
    return taken(r, width, height, (x, y) => [x0 + x, y0 + y]);
  };
}

/** Resized in levels, as programs do it: averaged when smaller, bilinear when larger. */
export function resized(r: PhotoRaster, width: number, height: number): PhotoRaster {
  const data = new Uint8Array(width * height * 3);
  const [sx, sy] = [r.width / width, r.height / height];
  const n = Math.max(1, Math.ceil(Math.max(sx, sy)));
  const at = (x: number, y: number, c: number): number => {
    const cx = Math.max(0, Math.min(r.width - 1.001, x));
    const cy = Math.max(0, Math.min(r.height - 1.001, y));
    const [i, j] = [Math.floor(cx), Math.floor(cy)];
    const [s, t] = [cx - i, cy - j];
    const k = (j * r.width + i) * 3 + c;
    const row = r.width * 3;
    const d = r.data;
    return (1 - t) * ((1 - s) * d[k]! + s * d[k + 3]!) + t * ((1 - s) * d[k + row]! + s * d[k + row + 3]!);
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      for (let c = 0; c < 3; c++) {
        let sum = 0;
        for (let j = 0; j < n; j++)
          for (let i = 0; i < n; i++)
            sum += at((x + (i + 0.5) / n) * sx - 0.5, (y + (j + 0.5) / n) * sy - 0.5, c);
        data[(y * width + x) * 3 + c] = Math.round(sum / (n * n));
      }
    }
  }
  return { width, height, channels: 3, maxLevel: 255, data };
}

/** Digital zoom, or a copy sent small and blown up again. */
export function blownUp(factor: number): LevelsEdit {
  return (r) =>
    resized(resized(r, Math.round(r.width / factor), Math.round(r.height / factor)), r.width, r.height);
}

/** An editor's levels: black and white points moved in, and a gamma. */
export function levelled(black: number, white: number, gamma: number): LevelsEdit {
  const table = Uint8Array.from({ length: 256 }, (_, k) =>
    Math.round(255 * Math.max(0, Math.min(1, (k / 255 - black) / (white - black))) ** gamma),
  );
  return (r) => ({ ...r, data: r.data.map((level) => table[level]!) });
}

/** A screenshot: the picture shrunk, with plain bars above and below that carry signs and buttons. */
export function screenshot(random: Random): LevelsEdit {
  const shrink = random.uniform(0.55, 0.9);
  const grey = Math.round(random.pick([0, 18, 32, 245, 255]));
  return (r) => {
    const small = resized(r, Math.round(r.width * shrink), Math.round(r.height * shrink));
    const bar = Math.round(0.09 * small.height);
    const height = small.height + 2 * bar;
    const data = new Uint8Array(small.width * height * 3).fill(grey);
    data.set(small.data, bar * small.width * 3);
    for (let k = 0; k < 9; k++) {
      const x0 = Math.round(((k + 0.4) / 9) * small.width);
      for (const y0 of [Math.round(0.35 * bar), height - Math.round(0.65 * bar)]) {
        for (let y = y0; y < y0 + 0.3 * bar; y++)
          for (let x = x0; x < x0 + 0.3 * bar; x++)
            data.fill(255 - grey, (y * small.width + x) * 3, (y * small.width + x) * 3 + 3);
      }
    }
    return { width: small.width, height, channels: 3, maxLevel: 255, data };
  };
}

/** A photograph of a screen that shows the photo: its grid of dots beats with the camera's, and its black is grey. */
export function offAScreen(random: Random): LevelsEdit {
  const [px, py] = [random.uniform(2.1, 4.3), random.uniform(2.1, 4.3)];
  const turn = random.uniform(-0.05, 0.05);
  const depth = random.uniform(0.1, 0.35);
  const black = random.uniform(0.002, 0.008);
  const gamma = random.uniform(0.9, 1.2);
  const decode = Float64Array.from({ length: 256 }, (_, k) => {
    const y = k / 255;
    return y <= 0.04045 ? y / 12.92 : ((y + 0.055) / 1.055) ** 2.4;
  });
  return (r) => {
    const data = new Uint8Array(r.data.length);
    for (let y = 0; y < r.height; y++) {
      for (let x = 0; x < r.width; x++) {
        const a = x * Math.cos(turn) - y * Math.sin(turn);
        const b = x * Math.sin(turn) + y * Math.cos(turn);
        for (let c = 0; c < 3; c++) {
          const at = (y * r.width + x) * 3 + c;
          const dots =
            1 +
            depth * Math.cos((2 * Math.PI * a) / px + (2 * Math.PI * c) / 3) +
            0.6 * depth * Math.cos((2 * Math.PI * b) / py);
          const light = (decode[r.data[at]!]! ** gamma + black) * dots * 0.75;
          data[at] = Math.round(255 * encodeSrgb(Math.max(0, Math.min(1, light))));
        }
      }
    }
    return { ...r, data };
  };
}
