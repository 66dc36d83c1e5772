import { describe, expect, test } from 'vitest';
import { plannedGeometry } from '../../src/core/bay-plan/methods.ts';
import { bayPlan } from '../../src/core/bay-plan/plan.ts';
import { boardPointAt, tangentOf } from '../../src/core/geometry/lamp-tangents.ts';
import type { LampGeometry } from '../../src/core/lamp-view.ts';
import { propagate, standardUncertainty } from '../../src/core/uncertainty/estimate.ts';
import { lampGeometryOf } from '../../src/job/geometry-of.ts';
import { jobFromFile } from '../../src/job/load-job.ts';
import type { JobFile } from '../../src/job/schema.ts';
import { bayRequest } from '../../src/report/bay-plan-facts.ts';
import { bayFileSchema } from '../../src/report/bay-plan-schema.ts';

/** Standard uncertainty of drop and offset that a geometry gives to a place 1.3 % down and 0.2 % left. */
function uOf(geometry: LampGeometry): readonly [number, number] {
  const view = geometry.view(geometry.inputs.map((i) => i.value));
  const at = boardPointAt(view, { u: -0.002, v: -0.013 });
  const [drop, offset] = propagate(geometry.inputs, (x) => {
    const t = tangentOf(geometry.view(x), at);
    return [-100 * t.v, 100 * t.u];
  });
  return [standardUncertainty(drop!), standardUncertainty(offset!)];
}

/** A job of the same vehicle at 7.6 m, whose numbers are typed without uncertainties. */
function job(method: JobFile['bay']['method']): JobFile {
  return {
    dipcard: 1,
    title: 'The same bay',
    vehicle: {
      kind: 'car',
      trafficSide: 'left',
      lamps: [
        { id: 'left-dip', function: 'passing', side: 'left', centre: { right: -550, forward: 560, up: 640 } },
      ],
    },
    bay: { distance: 7600, method },
    board: {},
  };
}

describe('the plan promises what a job typed in afterwards gives', () => {
  const request = bayRequest(
    bayFileSchema.parse({
      dipcardBay: 1,
      vehicle: { length: 3900, wheelbase: 2400, nose: 700, lampBehindNose: 140 },
      lamps: { height: 640, spacing: 1100 },
      elsewhereFlatness: 'flat',
    }),
  );
  const yard = bayPlan(request.facts, request.u).places.find((p) => p.kind === 'yard-near');
  if (yard?.state !== 'open') throw new Error('no yard');
  const planned = (level: Parameters<typeof plannedGeometry>[0]['level'], axis: 'sighting' | 'nose-marks') =>
    uOf(
      plannedGeometry({
        facts: request.facts,
        lamp: request.facts.lamps[0]!,
        place: yard.forecast.place,
        distanceMm: 7600,
        level,
        axis,
        u: request.u,
        setup: null,
      }),
    );
  const heights = { boardOrigin: -280, axis: 'sighting', axisX: 0 } as const;

  test.each<readonly [Parameters<typeof planned>[0], 'sighting' | 'nose-marks', JobFile['bay']['method']]>([
    [
      'nose-to-board',
      'nose-marks',
      { kind: 'nose-to-board', lampMarks: { 'left-dip': { X: -550, Y: 240 } } },
    ],
    [
      'water-level',
      'sighting',
      {
        kind: 'level-datum',
        tool: 'water-level',
        wheelbase: 2400,
        frontContact: -500,
        rearContact: -500,
        leftRightTilt: 0,
        ...heights,
      },
    ],
    [
      'laser',
      'sighting',
      {
        kind: 'level-datum',
        tool: 'laser',
        wheelbase: 2400,
        frontContact: -500,
        rearContact: -500,
        leftRightTilt: 0,
        ...heights,
      },
    ],
    [
      'floor-measured',
      'sighting',
      { kind: 'floor', originAboveFoot: 220, footAboveTyrePlane: 0, axis: 'sighting', axisX: 0 },
    ],
    ['floor-unmeasured', 'sighting', { kind: 'floor', originAboveFoot: 220, axis: 'sighting', axisX: 0 }],
  ])('%s: drop and offset within 0.005 of one of the job', (level, axis, method) => {
    const [drop, offset] = planned(level, axis);
    const [jobDrop, jobOffset] = uOf(lampGeometryOf(jobFromFile(job(method)).file, 'left-dip'));
    expect(drop / jobDrop).toBeCloseTo(1, 2);
    expect(offset / jobOffset).toBeCloseTo(1, 2);
  });
});
