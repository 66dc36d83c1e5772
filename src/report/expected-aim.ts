/** What to aim at before anything was photographed: for the board plan and for a called-out figure. */
import { type BoardAim, boardAim } from '../core/adjusters/target-line.ts';
import { nearFieldShift } from '../core/beam/near-field.ts';
import { tangentOf } from '../core/geometry/lamp-tangents.ts';
import type { LampView } from '../core/lamp-view.ts';
import { type CommonAim, commonAim } from '../core/rules/common-aim.ts';
import { propagate, standardUncertainty } from '../core/uncertainty/estimate.ts';
import { lampGeometryOf } from '../job/geometry-of.ts';
import type { Job, JobLamp } from '../job/job.ts';
import { limitsOf } from '../job/judge-shot.ts';
import { schemesForLamp } from '../job/schemes-of.ts';

/** A lamp's view of the board as planned, what the schemes ask for, and where that stands on this board. */
export interface ExpectedAim {
  readonly view: LampView;
  readonly aim: CommonAim;
  /** null when the schemes share nothing or say nothing. */
  readonly onBoard: BoardAim | null;
}

/**
 * The aim for a lamp by the job's schemes, taking the beam to be what its function and traffic side make likely: a
 * dipped beam rises towards the kerb. A photo may contradict that later.
 * @throws InputError naming what the job's method needs and lacks.
 */
export function expectedAim(job: Job, lamp: JobLamp): ExpectedAim {
  const { inputs, view } = lampGeometryOf(job.file, lamp.id);
  const at = view(inputs.map((i) => i.value));
  const near = nearFieldShift(lamp.litHeight?.mm ?? null, at.distanceMm);
  const farShiftPct = { min: near.minPct, max: near.maxPct };
  const place = { X: at.axisFoot.X, Y: at.axisFoot.Y - at.distanceMm * 0.01 };
  const [drop] = propagate(inputs, (x) => [-100 * tangentOf(view(x), place).v]);
  const uDropPct = drop === undefined ? 0 : standardUncertainty(drop);
  const passing = lamp.function === 'passing';
  const aim = commonAim(schemesForLamp(job, lamp.id), {
    lamp,
    trafficSide: job.trafficSide,
    cutOffKind: passing ? 'rise' : lamp.function === 'front-fog' ? 'flat' : null,
    riseSide: passing ? job.trafficSide : lamp.function === 'front-fog' ? 'none' : null,
    boardDistanceMm: at.distanceMm,
    farShiftPct,
    uDropPct,
  });
  const onBoard =
    aim.kind === 'shared'
      ? boardAim({
          target: aim,
          place: aim.place,
          band: limitsOf(aim.each),
          farShiftPct: aim.farShiftPct,
          uDropPct,
        })
      : null;
  return { view: at, aim, onBoard };
}
