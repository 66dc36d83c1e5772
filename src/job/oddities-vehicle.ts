import { rightOf } from './oddities-lamp.ts';
import { unitSlip } from './oddity-units.ts';
import { inMm, typedMm, type UncheckedJob } from './oddity-words.ts';

interface Range {
  readonly from: number;
  readonly to: number;
}

/** Sizes of what stands on wheels here, mm: wide enough that only a slip falls outside. Common practice, no source. */
const WHEELBASE: Readonly<Record<UncheckedJob['vehicleKind'], Range>> = {
  car: { from: 1500, to: 4200 },
  van: { from: 1700, to: 5000 },
  truck: { from: 2000, to: 7500 },
  motorcycle: { from: 1000, to: 2000 },
  'three-wheeler': { from: 1200, to: 3500 },
  other: { from: 900, to: 7500 },
};
const WIDTH: Readonly<Record<UncheckedJob['vehicleKind'], Range>> = {
  car: { from: 1100, to: 2300 },
  van: { from: 1200, to: 2600 },
  truck: { from: 1500, to: 2700 },
  motorcycle: { from: 300, to: 1300 },
  'three-wheeler': { from: 700, to: 2200 },
  other: { from: 300, to: 2700 },
};

/** Questions about the vehicle's own size, and lamps that would stand beside it. */
export function vehicleOddities(job: UncheckedJob): readonly string[] {
  const out: string[] = [];
  const { vehicle } = job.file;
  const kind = job.vehicleKind;
  for (const [what, typed, range] of [
    ['wheelbase', vehicle.wheelbase, WHEELBASE[kind]],
    ['width', vehicle.width, WIDTH[kind]],
  ] as const) {
    if (typed === undefined) continue;
    const mm = typedMm(typed);
    if (mm < range.from || mm > range.to) {
      const name = kind === 'other' ? 'vehicle' : kind;
      out.push(
        `A ${name} with a ${what} of ${inMm(mm)}? Usual is ${range.from} to ${range.to} mm.${unitSlip(mm, range)}`,
      );
    }
  }
  const half = vehicle.width === undefined ? null : typedMm(vehicle.width) / 2;
  job.lamps.forEach((lamp, i) => {
    const right = rightOf(job, i);
    if (right === null) return;
    if (half !== null && half >= WIDTH[kind].from / 2 && Math.abs(right) > half) {
      out.push(
        `${lamp.title}: ${inMm(Math.abs(right))} from the middle is outside a vehicle ${inMm(2 * half)} wide. Counted from the middle, or from the side?`,
      );
    } else if (Math.abs(right) > 1300) {
      out.push(
        `${lamp.title}: is it really ${inMm(Math.abs(right))} from the middle?${unitSlip(Math.abs(right), { from: 100, to: 1000 })}`,
      );
    } else if (lamp.side !== 'centre' && kind !== 'motorcycle' && Math.abs(right) < 100) {
      out.push(
        `${lamp.title}: only ${inMm(Math.abs(right))} from the middle?${unitSlip(Math.abs(right), { from: 250, to: 1000 })}`,
      );
    }
  });
  return out;
}
