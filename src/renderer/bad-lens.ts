import { addBlob } from './bad-board.ts';
import { type BadPhoto, brightest, flatPartAt, mmPerDeg } from './bad-plane.ts';
import { gaussianBlur } from './lens.ts';
import type { Random } from './random.ts';
import type { PhotoEdits } from './render-photo.ts';
import type { LensSpec, Scene } from './scene.ts';

/** What goes wrong in camera and lens: each takes a good scene and spoils it. Pixel figures are for a picture 2000 px wide. */

function withLens(scene: Scene, change: Partial<LensSpec>): BadPhoto {
  return { scene: { ...scene, lens: { ...scene.lens, ...change } }, edits: {} };
}

const px = (scene: Scene): number => scene.camera.widthPx / 2000;

/** The camera moved sideways while it exposed. */
export function movedAlong(scene: Scene, random: Random): BadPhoto {
  return withLens(scene, { motionPx: px(scene) * random.uniform(8, 50), motionDeg: random.uniform(-8, 8) });
}

/** The camera moved up or down while it exposed: across the edge. */
export function movedAcross(scene: Scene, random: Random): BadPhoto {
  return withLens(scene, { motionPx: px(scene) * random.uniform(5, 40), motionDeg: random.uniform(75, 105) });
}

/** Out of focus. */
export function outOfFocus(scene: Scene, random: Random): BadPhoto {
  return withLens(scene, { blurPx: px(scene) * random.uniform(2.5, 14) });
}

/** A ghost of the lamp in the lens: a soft spot that lies on the edge. */
export function ghostSpot(scene: Scene, random: Random): BadPhoto {
  const at = flatPartAt(scene);
  const [aside, up] = [random.uniform(-1.2, 1.2), random.uniform(-0.3, 0.8)];
  const share = random.uniform(0.01, 0.15);
  const sizeDeg = random.uniform(0.4, 1.6);
  const deg = mmPerDeg(scene);
  return {
    scene,
    edits: {
      sensor: (plane, { width, height, photoOf }) => {
        const light = share * brightest(plane, width);
        const middle = photoOf(at.X + aside * deg, at.Y + up * deg);
        const rim = photoOf(at.X + (aside + sizeDeg) * deg, at.Y + up * deg);
        const size = Math.hypot(rim.x - middle.x, rim.y - middle.y);
        addBlob(plane, width, height, middle.x, middle.y, size, light);
      },
    },
  };
}

/** Grease on the lens: a streak of light through the hot spot, across the edge. */
export function lensSmear(scene: Scene, random: Random): BadPhoto {
  const at = flatPartAt(scene);
  const deg = mmPerDeg(scene);
  const turn = random.uniform(25, 155) * (Math.PI / 180);
  const share = random.uniform(0.02, 0.12);
  const wideDeg = random.uniform(0.4, 1.5);
  const aside = random.uniform(0, 3);
  return {
    scene,
    edits: {
      sensor: (plane, { width, height, photoOf }) => {
        const light = share * brightest(plane, width);
        const middle = photoOf(at.X + aside * deg, at.Y - 0.8 * deg);
        const rim = photoOf(at.X + (aside + wideDeg) * deg, at.Y - 0.8 * deg);
        const wide = Math.hypot(rim.x - middle.x, rim.y - middle.y);
        for (let y = 0; y < height; y++) {
          for (let x = 0; x < width; x++) {
            const [dx, dy] = [x - middle.x, y - middle.y];
            const off = (dx * Math.sin(turn) + dy * Math.cos(turn)) / wide;
            const far = (dx * Math.cos(turn) - dy * Math.sin(turn)) / (0.4 * width);
            if (off * off < 9) plane[y * width + x]! += light * Math.exp(-off * off - far * far);
          }
        }
      },
    },
  };
}

/** A pulsed lamp before a shutter that reads row after row: dark bands along the picture's rows. */
export function banding(scene: Scene, random: Random): BadPhoto {
  const period = px(scene) * random.uniform(50, 320);
  const phase = random.uniform(0, 1);
  const depth = random.uniform(0.25, 0.95);
  const on = random.uniform(0.3, 0.7);
  const soft = random.uniform(0.05, 0.3);
  const sensor: PhotoEdits['sensor'] = (plane, { width, height }) => {
    for (let y = 0; y < height; y++) {
      const t = (((y / period + phase) % 1) + 1) % 1;
      const lit = Math.max(0, Math.min(1, 0.5 + (on / 2 - Math.abs(t - 0.5)) / soft));
      const share = 1 - depth + depth * lit;
      for (let x = 0; x < width; x++) plane[y * width + x]! *= share;
    }
  };
  return { scene, edits: { sensor } };
}

/** Night mode laid two exposures over each other, the camera having moved between them. */
export function doubleExposure(scene: Scene, random: Random): BadPhoto {
  const second = random.uniform(0.3, 0.5);
  const dx = Math.round(px(scene) * random.uniform(-12, 12));
  const dy = Math.round(px(scene) * random.pick([-1, 1]) * random.uniform(5, 30));
  const sensor: PhotoEdits['sensor'] = (plane, { width, height }) => {
    const source = plane.slice();
    for (let y = 0; y < height; y++) {
      const from = Math.max(0, Math.min(height - 1, y + dy)) * width;
      for (let x = 0; x < width; x++) {
        const other = source[from + Math.max(0, Math.min(width - 1, x + dx))]!;
        plane[y * width + x] = (1 - second) * source[y * width + x]! + second * other;
      }
    }
  };
  return { scene, edits: { sensor } };
}

/** Strong local tone mapping: what is dark is lifted by what is around it, with halos along the edge. */
export function haloed(scene: Scene, random: Random): BadPhoto {
  const strength = random.uniform(0.35, 0.65);
  const reach = random.uniform(0.008, 0.04);
  const sensor: PhotoEdits['sensor'] = (plane, { width, height }) => {
    const peak = brightest(plane, width);
    const logs = plane.map((light) => Math.log(light / peak + 0.002));
    gaussianBlur(logs, width, height, reach * width);
    for (let i = 0; i < plane.length; i++) plane[i]! *= Math.exp(-strength * logs[i]!);
  };
  return { scene, edits: { sensor } };
}
