/** What one slip would cost, in per cent of aim: plain arithmetic, for choosing where to take care. */
export interface Slip {
  readonly what: 'lamp-centre' | 'distance' | 'level' | 'floor' | 'low-rear' | 'two-tapes';
  /** The slip's size: mm, or mm per m. */
  readonly size: number;
  /** Over this length, mm, where it matters. */
  readonly overMm: number;
  /** How far drop (or, for two tapes, direction) goes wrong, per cent, without sign. */
  readonly costPct: number;
  readonly axis: 'drop' | 'offset';
}

/**
 * Slips that a tape and a level allow, at one place.
 *
 * @param distanceMm lamp to board. @param dropPct the aim, for what a wrong distance does.
 * @see standards' rows W10 (distance), W11 to W13 (floor, rear), W39 (heights); design page, what moves the answer.
 */
export function slipsAt(at: {
  readonly distanceMm: number;
  readonly wheelbaseMm: number;
  readonly dropPct: number;
}): readonly Slip[] {
  const { distanceMm: d, wheelbaseMm, dropPct } = at;
  return [
    { what: 'lamp-centre', size: 30, overMm: d, costPct: heightSlipPct(30, d), axis: 'drop' },
    {
      what: 'low-rear',
      size: 25,
      overMm: wheelbaseMm,
      costPct: heightSlipPct(25, wheelbaseMm),
      axis: 'drop',
    },
    { what: 'floor', size: 4, overMm: d, costPct: levelSlipPct(4), axis: 'drop' },
    { what: 'level', size: 1, overMm: d, costPct: levelSlipPct(1), axis: 'drop' },
    { what: 'distance', size: 50, overMm: d, costPct: distanceSlipPct(50, d, dropPct), axis: 'drop' },
    { what: 'two-tapes', size: 3, overMm: 1200, costPct: twoTapesPct(3, 1200), axis: 'offset' },
  ];
}

/** A height wrong by so much over a length: a lamp's centre over the distance, an axle over the wheelbase. */
export function heightSlipPct(mm: number, overMm: number): number {
  return (100 * mm) / overMm;
}

/** A level, or a floor, out by so many mm per m. */
export function levelSlipPct(mmPerM: number): number {
  return mmPerM / 10;
}

/** A distance taken too long by so much: the drop comes out too small. */
export function distanceSlipPct(mm: number, distanceMm: number, dropPct: number): number {
  return Math.abs(dropPct) * (1 - distanceMm / (distanceMm + mm));
}

/** Direction from two tapes, each unsure by `uMm` (k = 1), `baseMm` apart: k = 1. */
export function twoTapesPct(uMm: number, baseMm: number): number {
  return (100 * Math.SQRT2 * uMm) / baseMm;
}
