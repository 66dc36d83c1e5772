/**
 * Units inside the core: lengths in mm, directions as tangents or per cent (100 x tangent), degrees only
 * where a standard speaks in degrees. The unit stands at the end of each name (`distanceMm`, `dropPct`).
 */

/** 1 inch in mm: exact by definition. */
export const MM_PER_INCH = 25.4;
/** 1 foot in mm: exact by definition. */
export const MM_PER_FOOT = 304.8;

/** Degrees to radians. */
export function radFromDeg(deg: number): number {
  return (deg * Math.PI) / 180;
}

/** Radians to degrees. */
export function degFromRad(rad: number): number {
  return (rad * 180) / Math.PI;
}

/** The tangent of an angle in degrees; 1 % is 0.5729 deg. */
export function tanFromDeg(deg: number): number {
  return Math.tan(radFromDeg(deg));
}

/** The angle in degrees of a slope in per cent: atan(pct / 100). */
export function degFromPct(pct: number): number {
  return degFromRad(Math.atan(pct / 100));
}

/** The slope in per cent of an angle in degrees: 100 tan(deg). */
export function pctFromDeg(deg: number): number {
  return 100 * tanFromDeg(deg);
}
