import type { TargetLine } from '../../core/adjusters/lamp-mechanics.ts';
import { expandedUncertainty } from '../../core/uncertainty/estimate.ts';
import type { ReadShot } from '../../job/result.ts';
import { onTape, type Units } from '../format.ts';
import type { LimitOnBoard } from '../limits.ts';
import type { MainPlace } from '../main-place.ts';
import { arrowHead, cased, diamond, INK, type PagePoint, shape } from './draw.ts';
import { markPlaceOf, onPane, type Pane, photoOfTangent, tangentFromMark } from './frame.ts';
import { type Lettering, n } from './lettering.ts';
import { drawNotes, type Note } from './notes.ts';
import { drawBracket, drawTape, type Ends, inside, TAPE } from './tape.ts';

/** Page widths of the parts beside the tape. */
const BRACKET = 58;
const LABELS = 400;
/** Between the hot spot and its tape, so that the tape does not cover what it measures. */
const HOT_SPOT_GAP = 130;

/** How much of the pane the tape, brackets and labels take, from the reading column on. */
export function tapeBlockWidth(limits: number, kind: MainPlace['kind']): number {
  return gapOf(kind) + TAPE + limits * BRACKET + 50 + LABELS;
}

function gapOf(kind: MainPlace['kind']): number {
  return kind === 'edge' ? 0 : HOT_SPOT_GAP;
}

const TAPE_WORD: Readonly<Record<MainPlace['kind'], string>> = {
  edge: 'edge',
  'hot-spot': 'hot spot',
  'zone-top': 'zone top',
};

export interface TapeSpec {
  readonly shot: ReadShot;
  readonly main: MainPlace;
  readonly limits: readonly LimitOnBoard[];
  readonly units: Units;
  /** +1: tape and labels stand right of the reading column; -1: left. */
  readonly side: 1 | -1;
}

/** The enlarged piece: the edge itself, and beside it a drawn tape whose nought is the lamp's centre. */
export function drawDetail(lettering: Lettering, pane: Pane, spec: TapeSpec): string {
  const { shot, main, limits, units, side } = spec;
  const column = markPlaceOf(shot.view, main.drop.value, main.offsetPct).rightMm;
  /** Page place of a board height on the tape's measuring edge. */
  const at = (aboveMm: number): PagePoint => {
    const p = onPane(pane, photoOfTangent(shot, tangentFromMark(shot.view, column, aboveMm)));
    return { px: p.px + side * gapOf(main.kind), py: p.py };
  };
  const ends = visibleHeights(pane, at);
  let out = '';

  // Level with the lamp's centre.
  const far = pane.x + (side > 0 ? 0 : pane.width);
  out += cased([{ px: far, py: lineAt(pane, shot, far, 0) }, at(0)], INK.paper, 3, {
    dash: '3 15',
    opacity: 0.9,
  });

  const target = shot.target;
  if (target !== null) {
    out += cased(
      [{ px: far, py: lineAt(pane, shot, far, target.aboveCentreMm) }, at(target.aboveCentreMm)],
      INK.target,
      7,
      { dash: '30 20' },
    );
  }
  if (shot.beam.found === 'cut-off') out += drawEdge(pane, shot);
  const mainMm = markPlaceOf(shot.view, main.drop.value, main.offsetPct).aboveMm;
  if (main.kind === 'hot-spot') {
    const tape = at(mainMm);
    const p = { px: tape.px - side * HOT_SPOT_GAP, py: tape.py };
    out += cased([{ px: p.px + side * 40, py: p.py }, tape], INK.hotSpot, 5, { dash: '4 14' });
    out += `<circle cx="${n(p.px)}" cy="${n(p.py)}" r="34" fill="none" stroke="${INK.night}" stroke-width="15"/>`;
    out += `<circle cx="${n(p.px)}" cy="${n(p.py)}" r="34" fill="none" stroke="${INK.hotSpot}" stroke-width="8" stroke-dasharray="16 9"/>`;
  }

  out += drawTape(lettering, at, ends, units, side);
  out += drawSpread(at, shot, main, mainMm, side);
  if (target !== null && target.halfWidthMeans === 'tolerance') out += drawTolerance(at, target, side);
  if (target !== null && Math.abs(target.moveMm) >= 3) {
    const from = at(mainMm);
    const to = at(target.aboveCentreMm);
    const x = from.px - side * 74;
    out += cased(
      [
        { px: x, py: from.py },
        { px: x, py: to.py - Math.sign(to.py - from.py) * 14 },
      ],
      INK.target,
      8,
    );
    out += shape(arrowHead({ px: x, py: to.py }, to.py > from.py ? 90 : -90, 34), INK.target);
  }

  const notes: Note[] = [
    { aboveMm: 0, text: "0: lamp's centre", fill: INK.paper, bold: false },
    {
      aboveMm: mainMm,
      text: `${TAPE_WORD[main.kind]} ${onTape(mainMm, units)}`,
      fill: main.kind === 'edge' ? INK.edge : INK.hotSpot,
      bold: true,
    },
  ];
  if (target !== null)
    notes.push({
      aboveMm: target.aboveCentreMm,
      text: `${mayStay(target) ? 'best' : 'bring to'} ${onTape(target.aboveCentreMm, units)}`,
      fill: INK.target,
      bold: true,
    });
  limits.forEach((limit, i) => {
    const x = TAPE + 16 + i * BRACKET + BRACKET / 2;
    out += drawBracket(lettering, at, ends, limit, side, x);
    const note = (aboveMm: number, text: string): void =>
      void notes.push({ aboveMm, text: `${limit.letter} ${text}`, fill: INK.tape, bold: false });
    const { highestMm, lowestMm } = limit;
    if (highestMm !== null && lowestMm !== null && highestMm < lowestMm) {
      note((highestMm + lowestMm) / 2, 'no sure place');
      return;
    }
    if (highestMm !== null && inside(ends, highestMm)) note(highestMm, `top ${onTape(highestMm, units)}`);
    if (lowestMm !== null && inside(ends, lowestMm)) note(lowestMm, `bottom ${onTape(lowestMm, units)}`);
  });
  const x0 = TAPE + limits.length * BRACKET + 16;
  return out + drawNotes(lettering, pane, at, notes, side, x0);
}

