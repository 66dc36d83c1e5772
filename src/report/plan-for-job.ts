/** The board plan of a job: every lamp's centre mark and target line, and the sheets it names. */
import type { Job } from '../job/job.ts';
import { measured } from '../job/measured.ts';
import type { Paper } from '../vision/mark-design.ts';
import { expectedAim } from './expected-aim.ts';
import { type BoardPlan, boardPlan, type PlanLamp } from './sheets/board-plan.ts';

/**
 * Lays out the board for a job.
 * @throws InputError naming what the job lacks for it.
 */
export function planForJob(job: Job, paper: Paper): BoardPlan {
  const lamps = job.lamps.map((lamp): PlanLamp => {
    const { view, aim, onBoard } = expectedAim(job, lamp);
    return {
      id: lamp.id,
      title: lamp.title,
      side: lamp.side,
      at: view.axisFoot,
      distanceMm: view.distanceMm,
      target:
        onBoard === null
          ? null
          : {
              feature: aim.kind === 'shared' && aim.feature === 'hot-spot' ? 'hot-spot' : 'edge',
              dropPct: onBoard.dropPct,
              offsetPct: onBoard.offsetPct,
              tolerancePct: onBoard.tolerancePct,
            },
    };
  });
  const { method } = job.file.bay;
  const sheets = job.board.sheets.map((s) => s.number);
  return boardPlan({
    title: job.title,
    rendered: job.rendered,
    paper,
    units: job.units,
    words: job.words,
    trafficSide: job.trafficSide,
    lamps,
    ...(sheets.length > 0 ? { sheets } : {}),
    board: {
      floorY: floorY(job),
      zero: method.kind === 'nose-to-board' ? 'own-line' : 'centre-line',
      area: job.board.extent,
    },
  });
}

/** Board Y of the floor at the board's foot, where the method counts from it. */
function floorY(job: Job): number | null {
  const { method } = job.file.bay;
  if (method.kind !== 'floor') return null;
  const above = lengthOf(method.originAboveFoot);
  return above === null ? null : -above;
}

function lengthOf(typed: Parameters<typeof measured>[0]): number | null {
  try {
    return measured(typed, 'bay.method.originAboveFoot', 0).mm;
  } catch {
    return null;
  }
}
