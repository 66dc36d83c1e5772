/** Where a scheme's figures lie on this board for this lamp: what the tape and the text show. */
import type { Feature, SchemeRow } from '../core/rules/scheme.ts';
import { VOR_OFFSET_PCT } from '../core/rules/top-edge.ts';
import type { Job } from '../job/job.ts';
import type { ReadShot } from '../job/result.ts';
import { type MainPlace, mainPlace } from './main-place.ts';
import { markPlaceOf } from './picture/frame.ts';
import { verdictGroups } from './verdict-groups.ts';

/** A scheme's limits as heights on the board, counted from the centre mark, mm, + above. */
export interface LimitOnBoard {
  /** A, B, C...: stands at the tape and before the scheme's name. */
  readonly letter: string;
  readonly title: string;
  /** The highest the edge may lie; null when there is no such limit. */
  readonly highestMm: number | null;
  /** The lowest the edge may lie. */
  readonly lowestMm: number | null;
}

/** A board figure is used on this board only when the distances agree this well. */
const SAME_DISTANCE = 0.02;

/**
 * The drops between which the edge must lie on this board for a row, per cent. A far figure is moved by what the
 * near field may hide: the highest place uses the smallest shift, the lowest place the largest, so that both ends
 * hold; min may then exceed max, and no place on this board proves anything.
 * @returns null when the row speaks of a board at another distance.
 */
export function boardBand(
  row: SchemeRow,
  shot: ReadShot,
): { readonly minPct: number | null; readonly maxPct: number | null } | null {
  const { minPct, maxPct } = row.vertical;
  if (row.place.kind === 'board') {
    const off = Math.abs(row.place.distanceMm - shot.view.distanceMm) / row.place.distanceMm;
    return off <= SAME_DISTANCE ? { minPct, maxPct } : null;
  }
  // A main beam fills its lamp evenly, so its hot spot stands on the board where it stands far away.
  const evenly = row.feature === 'hot-spot-centre' && row.lamp === 'driving';
  const shift = evenly ? { min: 0, max: 0 } : shot.farShiftPct;
  return {
    minPct: minPct === null ? null : minPct - shift.min,
    maxPct: maxPct === null ? null : maxPct - shift.max,
  };
}

/** Which features a limit may speak of to be drawn where the tape hangs. */
function speaksOf(main: MainPlace, feature: Feature): boolean {
  if (main.kind === 'hot-spot') return feature === 'hot-spot-centre';
  if (main.kind === 'zone-top') return feature === 'bright-zone-top-left';
  if (main.offsetPct === VOR_OFFSET_PCT) return feature === 'flat-part-2.0R';
  return feature === 'flat-part' || feature === 'elbow' || feature === 'whole-top-edge';
}

/** The limits of every scheme that could be judged on this shot; where a scheme asks several things, all must hold. */
export function limitsOnBoard(job: Job, shot: ReadShot): readonly LimitOnBoard[] {
  const main = mainPlace(shot);
  if (main === null) return [];
  return verdictGroups(job, shot).flatMap((group) => {
    const bands = group.parts.flatMap(({ verdict, row }) => {
      if (row === null || verdict.kind === 'no-verdict' || !speaksOf(main, row.feature)) return [];
      const band = boardBand(row, shot);
      return band === null ? [] : [band];
    });
    if (bands.length === 0) return [];
    const place = (pct: number): number => markPlaceOf(shot.view, pct, 0).aboveMm;
    const mins = bands.map((b) => b.minPct).filter((p) => p !== null);
    const maxs = bands.map((b) => b.maxPct).filter((p) => p !== null);
    return [
      {
        letter: group.letter,
        title: group.title,
        highestMm: mins.length === 0 ? null : place(Math.max(...mins)),
        lowestMm: maxs.length === 0 ? null : place(Math.min(...maxs)),
      },
    ];
  });
}
