import { MM_PER_INCH } from '../../core/units.ts';
import { acrossRoom, besideCentreMark, fromCentreMark, onTape, type Units } from '../format.ts';
import { sideWord } from '../words.ts';
import type { BoardPlan, PlannedLamp } from './board-plan.ts';

/** One thing to measure: what, the planned figure, and whether there is a place to write the real one. */
export interface PlanRow {
  readonly what: string;
  readonly planned: string;
  readonly toMeasure: boolean;
}

export interface PlanGroup {
  readonly head: string;
  readonly rows: readonly PlanRow[];
}

/** The plan's dimensions as text, in the order in which a person needs them. */
export function boardPlanList(plan: BoardPlan): readonly PlanGroup[] {
  const { units } = plan;
  const floor = plan.floorY;
  return [
    {
      head: 'The place and the board',
      rows: [
        ...distanceRows(plan),
        {
          what: 'Board: at least, across and up',
          planned: `${atLeast(plan.needed.right - plan.needed.left, units)} x ${atLeast(plan.needed.top - plan.needed.bottom, units)}`,
          toMeasure: false,
        },
        {
          what: 'Level line',
          planned: height(plan.levelLineY, floor, units),
          toMeasure: true,
        },
      ],
    },
    ...plan.lamps.map((l) => lampGroup(l, plan)),
    {
      head: 'Sheets, on the level line',
      rows: [
        ...plan.sheets.map((s) => ({
          what: `Sheet ${s.number}, its upright line`,
          planned: beside(s.X, plan),
          toMeasure: true,
        })),
        ...(plan.checkDistance
          ? [
              {
                what: `Check: cross of sheet ${plan.checkDistance.from} to cross of sheet ${plan.checkDistance.to}`,
                planned: onTape(plan.checkDistance.mm, units),
                toMeasure: true,
              },
            ]
          : []),
      ],
    },
  ];
}

/** A size of card, up to the next 10 mm or inch. */
function atLeast(mm: number, units: Units): string {
  const step = units === 'in' ? MM_PER_INCH : 10;
  return onTape(Math.ceil(mm / step - 1e-9) * step, units);
}

/** "610 mm left of the centre line", "on the zero line". + is right. */
export function beside(X: number, plan: Pick<BoardPlan, 'units' | 'zero' | 'words'>): string {
  const line = zeroName(plan);
  const text = onTape(X, plan.units);
  return /^0(\.0)? /.test(text) ? `on the ${line}` : `${text} ${X < 0 ? 'left' : 'right'} of the ${line}`;
}

/** What X = 0 is called. */
export function zeroName(plan: Pick<BoardPlan, 'zero' | 'words'>): string {
  if (plan.zero === 'own-line') return 'zero line';
  return plan.words === 'us' ? 'center line' : 'centre line';
}

/** "345 mm above the floor"; without a floor, from the board's zero height. */
function height(Y: number, floorY: number | null, units: Units): string {
  const over = Y - (floorY ?? 0);
  const from = floorY === null ? 'zero height' : 'the floor';
  return `${onTape(over, units)} ${over < 0 ? 'below' : 'above'} ${from}`;
}

function distanceRows(plan: BoardPlan): PlanRow[] {
  const { units, lamps } = plan;
  const one = lamps.every((l) => Math.abs(l.distanceMm - lamps[0]!.distanceMm) < 0.5);
  const row = (what: string, mm: number) => ({ what, planned: acrossRoom(mm, units), toMeasure: true });
  if (one) return [row(lamps.length === 1 ? 'Lamp to board' : 'Each lamp to board', lamps[0]!.distanceMm)];
  return lamps.map((l) => row(`Lamp ${l.letter} to board`, l.distanceMm));
}

function lampGroup(lamp: PlannedLamp, plan: BoardPlan): PlanGroup {
  const { units } = plan;
  const t = lamp.target;
  const rows: PlanRow[] = [
    { what: 'Centre mark', planned: beside(lamp.mark.X, plan), toMeasure: true },
    { what: 'Centre mark', planned: height(lamp.mark.Y, plan.floorY, units), toMeasure: true },
  ];
  if (t) {
    const band = t.halfWidthMm === null ? '' : ` (within ${onTape(t.halfWidthMm, units)})`;
    rows.push({
      what: t.feature === 'edge' ? 'Edge: target line' : 'Hot spot: target',
      planned: `${fromCentreMark(t.aboveMarkMm, units)}${band}`,
      toMeasure: false,
    });
    if (t.rightOfMarkMm !== null) {
      rows.push({
        what: t.feature === 'edge' ? 'Elbow' : 'Hot spot: sideways',
        planned: besideCentreMark(t.rightOfMarkMm, units),
        toMeasure: false,
      });
    }
  }
  const said = lamp.title.toLowerCase().includes(lamp.side);
  return { head: `${lamp.letter}  ${lamp.title}${said ? '' : `, ${sideWord(lamp.side, plan)}`}`, rows };
}
