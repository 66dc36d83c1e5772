import { photoPointOf } from '../core/geometry/board-projection.ts';
import { fitLeastSquares, type LeastSquaresFit } from '../core/geometry/least-squares.ts';
import type { SheetPlace } from './sheet-bodies.ts';
import {
  type BodyPoint,
  CAMERA_PARAMS,
  cameraStart,
  cameraView,
  lensPriors,
  type PhotoSize,
  pointUncertainty,
  startCamera,
} from './solve-view.ts';
import { posed, type RoughPose } from './survey-start.ts';

/** Centre cross laid on a drawn line by eye, mm. */
const U_LEVEL_MM = 0.7;
/** A printer's size when its ruler was not measured, or measured with a school ruler: part of the size. */
const U_PRINT_SCALE = 0.003;
/** The sheets that one photo shows. */
export interface View {
  readonly photo: PhotoSize;
  readonly sheets: readonly { readonly number: number; readonly points: readonly BodyPoint[] }[];
}

/** All that is solved together, with a rough start for every sheet. */
export interface Network {
  readonly views: readonly View[];
  readonly sheets: readonly SheetPlace[];
  readonly level: readonly number[];
  readonly start: ReadonlyMap<number, RoughPose>;
  readonly originSheet: number | null;
}

export interface SolvedNetwork {
  readonly fit: LeastSquaresFit;
  readonly places: ReadonlyMap<number, SheetPlace>;
  readonly index: ReadonlyMap<number, number>;
  readonly rmsMm: number;
  readonly misfit: number;
  /** Each anchor's residual over its uncertainty. */
  readonly anchors: readonly { readonly name: string; readonly off: number }[];
}

/**
 * Least squares over all photos at once. Parameters: X, Y, turn of each sheet; ln print scale; height of the level line; ten for each camera.
 * @param distance a taped distance between two sheets' centre crosses, to hold the scale; null leaves it to the print.
 * @returns null when some photo does not fix its camera.
 */
