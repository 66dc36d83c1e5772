import type { MatchedPoint } from '../../core/board-view.ts';
import type { PhotoPoint } from '../../core/frames.ts';
import type { ReadShot } from '../../job/result.ts';
import { riseWord, type Voice } from '../words.ts';
import { cased, diamond, INK, letters, type PagePoint, shape, tag } from './draw.ts';
import { inPane, onPane, type Pane, photoOfTangent } from './frame.ts';
import { type Lettering, n } from './lettering.ts';

const LABEL = 44;
const SMALL = 36;

/** The board as a whole: marks with names, the level through the lamp's centre, edge, elbow and hot spot. */
export function drawOverview(lettering: Lettering, pane: Pane, shot: ReadShot, voice: Voice): string {
  const at = (p: PhotoPoint): { px: number; py: number } => onPane(pane, p);
  const bounds = { left: pane.x, right: pane.x + pane.width };
  const label = { size: LABEL, page: bounds };
  let out = drawMarks(lettering, pane, shot.registration.points);

  const foot = at(photoOfTangent(shot, { u: 0, v: 0 }));
  const level = [-0.3, -0.15, 0, 0.15, 0.3].map((u) => at(photoOfTangent(shot, { u, v: 0 })));
  out += cased(level, INK.paper, 3, { dash: '3 15', opacity: 0.85 });
  // A plumb-bob shape hanging from above, not a cross: the place of the lamp's centre mark.
  out += shape(`M${n(foot.px)} ${n(foot.py)}l-17 -34h34Z`, INK.paper);
  // Away from the rising part, whose label stands on the other side.
  const away = shot.beam.found === 'cut-off' && shot.beam.riseSide === 'right' ? -1 : 1;
  out += tag(
    lettering,
    'centre mark',
    // An edge above the lamp's centre would run through the label there.
    { px: foot.px + away * 36, py: foot.py + (edgeIsAbove(shot) ? 56 : -26) },
    { ...label, size: SMALL, anchor: away > 0 ? 'start' : 'end', weight: 'regular' },
  );

  if (shot.beam.found === 'cut-off') {
    const beam = shot.beam;
    out += beam.edge
      .filter((e) => inPane(pane, photoOfTangent(shot, e)))
      .map((e) => {
        const p = at(photoOfTangent(shot, e));
        return e.used
          ? ''
          : `<circle cx="${n(p.px)}" cy="${n(p.py)}" r="3" fill="${INK.soft}" fill-opacity="0.6"/>`;
      })
      .join('');
    out += cased(
      beam.line.map((t) => at(photoOfTangent(shot, t))),
      INK.edge,
      7,
    );
    if (beam.elbow.found) {
      const t = { u: beam.elbow.offsetPct.value / 100, v: -beam.elbow.dropPct.value / 100 };
      const p = at(photoOfTangent(shot, t));
      out += shape(diamond(p, 17), INK.paper);
      const side = beam.riseSide === 'left' ? 1 : -1;
      out += tag(
        lettering,
        'elbow',
        { px: p.px + side * 30, py: p.py + (edgeIsAbove(shot) ? -40 : 66) },
        { ...label, fill: INK.paper, anchor: side > 0 ? 'start' : 'end' },
      );
    }
    if (beam.kind !== 'flat') {
      const end = beam.line.reduce((a, b) => (b.v > a.v ? b : a));
      const mid = { u: (end.u + elbowU(shot)) / 2, v: (end.v + lowestV(shot)) / 2 };
      const p = at(photoOfTangent(shot, mid));
      out += tag(
        lettering,
        riseWord(voice.words),
        { px: p.px, py: p.py - 44 },
        { ...label, fill: INK.edge, anchor: 'middle' },
      );
    }
  }
  if (shot.hotSpot !== null) {
    const t = { u: shot.hotSpot.offsetPct.value / 100, v: -shot.hotSpot.dropPct.value / 100 };
    const p = at(photoOfTangent(shot, t));
    out += `<circle cx="${n(p.px)}" cy="${n(p.py)}" r="26" fill="none" stroke="${INK.night}" stroke-width="13"/>`;
    out += `<circle cx="${n(p.px)}" cy="${n(p.py)}" r="26" fill="none" stroke="${INK.hotSpot}" stroke-width="7" stroke-dasharray="14 8"/>`;
    out += tag(
      lettering,
      'hot spot',
      { px: p.px, py: p.py + 92 },
      { ...label, fill: INK.hotSpot, anchor: 'middle' },
    );
  }
  return out;
}

function edgeIsAbove(shot: ReadShot): boolean {
  return shot.dropPct !== null && shot.dropPct.value < 0.1;
}

function elbowU(shot: ReadShot): number {
  return shot.beam.found === 'cut-off' && shot.beam.elbow.found ? shot.beam.elbow.offsetPct.value / 100 : 0;
}

function lowestV(shot: ReadShot): number {
  return shot.beam.found === 'cut-off' ? Math.min(...shot.beam.line.map((t) => t.v)) : 0;
}

/** Outlines of the marks that were found; a name for each sheet or cross; points left out of the fit are hollow. */
export function drawMarks(lettering: Lettering, pane: Pane, points: readonly MatchedPoint[]): string {
  const seen = points.filter((p) => inPane(pane, p.photo));
  const dot = seen.length > 20 ? 4 : 6;
  let out = '';
  for (const group of grouped(seen, (p) => p.name.replace(/ (corner|dot|point|ring) .*$/, '')).values()) {
    const places = group.map((g) => onPane(pane, g.photo));
    const centre = middle(places);
    const around = [...places].sort(
      (a, b) =>
        Math.atan2(a.py - centre.py, a.px - centre.px) - Math.atan2(b.py - centre.py, b.px - centre.px),
    );
    if (around.length >= 3) out += cased([...around, around[0]!], INK.mark, 3, { opacity: 0.9 });
    group.forEach((g, i) => {
      const p = places[i]!;
      out += `<circle cx="${n(p.px)}" cy="${n(p.py)}" r="${dot}" fill="${g.used ? INK.mark : 'none'}" stroke="${g.used ? INK.night : INK.over}" stroke-width="3"/>`;
    });
  }
  // One name for all marks of a sheet: four names on a hand's breadth would cover it.
  const named = grouped(seen, (p) => /^(sheet|cross|mark) [^ ]+/.exec(p.name)?.[0] ?? p.name);
  for (const [name, group] of named) {
    const places = group.map((g) => onPane(pane, g.photo));
    const low = Math.max(...places.map((p) => p.py));
    out += letters(
      lettering,
      name,
      { px: middle(places).px, py: low + SMALL + 8 },
      { size: SMALL, fill: INK.mark, anchor: 'middle', halo: true },
    );
  }
  return out;
}

function grouped(
  points: readonly MatchedPoint[],
  nameOf: (p: MatchedPoint) => string,
): Map<string, MatchedPoint[]> {
  const groups = new Map<string, MatchedPoint[]>();
  for (const p of points) {
    const name = nameOf(p);
    groups.set(name, [...(groups.get(name) ?? []), p]);
  }
  return groups;
}

function middle(places: readonly PagePoint[]): PagePoint {
  const sum = places.reduce((s, p) => ({ px: s.px + p.px, py: s.py + p.py }), { px: 0, py: 0 });
  return { px: sum.px / places.length, py: sum.py / places.length };
}
