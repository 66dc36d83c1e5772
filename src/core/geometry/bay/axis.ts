/** How the vehicle's forward axis was carried to the board. */
export type AxisMethod = 'sighting' | 'strings' | 'two-tapes' | 'nose-marks' | 'none';

/**
 * Standard uncertainty of the axis direction by method, as a tangent (0.0035 is 0.35 %), with the reason.
 * Common practice and arithmetic on it, no published source.
 */
export const AXIS_U: Readonly<Record<AxisMethod, { readonly u: number; readonly why: string }>> = {
  sighting: {
    u: 0.0015,
    why: 'two centre points 3.5 m apart, each placed to 3 mm, and the eye over them to 1 mm per m',
  },
  strings: { u: 0.0025, why: 'strings along the wheels: track and tyre bulge to 4 mm over the wheelbase' },
  'two-tapes': { u: 0.0035, why: 'two tapes of 3 mm each over 1200 mm' },
  'nose-marks': {
    u: 0.003,
    why: 'rolled straight back: steering wheel held to about 3 deg, so the path curves a little',
  },
  none: { u: 0.02, why: 'the axis was not measured: the board was set square by eye, to about 1 deg' },
};
