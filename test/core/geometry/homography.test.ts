import { readFileSync } from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { BoardPoint, PhotoPoint } from '../../../src/core/frames.ts';
import { homographyOfCamera, poseOfHomography, turnedBy } from '../../../src/core/geometry/camera-pose.ts';
import {
  applyHomography,
  composeHomography,
  fitHomography,
  homographyJacobian,
  invertHomography,
} from '../../../src/core/geometry/homography.ts';
import { fitLeastSquares } from '../../../src/core/geometry/least-squares.ts';
import { openCv } from '../../vision/opencv.ts';

interface Reference {
  readonly cases: readonly {
    readonly n: number;
    readonly noisePx: number;
    readonly board: readonly (readonly number[])[];
    readonly photo: readonly (readonly number[])[];
    readonly homography: readonly number[];
    readonly probes: readonly (readonly number[])[];
    readonly seen: readonly (readonly number[])[];
    readonly rotation: readonly number[];
    readonly translation: readonly number[];
    readonly focalPx: number;
  }[];
  readonly curve: {
    readonly x: readonly number[];
    readonly y: readonly number[];
    readonly params: readonly number[];
    readonly cost: number;
    readonly covariance: readonly (readonly number[])[];
  };
  readonly rotvec: { readonly w: readonly number[]; readonly matrix: readonly number[] };
}

// numpy 2.4.6 and scipy 1.17.1: test/reference/homography.py.
const reference = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, '../../reference/homography.json'), 'utf8'),
) as Reference;

const boardOf = (points: readonly (readonly number[])[]): BoardPoint[] =>
  points.map((p) => ({ X: p[0]!, Y: p[1]! }));
const photoOf = (points: readonly (readonly number[])[]): PhotoPoint[] =>
  points.map((p) => ({ x: p[0]!, y: p[1]! }));

describe('homography against scipy and OpenCV', () => {
  test.each(reference.cases)("$n points with $noisePx px noise: within 0.2 px of scipy's best fit", (c) => {
    const h = fitHomography(boardOf(c.board), photoOf(c.photo))!;
    c.probes.forEach((p, i) => {
      const seen = applyHomography(h, { X: p[0]!, Y: p[1]! });
      // The algebraic fit is not the geometric one: they differ by a part of the noise, by nothing without it.
      const limit = c.noisePx === 0 ? 1e-6 : 0.3 * c.noisePx;
      expect(Math.abs(seen.x - c.seen[i]![0]!)).toBeLessThan(limit);
      expect(Math.abs(seen.y - c.seen[i]![1]!)).toBeLessThan(limit);
    });
  });

  test.each(reference.cases)(
    "$n points: OpenCV's findHomography and perspectiveTransform say the same to 0.06 px and a part of the noise",
    (c) => {
      const h = fitHomography(boardOf(c.board), photoOf(c.photo))!;
      const theirs = openCv().transform(c.board, c.photo, c.probes);
      c.probes.forEach((p, i) => {
        const seen = applyHomography(h, { X: p[0]!, Y: p[1]! });
        // OpenCV keeps points as 32-bit floats, worth 0.06 px when four points must fit exactly.
        const limit = 0.06 + 0.3 * c.noisePx;
        expect(Math.hypot(seen.x - theirs[i]![0]!, seen.y - theirs[i]![1]!)).toBeLessThan(limit);
      });
    },
  );

  test('a weight of 0 leaves a wrong point out: within 1e-6 px of the fit without it', () => {
    const c = reference.cases[1]!;
    const board = boardOf(c.board);
    const photo = photoOf(c.photo);
    const wrong = photo.with(3, { x: photo[3]!.x + 500, y: photo[3]!.y - 80 });
    const h = fitHomography(
      board,
      wrong,
      board.map((_, i) => (i === 3 ? 0 : 1)),
    )!;
    const g = fitHomography(board.toSpliced(3, 1), photo.toSpliced(3, 1))!;
    const probe = { X: 111, Y: -222 };
    expect(applyHomography(h, probe).x).toBeCloseTo(applyHomography(g, probe).x, 5);
    expect(applyHomography(h, probe).y).toBeCloseTo(applyHomography(g, probe).y, 5);
  });

  test('three of four points in one line give null, and three points are an InputError', () => {
    const board = boardOf([
      [0, 0],
      [100, 50],
      [200, 100],
      [30, 170],
    ]);
    const photo = photoOf([
      [10, 12],
      [110, 61],
      [210, 110],
      [31, 190],
    ]);
    expect(fitHomography(board, photo)).toBeNull();
    expect(() => fitHomography(board.slice(0, 3), photo.slice(0, 3))).toThrow('at least 4');
    expect(() => fitHomography(board, photo.slice(0, 3))).toThrow('as many as the 4');
  });
});

const camera = fc.record({
  tilt: fc.double({ min: -0.9, max: 0.9, noNaN: true }),
  turn: fc.double({ min: -0.9, max: 0.9, noNaN: true }),
  roll: fc.double({ min: -0.4, max: 0.4, noNaN: true }),
  x: fc.double({ min: -400, max: 400, noNaN: true }),
  y: fc.double({ min: -300, max: 300, noNaN: true }),
  z: fc.double({ min: 1500, max: 6000, noNaN: true }),
  f: fc.double({ min: 900, max: 5000, noNaN: true }),
});

function posedCamera(c: { tilt: number; turn: number; roll: number; x: number; y: number; z: number }) {
  const frontal = [1, 0, 0, 0, -1, 0, 0, 0, -1];
  return {
    rotation: turnedBy(turnedBy(turnedBy(frontal, [c.tilt, 0, 0]), [0, c.turn, 0]), [0, 0, c.roll]),
    translation: [c.x, c.y, c.z] as const,
  };
}

