import type { z } from 'zod';
import { InputError } from '../core/errors.ts';
import type { Known } from '../core/geometry/bay/input-table.ts';
import type { DefaultU } from './defaults.ts';
import type { Measured } from './job.ts';
import { lengthMm } from './quantity.ts';
import type { measuredAngleDeg, measuredLength } from './schema.ts';

type MeasuredLength = z.output<typeof measuredLength>;
type MeasuredAngle = z.output<typeof measuredAngleDeg>;

/** Worst standard uncertainty that still means something was measured. */
const MAX_U_MM = 2000;
const MAX_U_DEG = 20;

/**
 * A typed length with its uncertainty, mm.
 * @param field path in the file, for errors.
 * @param otherwise what to take when the file gives no uncertainty.
 * @throws InputError naming the field.
 */
export function lengthKnown(input: MeasuredLength, field: string, otherwise: DefaultU | number): Known {
  const value = typeof input === 'object' ? input.value : input;
  const typedU = typeof input === 'object' ? input.u : undefined;
  const u =
    typedU === undefined
      ? typeof otherwise === 'number'
        ? otherwise
        : otherwise.u
      : lengthMm(typedU, `${field}.u`);
  if (!(u >= 0 && u <= MAX_U_MM)) {
    throw new InputError(`${field}.u`, `a standard uncertainty from 0 to ${MAX_U_MM} mm`, typedU);
  }
  return { value: lengthMm(value, field), u };
}

/** As lengthKnown, in the job's own words. */
export function measured(input: MeasuredLength, field: string, otherwise: DefaultU | number): Measured {
  const { value, u } = lengthKnown(input, field, otherwise);
  return { mm: value, uMm: u };
}

/** A measured length, or null where the file says nothing. */
export function measuredOrNull(
  input: MeasuredLength | undefined,
  field: string,
  otherwise: DefaultU | number,
): Measured | null {
  return input === undefined ? null : measured(input, field, otherwise);
}

/**
 * A typed angle with its uncertainty, deg; 0 with `unmeasured` when the file says nothing.
 * @throws InputError naming the field.
 */
export function angleKnown(
  input: MeasuredAngle | undefined,
  field: string,
  limitDeg: number,
  given: DefaultU,
  unmeasured: DefaultU,
): Known {
  if (input === undefined) return { value: 0, u: unmeasured.u };
  const value = typeof input === 'object' ? input.value : input;
  const u = typeof input === 'object' ? (input.u ?? given.u) : given.u;
  if (Math.abs(value) > limitDeg) throw new InputError(field, `an angle within ${limitDeg} deg`, value);
  if (u > MAX_U_DEG) throw new InputError(`${field}.u`, `a standard uncertainty up to ${MAX_U_DEG} deg`, u);
  return { value, u };
}

/** A record's own entry: a file may name things after what every object inherits. */
export function own<T>(record: Readonly<Record<string, T>> | undefined, key: string): T | undefined {
  return record !== undefined && Object.hasOwn(record, key) ? record[key] : undefined;
}