export function solveNetwork(
  network: Network,
  distance: { readonly from: number; readonly to: number; readonly mm: number; readonly uMm: number } | null,
): SolvedNetwork | null {
  const { sheets, views } = network;
  const index = new Map(sheets.map((s, i) => [s.number, 3 * i]));
  const scaleAt = 3 * sheets.length;
  const levelAt = scaleAt + 1;
  const start: number[] = [];
  const scales: number[] = [];
  for (const s of sheets) {
    const p = network.start.get(s.number)!;
    start.push(p.X, p.Y, p.turn);
    scales.push(100, 100, 0.1);
  }
  const levelY = network.level.map((n) => network.start.get(n)!.Y);
  start.push(0, levelY.length > 0 ? levelY.reduce((a, b) => a + b, 0) / levelY.length : 0);
  scales.push(0.1, 100);
  const cameras = views.map((v) => {
    const points = v.sheets.flatMap((s) =>
      s.points.map((p) => ({ nominal: posed(network.start.get(s.number)!, p.local), photo: p.photo })),
    );
    const middle = {
      X: points.reduce((a, p) => a + p.nominal.X, 0) / points.length,
      Y: points.reduce((a, p) => a + p.nominal.Y, 0) / points.length,
    };
    const camera = startCamera(
      points,
      points.map(() => 1),
      middle,
      v.photo,
    );
    if (camera === null) return null;
    const at = start.length;
    const ten = cameraStart(camera.pose0, camera.lens0, v.photo);
    start.push(...ten.start);
    scales.push(...ten.scales);
    return { ...camera, middle, at };
  });
  const anchorsOf = (q: readonly number[]): { name: string; off: number }[] => {
    const out: { name: string; off: number }[] = [];
    for (const s of sheets) {
      const i = index.get(s.number)!;
      if (s.at !== null) {
        out.push({
          name: `The place of sheet ${s.number}`,
          off: (q[i]! - s.at.X.mm) / Math.max(s.at.X.uMm, 0.05),
        });
        out.push({
          name: `The place of sheet ${s.number}`,
          off: (q[i + 1]! - s.at.Y.mm) / Math.max(s.at.Y.uMm, 0.05),
        });
      }
      if (s.turnDeg !== null) {
        const off = (q[i + 2]! * 180) / Math.PI - s.turnDeg;
        out.push({ name: `The turn of sheet ${s.number}`, off: off / Math.max(s.uTurnDeg, 0.01) });
      }
    }
    for (const n of network.level) {
      out.push({
        name: `Sheet ${n} on the level line`,
        off: (q[index.get(n)! + 1]! - q[levelAt]!) / U_LEVEL_MM,
      });
    }
    if (network.originSheet !== null) {
      const i = index.get(network.originSheet)!;
      out.push({ name: 'The origin', off: q[i]! / 0.05 }, { name: 'The origin', off: q[levelAt]! / 0.05 });
    }
    if (distance !== null) {
      const a = index.get(distance.from)!;
      const b = index.get(distance.to)!;
      const now = Math.hypot(q[b]! - q[a]!, q[b + 1]! - q[a + 1]!);
      out.push({ name: 'The taped distance', off: (now - distance.mm) / Math.max(distance.uMm, 0.05) });
    }
    return out;
  };
  const residuals = (q: readonly number[]): number[] => {
    const r: number[] = [];
    const size = Math.exp(q[scaleAt]!);
    views.forEach((v, k) => {
      const camera = cameras[k];
      if (!camera) return;
      const ten = q.slice(camera.at, camera.at + CAMERA_PARAMS);
      const view = cameraView(camera.pose0, ten, camera.middle, v.photo);
      for (const s of v.sheets) {
        const i = index.get(s.number)!;
        const pose = { X: q[i]!, Y: q[i + 1]!, turn: q[i + 2]! };
        for (const p of s.points) {
          const seen = photoPointOf(view, posed(pose, { X: size * p.local.X, Y: size * p.local.Y }));
          const u = pointUncertainty(p.uPx, camera.pxPerMm);
          r.push((seen.x - p.photo.x) / u, (seen.y - p.photo.y) / u);
        }
      }
      r.push(...lensPriors(ten, v.photo));
    });
    r.push(q[scaleAt]! / U_PRINT_SCALE);
    // With no level line its height is nothing's; hold it.
    if (network.level.length === 0) r.push(q[levelAt]! / 1000);
    r.push(...anchorsOf(q).map((a) => a.off));
    return r;
  };
  if (cameras.some((c) => c === null)) return null;
  const fit = fitLeastSquares({ start, scales, residuals, maxIterations: 60 });
  if (fit.covariance === null || !Number.isFinite(fit.cost)) return null;
  const q = fit.params;
  const u = (i: number): number => Math.sqrt(fit.covariance![i]![i]!);
  const places = new Map(
    sheets.map((s): [number, SheetPlace] => {
      const i = index.get(s.number)!;
      return [
        s.number,
        {
          number: s.number,
          at: { X: { mm: q[i]!, uMm: u(i) }, Y: { mm: q[i + 1]!, uMm: u(i + 1) } },
          turnDeg: (q[i + 2]! * 180) / Math.PI,
          uTurnDeg: (u(i + 2) * 180) / Math.PI,
          scale: s.scale * Math.exp(q[scaleAt]!),
        },
      ];
    }),
  );
  // Corner rows come first, view by view, each followed by four lens priors.
  let row = 0;
  let corners = 0;
  let sum = 0;
  let sumMm = 0;
  views.forEach((v, k) => {
    const pxPerMm = cameras[k]!.pxPerMm;
    for (const s of v.sheets) {
      for (const p of s.points) {
        const square = fit.residuals[row]! ** 2 + fit.residuals[row + 1]! ** 2;
        const uPoint = pointUncertainty(p.uPx, pxPerMm);
        sum += square;
        sumMm += (square * uPoint * uPoint) / (pxPerMm * pxPerMm);
        corners++;
        row += 2;
      }
    }
    row += 4;
  });
  return {
    fit,
    places,
    index,
    rmsMm: Math.sqrt(sumMm / corners),
    misfit: Math.sqrt(sum / (2 * corners)),
    anchors: anchorsOf(q),
  };
}

/** Distance between two centre crosses and its standard uncertainty, mm. */
export function distanceBetween(s: SolvedNetwork, from: number, to: number): { mm: number; uMm: number } {
  const a = s.index.get(from)!;
  const b = s.index.get(to)!;
  const q = s.fit.params;
  const dX = q[b]! - q[a]!;
  const dY = q[b + 1]! - q[a + 1]!;
  const mm = Math.hypot(dX, dY);
  const j: [number, number][] = [
    [a, -dX / mm],
    [a + 1, -dY / mm],
    [b, dX / mm],
    [b + 1, dY / mm],
  ];
  const c = s.fit.covariance!;
  const variance = j.reduce((t, [i, g]) => t + j.reduce((w, [k, h]) => w + g * h * c[i]![k]!, 0), 0);
  return { mm, uMm: Math.sqrt(variance) };
}
