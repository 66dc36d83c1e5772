/** A result as plain data (result-schema.ts): what `--json` prints and result.json holds. */
import type { ScrewTurn, TurnsAdvice } from '../../core/adjusters/lamp-mechanics.ts';
import { budget, type Estimate, standardUncertainty } from '../../core/uncertainty/estimate.ts';
import type { Job } from '../../job/job.ts';
import type { JobResult, ReadShot, SchemeVerdict, ShotResult } from '../../job/result.ts';
import { NO_CERTIFICATE } from '../cautions.ts';
import { dropWithU, offsetWithU, tiltWithU } from '../format.ts';
import { mainPlace } from '../main-place.ts';
import { markPlaceOf } from '../picture/frame.ts';
import { lampOf, lampTitle } from '../summary.ts';
import { verdictDetail, verdictHeadline } from '../words.ts';
import { type QuantityData, RESULT_VERSION, type ResultData, type ShotData } from './result-schema.ts';

/** The result as data; nothing is rounded. */
export function resultData(job: Job, result: JobResult): ResultData {
  return {
    dipcard_result: RESULT_VERSION,
    title: result.title,
    rendered: result.rendered,
    no_certificate: NO_CERTIFICATE,
    shots: result.shots.map((s) => shotData(job, s)),
    pairs: result.pairs.map((p) => ({
      left: p.left,
      right: p.right,
      drop_difference_pct: quantity(p.dropDifferencePct, dropWithU),
      offset_difference_pct: quantity(p.offsetDifferencePct, offsetWithU),
      remarks: [...p.remarks],
    })),
    distances: (result.distances ?? []).map((d) => ({
      lamp: d.lamp,
      shots: [...d.shots],
      distances_mm: [...d.distancesMm],
      far_drop_pct: quantityOf(d.far.farDropPct, dropWithU),
      fillings: d.far.ways.map(({ filling, weight }) => ({ filling, weight })),
      agree: d.far.misfit <= d.far.mostByChance,
      verdicts: d.verdicts.map(verdictData),
      remarks: [...d.remarks],
    })),
    warnings: [...result.warnings],
    oddities: [...job.oddities],
  };
}

function quantityOf(e: Estimate, words: (value: number, U: number) => string): QuantityData {
  const u = standardUncertainty(e);
  return {
    value: e.value,
    u,
    U: 2 * u,
    text: words(e.value, 2 * u),
    budget: budget(e).map(({ cause }) => ({ cause, part: e.parts[cause] ?? 0 })),
  };
}

function quantity(e: Estimate | null, words: (value: number, U: number) => string): QuantityData | null {
  return e === null ? null : quantityOf(e, words);
}