describe('laws of homographies', () => {
  test('there and back returns the start to 1e-6 mm, for any camera before the board', () => {
    fc.assert(
      fc.property(camera, fc.double({ min: -500, max: 500, noNaN: true }), (c, X) => {
        const h = homographyOfCamera(posedCamera(c), { focalPx: c.f, cx: 1999.5, cy: 1499.5 });
        const p = { X, Y: 137 - X / 3 };
        const seen = applyHomography(h, p);
        const back = applyHomography(invertHomography(h), { X: seen.x, Y: seen.y });
        expect(back.x).toBeCloseTo(p.X, 6);
        expect(back.y).toBeCloseTo(p.Y, 6);
      }),
    );
  });

  test('the derivative agrees with differences to 1e-6 px per mm, and shows Y up against y down', () => {
    fc.assert(
      fc.property(camera, (c) => {
        const h = homographyOfCamera(posedCamera(c), { focalPx: c.f, cx: 1999.5, cy: 1499.5 });
        const p = { X: 83, Y: -41 };
        const [a, b, d, e] = homographyJacobian(h, p);
        const s = 0.01;
        const dX =
          applyHomography(h, { X: p.X + s, Y: p.Y }).x - applyHomography(h, { X: p.X - s, Y: p.Y }).x;
        const dY =
          applyHomography(h, { X: p.X, Y: p.Y + s }).y - applyHomography(h, { X: p.X, Y: p.Y - s }).y;
        expect(a).toBeCloseTo(dX / (2 * s), 6);
        expect(e).toBeCloseTo(dY / (2 * s), 6);
        expect(a * e - b * d).toBeLessThan(0);
      }),
    );
  });

  test('a pose taken from its own homography comes back to 1e-9, whatever the scale of the homography', () => {
    fc.assert(
      fc.property(camera, fc.constantFrom(1, -0.003, 250), (c, k) => {
        const pose = posedCamera(c);
        const lens = { focalPx: c.f, cx: 1990, cy: 1511 };
        const back = poseOfHomography(
          homographyOfCamera(pose, lens).map((v) => v * k),
          lens,
        )!;
        pose.rotation.forEach((v, i) => {
          expect(back.rotation[i]).toBeCloseTo(v, 8);
        });
        pose.translation.forEach((v, i) => {
          expect(back.translation[i]!).toBeCloseTo(v, 5);
        });
      }),
    );
  });

  test('a moved camera changes nothing on the board: photo to photo through the board is one homography', () => {
    fc.assert(
      fc.property(camera, camera, (c1, c2) => {
        const h1 = homographyOfCamera(posedCamera(c1), { focalPx: c1.f, cx: 1999.5, cy: 1499.5 });
        const h2 = homographyOfCamera(posedCamera(c2), { focalPx: c2.f, cx: 1999.5, cy: 1499.5 });
        const between = composeHomography(h2, invertHomography(h1));
        const p = { X: 211, Y: -90 };
        const first = applyHomography(h1, p);
        const second = applyHomography(between, { X: first.x, Y: first.y });
        expect(second.x).toBeCloseTo(applyHomography(h2, p).x, 5);
        expect(second.y).toBeCloseTo(applyHomography(h2, p).y, 5);
      }),
    );
  });
});

describe('least squares against scipy', () => {
  test("a decaying cosine ends at MINPACK's parameters to 1e-6 with its covariance to 1e-3", () => {
    const { x, y, params, cost, covariance } = reference.curve;
    const fit = fitLeastSquares({
      start: [2, 0.5, 3, 0.3],
      scales: [1, 1, 1, 1],
      residuals: (p) =>
        x.map((t, i) => (p[0]! * Math.exp(-p[1]! * t) * Math.cos(p[2]! * t + p[3]!) - y[i]!) / 0.05),
    });
    expect(fit.converged).toBe(true);
    expect(fit.cost).toBeCloseTo(cost, 6);
    params.forEach((p, i) => {
      expect(fit.params[i]).toBeCloseTo(p, 6);
      covariance[i]!.forEach((v, j) => {
        expect(Math.abs(fit.covariance![i]![j]! - v)).toBeLessThan(
          1e-3 * Math.sqrt(covariance[i]![i]! * covariance[j]![j]!),
        );
      });
    });
  });

  test('parameters that the data do not fix have no covariance', () => {
    const fit = fitLeastSquares({
      start: [1, 1],
      scales: [1, 1],
      residuals: (p) => [p[0]! + p[1]! - 3, 2 * (p[0]! + p[1]!) - 6],
    });
    expect(fit.covariance).toBeNull();
    expect(fit.params[0]! + fit.params[1]!).toBeCloseTo(3, 6);
  });
});

describe('rotation vectors against scipy', () => {
  test("exp of (0.21, -0.34, 0.11) rad is scipy's matrix to 1e-12", () => {
    const [x, y, z] = reference.rotvec.w as [number, number, number];
    turnedBy([1, 0, 0, 0, 1, 0, 0, 0, 1], [x, y, z]).forEach((v, i) => {
      expect(v).toBeCloseTo(reference.rotvec.matrix[i]!, 12);
    });
  });

  test("scipy's camera comes back from its own homography to 1e-9", () => {
    const c = reference.cases[0]!;
    const lens = { focalPx: c.focalPx, cx: 1999.5, cy: 1499.5 };
    const pose = poseOfHomography(c.homography, lens)!;
    pose.rotation.forEach((v, i) => {
      expect(v).toBeCloseTo(c.rotation[i]!, 6);
    });
    expect(pose.translation[2] / c.translation[2]!).toBeCloseTo(1, 6);
  });
});
