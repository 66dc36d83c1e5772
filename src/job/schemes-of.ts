import type { Scheme } from '../core/rules/scheme.ts';
import { listSchemes, schemeById } from '../core/rules/schemes/list.ts';
import { handbookScheme, ownTableScheme } from '../core/rules/schemes/typed-in.ts';
import type { Job, JobLamp } from './job.ts';
import { JobFileError } from './problems.ts';
import { dropPct, lengthMm, offsetPct } from './quantity.ts';
import type { ParsedJobFile } from './schema.ts';

/**
 * The schemes a job is judged by: the chosen ones, then each lamp's handbook figure, then the person's own table.
 * @throws JobFileError for an id nobody knows, listing those known.
 */
export function schemesOf(file: ParsedJobFile, lamps: readonly JobLamp[]): readonly Scheme[] {
  const chosen = file.schemes.map((id, i) => {
    const scheme = schemeById(id);
    if (scheme === null) {
      const known = listSchemes()
        .map((s) => s.id)
        .join(', ');
      throw new JobFileError(`schemes.${i}`, `one of ${known}`, id);
    }
    return scheme;
  });
  const handbooks = lamps.flatMap((lamp) => {
    const { handbook } = lamp;
    return handbook === null ? [] : [handbookScheme({ ...lamp, handbook })];
  });
  return [...new Map(chosen.map((s) => [s.id, s])).values(), ...handbooks, ...ownTable(file)];
}

function ownTable(file: ParsedJobFile): readonly Scheme[] {
  if (file.ownRows.length === 0) return [];
  return [
    ownTableScheme(
      file.ownRows.map((row, i) => {
        const at = `ownRows.${i}`;
        const drop = (value: typeof row.minDrop, name: string) =>
          value === undefined ? null : dropPct(value, `${at}.${name}`);
        const offset = (value: typeof row.minOffset, name: string) =>
          value === undefined ? null : offsetPct(value, `${at}.${name}`);
        return {
          id: row.id,
          lamp: row.lamp,
          feature: row.feature,
          minDropPct: drop(row.minDrop, 'minDrop'),
          maxDropPct: drop(row.maxDrop, 'maxDrop'),
          aimDropPct: drop(row.aimDrop, 'aimDrop'),
          minOffsetPct: offset(row.minOffset, 'minOffset'),
          maxOffsetPct: offset(row.maxOffset, 'maxOffset'),
          onBoardAtMm: row.onBoardAt === undefined ? null : lengthMm(row.onBoardAt, `${at}.onBoardAt`),
          source: row.source,
        };
      }),
    ),
  ];
}

/** The schemes that speak of one lamp: another lamp's handbook figure is none of its business. */
export function schemesForLamp(job: Pick<Job, 'schemes'>, lampId: string): readonly Scheme[] {
  return job.schemes.filter((s) => !s.id.startsWith('handbook-') || s.id === `handbook-${lampId}`);
}