function shotData(job: Job, shot: ShotResult): ShotData {
  const lamp = lampOf(job, shot);
  const head = {
    shot: shot.shot,
    lamp: shot.lamp,
    lamp_title: lampTitle(job, shot),
    function: lamp?.function ?? null,
    side: lamp?.side ?? null,
    photo:
      shot.facts === null
        ? null
        : {
            width_px: shot.facts.width,
            height_px: shot.facts.height,
            format: shot.facts.format,
            exposure_s: shot.facts.exposureS,
            f_number: shot.facts.fNumber,
            iso: shot.facts.iso,
            taken_at: shot.facts.takenAt,
          },
  };
  if (shot.state === 'unread') {
    const { stage, why, detail, advice } = shot;
    const signs = (shot.signs ?? []).map(({ code, text }) => ({ code, text }));
    return { ...head, state: 'unread', stage, why, detail, advice, signs };
  }
  const { beam } = shot;
  const cut = beam.found === 'cut-off' ? beam : null;
  return {
    ...head,
    state: 'read',
    distance_mm: shot.view.distanceMm,
    beam: {
      found: beam.found,
      kind: cut?.kind ?? null,
      rise_side: cut?.riseSide ?? null,
      drop_at_offset_pct: cut?.dropAtOffsetPct ?? null,
      glare_share: cut?.glareShare ?? null,
      sharpness_g: cut?.sharpnessG ?? null,
      two_ways:
        cut?.twoWays == null
          ? null
          : {
              scan_drop_pct: cut.twoWays.scanPct,
              joint_fit_drop_pct: cut.twoWays.jointPct,
              apart: cut.twoWays.apart,
            },
      fillings: cut?.far == null ? [] : cut.far.ways.map(({ filling, weight }) => ({ filling, weight })),
    },
    drop_pct: quantity(shot.dropPct, dropWithU),
    offset_pct: quantity(shot.offsetPct, offsetWithU),
    hot_spot:
      shot.hotSpot === null
        ? null
        : {
            drop_pct: quantityOf(shot.hotSpot.dropPct, dropWithU),
            offset_pct: quantityOf(shot.hotSpot.offsetPct, offsetWithU),
          },
    tilt_deg: quantity(shot.tiltDeg, tiltWithU),
    far_drop_pct:
      shot.dropPct === null
        ? null
        : {
            min: shot.dropPct.value + shot.farShiftPct.min,
            max: shot.dropPct.value + shot.farShiftPct.max,
            likely: quantity(shot.farAim?.dropPct ?? null, dropWithU),
          },
    place_mm: placeMm(shot),
    verdicts: shot.verdicts.map(verdictData),
    target:
      shot.target === null
        ? null
        : {
            above_centre_mm: shot.target.aboveCentreMm,
            half_width_mm: shot.target.halfWidthMm,
            half_width_means: shot.target.halfWidthMeans ?? 'doubt',
            right_of_centre_mm: shot.target.rightOfCentreMm,
            move_mm: shot.target.moveMm,
          },
    turns: shot.turns === null ? null : turnsData(shot.turns),
    marks: {
      points_found: shot.registration.points.length,
      points_used: shot.registration.points.filter((p) => p.used).length,
      rms_mm: shot.registration.rmsMm,
      check: shot.registration.check,
    },
    warnings: [...shot.warnings],
    signs: beam.signs.map(({ code, text }) => ({ code, text })),
  };
}

function placeMm(shot: ReadShot): { above_centre: number; right_of_centre: number; U: number } | null {
  const main = mainPlace(shot);
  if (main === null) return null;
  const place = markPlaceOf(shot.view, main.drop.value, main.offsetPct);
  return {
    above_centre: place.aboveMm,
    right_of_centre: place.rightMm,
    U: (2 * standardUncertainty(main.drop) * shot.view.distanceMm) / 100,
  };
}

function verdictData({
  scheme,
  verdict,
}: SchemeVerdict): Extract<ShotData, { state: 'read' }>['verdicts'][number] {
  return {
    scheme,
    row: verdict.row,
    kind: verdict.kind,
    how: verdict.kind === 'over' ? verdict.how : verdict.kind === 'too-close' ? verdict.nearest : null,
    probability_within:
      verdict.kind === 'no-verdict'
        ? null
        : verdict.kind === 'over'
          ? 1 - verdict.probability
          : verdict.probability,
    figure_checked: verdict.kind === 'no-verdict' ? null : verdict.figureChecked,
    text: verdictHeadline(verdict),
    detail: verdictDetail(verdict),
  };
}

function turnsData(advice: TurnsAdvice): NonNullable<Extract<ShotData, { state: 'read' }>['turns']> {
  const step = (
    s: ScrewTurn,
  ): NonNullable<Extract<ShotData, { state: 'read' }>['turns']>['steps'][number] => ({
    screw: s.screw,
    driven_from: s.drivenFrom,
    direction: s.direction,
    eighths: s.eighths,
    exact_turns: s.exactTurns,
    effect: { drop_pct: s.effect.dropPct, offset_pct: s.effect.offsetPct },
  });
  const base = { kind: advice.kind, steps: [], expected: null };
  switch (advice.kind) {
    case 'turn':
      return {
        ...base,
        steps: advice.steps.map(step),
        expected: {
          drop_pct: advice.expected.dropPct,
          offset_pct: advice.expected.offsetPct,
          U_drop_pct: 2 * advice.expected.uDropPct,
          U_offset_pct: 2 * advice.expected.uOffsetPct,
        },
        notes: [...advice.notes],
      };
    case 'try':
      return { ...base, steps: [step(advice.step)], notes: [...advice.notes] };
    case 'tilt':
      return { ...base, notes: [...advice.notes] };
    case 'leave':
      return { ...base, notes: [advice.why] };
    case 'refused':
      return { ...base, notes: [advice.detail] };
  }
}