/** Inside a proven band the edge need not move. */
function mayStay(target: TargetLine): boolean {
  return target.halfWidthMeans === 'tolerance' && Math.abs(target.moveMm) <= target.halfWidthMm;
}

/** How far to either side of the target line the edge may end up. */
function drawTolerance(at: (mm: number) => PagePoint, target: TargetLine, side: 1 | -1): string {
  const end = (mm: number): PagePoint => {
    const p = at(mm);
    return { px: p.px - side * 112, py: p.py };
  };
  const a = end(target.aboveCentreMm + target.halfWidthMm);
  const b = end(target.aboveCentreMm - target.halfWidthMm);
  const tick = (p: PagePoint): string =>
    cased(
      [
        { px: p.px - 14, py: p.py },
        { px: p.px + 14, py: p.py },
      ],
      INK.target,
      5,
    );
  return cased([a, b], INK.target, 5, { dash: '2 13' }) + tick(a) + tick(b);
}

/** Board heights (mm above the centre mark) at the pane's top and bottom edge along the reading column. */
function visibleHeights(pane: Pane, at: (mm: number) => PagePoint): Ends {
  const solve = (py: number): number => {
    let a = -2000;
    let b = 2000;
    for (let i = 0; i < 60; i++) {
      const mid = (a + b) / 2;
      if (at(mid).py > py) a = mid;
      else b = mid;
    }
    return a;
  };
  return { top: solve(pane.y), bottom: solve(pane.y + pane.height) };
}

/** Page height of the board line `aboveMm` at the page column `px`: straight between two far places on it. */
function lineAt(pane: Pane, shot: ReadShot, px: number, aboveMm: number): number {
  let a = -2500;
  let b = 2500;
  const place = (mm: number): PagePoint =>
    onPane(pane, photoOfTangent(shot, tangentFromMark(shot.view, mm, aboveMm)));
  for (let i = 0; i < 60; i++) {
    const mid = (a + b) / 2;
    if (place(mid).px < px) a = mid;
    else b = mid;
  }
  return place(a).py;
}

function drawEdge(pane: Pane, shot: ReadShot): string {
  if (shot.beam.found !== 'cut-off') return '';
  const at = (u: number, v: number): PagePoint => onPane(pane, photoOfTangent(shot, { u, v }));
  let out = shot.beam.edge
    .map((e) => {
      const p = at(e.u, e.v);
      return e.used
        ? `<circle cx="${n(p.px)}" cy="${n(p.py)}" r="7" fill="${INK.edge}" fill-opacity="0.5"/>`
        : `<circle cx="${n(p.px)}" cy="${n(p.py)}" r="8" fill="none" stroke="${INK.soft}" stroke-width="3"/>`;
    })
    .join('');
  out += cased(
    shot.beam.line.map((t) => at(t.u, t.v)),
    INK.edge,
    9,
  );
  if (shot.beam.elbow.found)
    out += shape(
      diamond(at(shot.beam.elbow.offsetPct.value / 100, -shot.beam.elbow.dropPct.value / 100), 22),
      INK.paper,
    );
  return out;
}

/** The reading's U as a whisker on the tape's edge. */
function drawSpread(
  at: (mm: number) => PagePoint,
  shot: ReadShot,
  main: MainPlace,
  mainMm: number,
  side: 1 | -1,
): string {
  const U = (expandedUncertainty(main.drop) * shot.view.distanceMm) / 100;
  const a = at(mainMm + U);
  const b = at(mainMm - U);
  const ink = main.kind === 'edge' ? INK.edge : INK.hotSpot;
  const x = -side * 30;
  const whisker =
    cased(
      [
        { px: a.px + x, py: a.py },
        { px: b.px + x, py: b.py },
      ],
      ink,
      7,
    ) +
    cased(
      [
        { px: a.px + x - 16, py: a.py },
        { px: a.px + x + 16, py: a.py },
      ],
      ink,
      7,
    ) +
    cased(
      [
        { px: b.px + x - 16, py: b.py },
        { px: b.px + x + 16, py: b.py },
      ],
      ink,
      7,
    );
  return whisker + shape(arrowHead(at(mainMm), side > 0 ? 0 : 180, 36), ink);
}
