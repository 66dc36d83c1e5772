/** One height of the edge from two ways of finding it, tangent units. */
export interface SettledHeight {
  readonly v: number;
  /** Standard uncertainty from noise, and from the ways themselves. */
  readonly uNoise: number;
  readonly uShape: number;
  /** How much the first counts, 0 to 1. */
  readonly share: number;
  /** Their difference over its own standard uncertainty. */
  readonly apart: number;
}

export interface Opinion {
  readonly v: number;
  readonly uNoise: number;
  readonly uShape: number;
}

/** Further apart than this the two do not speak of one edge. */
export const AT_ODDS = 3;

/**
 * The scan and the joint fit brought together, each weighed by what it is sure of. Where they contradict each other
 * half their difference is added to what the shape leaves open.
 */
export function settle(scan: Opinion, joint: Opinion): SettledHeight {
  const uScan = Math.hypot(scan.uNoise, scan.uShape);
  const uJoint = Math.hypot(joint.uNoise, joint.uShape);
  const share = uJoint ** 2 / (uScan ** 2 + uJoint ** 2);
  const apart = (scan.v - joint.v) / Math.hypot(uScan, uJoint);
  const odd = Math.abs(apart) > AT_ODDS ? Math.abs(scan.v - joint.v) / 2 : 0;
  return {
    v: share * scan.v + (1 - share) * joint.v,
    // One photo's noise moves both the same way, so their parts are added before squaring.
    uNoise: share * scan.uNoise + (1 - share) * joint.uNoise,
    uShape: Math.hypot(share * scan.uShape, (1 - share) * joint.uShape, odd),
    share,
    apart,
  };
}
