import { createRequire } from 'node:module';

/** The few OpenCV 4.3.0 calls that tests compare with; the package's own types are `any`. */
interface Mat {
  readonly data64F: Float64Array;
  readonly data32F: Float32Array;
  delete(): void;
}
interface Cv {
  readonly CV_64FC2: number;
  readonly CV_32FC2: number;
  matFromArray(rows: number, cols: number, type: number, data: readonly number[]): Mat;
  findHomography(from: Mat, to: Mat, method: number, limit: number, mask: Mat): Mat;
  perspectiveTransform(from: Mat, to: Mat, h: Mat): void;
  readonly Mat: new () => Mat;
}

let loaded: Cv | null = null;

function load(): Cv {
  if (loaded !== null) return loaded;
  const failures = process.listeners('uncaughtException');
  const rejections = process.listeners('unhandledRejection');
  const { cv } = createRequire(import.meta.url)('opencv-wasm') as { cv: Cv & { then?: unknown } };
  // The package listens for failures and ends the process on them; `then` would hang an await.
  for (const l of process.listeners('uncaughtException')) {
    if (!failures.includes(l)) process.removeListener('uncaughtException', l);
  }
  for (const l of process.listeners('unhandledRejection')) {
    if (!rejections.includes(l)) process.removeListener('unhandledRejection', l);
  }
  delete cv.then;
  loaded = cv;
  return cv;
}

type Points = readonly (readonly number[])[];

export function openCv(): { transform(from: Points, to: Points, probes: Points): number[][] } {
  const cv = load();
  return {
    /** findHomography (least squares) from points to points, then perspectiveTransform of the probes. */
    transform(from, to, probes) {
      const a = cv.matFromArray(from.length, 1, cv.CV_64FC2, from.flat());
      const b = cv.matFromArray(to.length, 1, cv.CV_64FC2, to.flat());
      const p = cv.matFromArray(probes.length, 1, cv.CV_64FC2, probes.flat());
      const mask = new cv.Mat();
      const out = new cv.Mat();
      const h = cv.findHomography(a, b, 0, 3, mask);
      cv.perspectiveTransform(p, out, h);
      const flat = [...out.data64F];
      for (const m of [a, b, p, mask, out, h]) m.delete();
      return probes.map((_, i) => [flat[2 * i]!, flat[2 * i + 1]!]);
    },
  };
}
