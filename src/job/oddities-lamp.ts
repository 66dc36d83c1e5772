import type { JobLamp } from './job.ts';
import { unitSlip } from './oddity-units.ts';
import { inMm, typedMm, type UncheckedJob } from './oddity-words.ts';

/** Lamp centres of every vehicle that these rules know, mm: beyond, the unit is the first thing to doubt. */
const CENTRE = { from: 300, to: 1500 };
/** Lit parts, mm: from a thin strip to the largest bowl. */
const LIT = { from: 10, to: 400 };
/** A bowl lights more than this in height, a projector's lens and a strip less (common practice, no source), mm. */
const BOWL = { from: 70, to: 400 };
const LENS = { from: 25, to: 130 };
const STRIP = { from: 10, to: 90 };
const BOWLS: readonly JobLamp['filling'][] = [
  'disc',
  'centre-weighted',
  'upper-half',
  'lower-half-dim',
  'ring',
];

/** Questions about one lamp's own figures. */
export function lampOddities(lamp: JobLamp): readonly string[] {
  const out: string[] = [];
  const { centreHeight, lowerEdge, litHeight, litWidth, title } = lamp;
  if (centreHeight !== null && (centreHeight.mm < CENTRE.from || centreHeight.mm > CENTRE.to)) {
    out.push(
      `${title}: is its centre really ${inMm(centreHeight.mm)} over the ground? Most sit at 500 to 1200 mm.${unitSlip(centreHeight.mm, CENTRE)}`,
    );
  }
  if (centreHeight !== null && lowerEdge !== null && lowerEdge.mm >= centreHeight.mm) {
    out.push(
      `${title}: the lower edge (${inMm(lowerEdge.mm)}) is not below the centre (${inMm(centreHeight.mm)}). Were they swapped?`,
    );
  }
  if (centreHeight !== null && lowerEdge !== null && litHeight !== null) {
    const expected = centreHeight.mm - litHeight.mm / 2;
    if (lowerEdge.mm < centreHeight.mm && Math.abs(lowerEdge.mm - expected) > 40) {
      out.push(
        `${title}: centre, lower edge and lit height don't fit together: half of ${inMm(litHeight.mm)} below the centre would be ${inMm(expected)}, the file says ${inMm(lowerEdge.mm)}.`,
      );
    }
  }
  for (const [what, size] of [
    ['lit height', litHeight],
    ['lit width', litWidth],
  ] as const) {
    if (size !== null && (size.mm < LIT.from || size.mm > LIT.to)) {
      out.push(
        `${title}: a ${what} of ${inMm(size.mm)} is unusual. Is the unit right?${unitSlip(size.mm, LIT)}`,
      );
    }
  }
  out.push(...litOddities(lamp));
  return out;
}

/** A lit height that its kind of lamp, or the ground, does not allow. */
function litOddities({ title, litHeight, centreHeight, filling }: JobLamp): readonly string[] {
  if (litHeight === null || litHeight.mm < LIT.from || litHeight.mm > LIT.to) return [];
  if (centreHeight !== null && litHeight.mm / 2 > centreHeight.mm) {
    return [
      `${title}: lit over ${inMm(litHeight.mm)} in height about a centre ${inMm(centreHeight.mm)} up, it would reach into the ground.`,
    ];
  }
  const range = BOWLS.includes(filling)
    ? BOWL
    : filling === 'lens'
      ? LENS
      : filling === 'strip'
        ? STRIP
        : null;
  if (range === null || (litHeight.mm >= range.from && litHeight.mm <= range.to)) return [];
  const kind = filling === 'lens' ? 'lens' : filling === 'strip' ? 'strip' : 'bowl';
  return [
    `${title}: a ${kind} lit over ${inMm(litHeight.mm)} in height is unusual: it decides how far near field can be told. Measure the lit part, not the rim.${unitSlip(litHeight.mm, range)}`,
  ];
}

/** Questions about lamps beside each other. */
export function pairOddities(job: UncheckedJob): readonly string[] {
  const out: string[] = [];
  job.lamps.forEach((left, i) => {
    if (left.side !== 'left') return;
    const j = job.lamps.findIndex((lamp) => lamp.side === 'right' && lamp.function === left.function);
    const right = job.lamps[j];
    if (right === undefined) return;
    if (left.centreHeight !== null && right.centreHeight !== null) {
      const gap = Math.abs(left.centreHeight.mm - right.centreHeight.mm);
      if (gap > 15) {
        out.push(
          `${left.title} and ${right.title} differ by ${inMm(gap)} in height. Is one tyre low, or one number mistyped?`,
        );
      }
    }
    const ends = [i, j].map((k) => rightOf(job, k));
    if (ends[0] !== null && ends[1] !== null) {
      const sum = ends[0]! + ends[1]!;
      if (Math.abs(sum) > 30) {
        out.push(
          `${left.title} and ${right.title} don't sit evenly about the middle: ${inMm(ends[0]!)} and ${inMm(ends[1]!)}. Left is negative.`,
        );
      }
    }
    out.push(...unlikeOddities(left, right));
  });
  job.lamps.forEach((lamp, i) => {
    const right = rightOf(job, i);
    if (right === null) return;
    if ((lamp.side === 'left' && right > 0) || (lamp.side === 'right' && right < 0)) {
      out.push(
        `${lamp.title}: a ${lamp.side} lamp at ${inMm(right)}. Sideways counts + to the vehicle's right.`,
      );
    }
    if (lamp.side === 'centre' && Math.abs(right) > 60) {
      out.push(
        `${lamp.title}: a centre lamp ${inMm(Math.abs(right))} off the middle. Is it a ${right < 0 ? 'left' : 'right'} one?`,
      );
    }
  });
  return out;
}

/** Two lamps of one kind are usually two of the same. */
function unlikeOddities(left: JobLamp, right: JobLamp): readonly string[] {
  const out: string[] = [];
  for (const [what, a, b, limit] of [
    ['lit height', left.litHeight, right.litHeight, 15],
    ['lit width', left.litWidth, right.litWidth, 15],
    ['lower edge', left.lowerEdge, right.lowerEdge, 25],
  ] as const) {
    if (a === null || b === null) continue;
    const gap = Math.abs(a.mm - b.mm);
    if (gap > limit) {
      out.push(
        `${left.title} and ${right.title} differ by ${inMm(gap)} in ${what}. Are they two of a kind, or is one number mistyped?`,
      );
    }
  }
  return out;
}

/** How far a lamp sits to the right, mm; null when not told. */
export function rightOf(job: UncheckedJob, lamp: number): number | null {
  const typed = job.file.vehicle.lamps[lamp]?.centre.right;
  return typed === undefined ? null : typedMm(typed);
}
