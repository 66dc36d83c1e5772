/**
 * The frames every part agrees on. Each frame has its own field names, so that a point of one cannot
 * pass for a point of another.
 */

/**
 * Vehicle frame, mm, right-handed: `right` to the vehicle's right, `forward`, `up`. Origin on the ground, in the
 * median plane, in a named transverse plane (the front axle unless told).
 */
export interface VehiclePoint {
  readonly right: number;
  readonly forward: number;
  readonly up: number;
}

/** Board frame, mm: `X` right and `Y` up along the board, as seen from the vehicle. */
export interface BoardPoint {
  readonly X: number;
  readonly Y: number;
}

/** Photo frame, px: pixel centres at whole numbers, `y` down, after EXIF orientation. */
export interface PhotoPoint {
  readonly x: number;
  readonly y: number;
}

/**
 * Direction from a lamp's reference centre: `u` = d(right)/d(forward), `v` = d(up)/d(forward). Drop is -100 v per
 * cent, offset is +100 u per cent.
 */
export interface Tangent {
  readonly u: number;
  readonly v: number;
}

/**
 * Where the board stands in the vehicle frame.
 * `origin`: the vehicle-frame place of board point (0, 0). `outOfPlumbDeg`: + top away from the vehicle.
 * `yawDeg`: + right edge further away. `rollDeg`: board X against the vehicle's ground plane, + right end up.
 */
export interface BoardPose {
  readonly origin: VehiclePoint;
  readonly outOfPlumbDeg: number;
  readonly yawDeg: number;
  readonly rollDeg: number;
}

/** The vehicle's side, seen from the driver's seat. */
export type Side = 'left' | 'right' | 'centre';
/** The side of the road that traffic keeps to. */
export type TrafficSide = 'left' | 'right';
