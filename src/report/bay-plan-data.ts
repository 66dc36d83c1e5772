/** The bay plan as plain data for other programs: names with units, per cent, mm; + as everywhere (drop + down). */
import { z } from 'zod';
import type { BayPlan, PlannedPlace } from '../core/bay-plan/plan.ts';
import { bayCautions, budgetLines, secondWords, whyWords } from './bay-plan-advice.ts';
import type { BayRequest } from './bay-plan-facts.ts';
import { preparation } from './bay-plan-steps.ts';
import { axisWords, hindranceWords, lackLines, levelWords, placeName } from './bay-plan-words.ts';

const way = z.strictObject({
  id: z.string(),
  title: z.string(),
  expanded_uncertainty_pct: z.number().describe('U (k = 2): of the drop for levels, of the elbow for axes'),
  taken: z.boolean(),
  not_because: z.string().nullable(),
  leaves_out: z.string(),
});

export const bayPlanDataSchema = z.strictObject({
  title: z.string(),
  recommended: z.string().nullable(),
  why: z.string(),
  places: z.array(
    z.strictObject({
      id: z.string(),
      title: z.string(),
      usable: z.boolean(),
      lamp_to_board_mm: z.number().nullable(),
      second_board_mm: z.number().nullable(),
      pitch_pct: z.number().nullable().describe('slope under the wheels, + nose up'),
      foot_above_tyres_mm: z.number().nullable(),
      board: z
        .strictObject({
          across_all_mm: z.number(),
          across_one_mm: z.number(),
          bottom_mm: z.number(),
          top_mm: z.number(),
        })
        .nullable()
        .describe('heights over the foot of the board'),
      drop_u_pct: z.number().nullable().describe('U (k = 2) on the board, worst lamp'),
      offset_u_pct: z.number().nullable(),
      far_drop_half_pct: z.number().nullable().describe('half of the interval that the far drop lies in'),
      far_offset_half_pct: z.number().nullable(),
      proof: z.array(
        z.strictObject({
          scheme: z.string(),
          lamp: z.string(),
          outcome: z.enum([
            'within',
            'within-unchecked',
            'too-close',
            'too-wide',
            'not-from-here',
            'no-figure',
          ]),
          room_pct: z.number().nullable(),
          why: z.string().nullable(),
        }),
      ),
      budget: z.array(z.strictObject({ cause: z.string(), u_pct: z.number(), share: z.number() })),
      levels: z.array(way),
      axes: z.array(way),
      second_distance: z.string().nullable(),
      lacks: z.array(z.string()),
    }),
  ),
  preparation: z.array(z.string()),
  assumed: z.array(z.string()),
  cautions: z.array(z.string()),
});

export type BayPlanData = z.output<typeof bayPlanDataSchema>;

/** The plan as data. */
export function bayData(plan: BayPlan, request: BayRequest): BayPlanData {
  const best = plan.recommended;
  return {
    title: request.title,
    recommended: best?.kind ?? null,
    why: whyWords(plan, request),
    places: plan.places.map((p) => placeData(p, request)),
    preparation: best === null ? [] : [...preparation(plan, best, request)],
    assumed: [...request.assumed],
    cautions: [...bayCautions(plan, request)],
  };
}

function placeData(p: PlannedPlace, request: BayRequest): BayPlanData['places'][number] {
  const named = {
    id: p.kind,
    title: placeName(p, request),
    lacks: [...lackLines(p, request)],
  };
  if (p.state === 'closed') {
    return {
      ...named,
      usable: false,
      lamp_to_board_mm: null,
      second_board_mm: null,
      pitch_pct: null,
      foot_above_tyres_mm: null,
      board: null,
      drop_u_pct: null,
      offset_u_pct: null,
      far_drop_half_pct: null,
      far_offset_half_pct: null,
      proof: [],
      budget: [],
      levels: [],
      axes: [],
      second_distance: null,
    };
  }
  const { forecast: f } = p;
  const worst = f.lamps.reduce((a, b) => (b.dropU > a.dropU ? b : a));
  return {
    ...named,
    usable: true,
    lamp_to_board_mm: f.distanceMm,
    second_board_mm: p.kind === 'board-moved' ? (f.pairs.find((x) => x !== null)?.nearMm ?? null) : null,
    pitch_pct: f.stand.pitchPct,
    foot_above_tyres_mm: f.stand.footAboveTyresMm,
    board: {
      across_all_mm: f.board.acrossAllMm,
      across_one_mm: f.board.acrossOneMm,
      bottom_mm: f.board.bottomMm,
      top_mm: f.board.topMm,
    },
    drop_u_pct: p.dropU,
    offset_u_pct: p.offsetU,
    far_drop_half_pct: p.farDropU,
    far_offset_half_pct: p.farOffsetU,
    proof: f.lamps.flatMap((lamp) =>
      lamp.proof.each.map((q) => ({
        scheme: q.scheme,
        lamp: q.lamp,
        outcome: q.outcome,
        room_pct: lamp.proof.roomPct,
        why: q.why,
      })),
    ),
    budget: budgetLines(worst.dropPct).map((l) => ({ cause: l.what, u_pct: l.uPct, share: l.share })),
    levels: f.levels.map((l) => ({
      id: l.method,
      title: levelWords(l.method).name,
      expanded_uncertainty_pct: l.dropU,
      taken: l.method === f.level,
      not_because: hindranceWords(l.hindrance),
      leaves_out: levelWords(l.method).leaves,
    })),
    axes: f.axes.map((a) => ({
      id: a.method,
      title: axisWords(a.method).name,
      expanded_uncertainty_pct: a.offsetU,
      taken: a.method === f.axis,
      not_because: hindranceWords(a.hindrance),
      leaves_out: axisWords(a.method).leaves,
    })),
    second_distance: secondWords(p, request),
  };
}
