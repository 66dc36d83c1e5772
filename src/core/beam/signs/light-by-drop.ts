import { tanFromDeg } from '../../units.ts';
import { lightMap } from './light-map.ts';
import { middleOf, type SeenLight } from './seen-light.ts';

/** Light at a height on the level side, where oncoming eyes are. */
export interface LightAtDrop {
  /** Per cent from the lamp's centre, + down. */
  readonly dropPct: number;
  /** Median over the level side, share of the beam's peak. */
  readonly share: number;
}

/** The level side: from the elbow this far, tangent units; on either side of a flat beam's middle. */
const FROM = tanFromDeg(0.5);
const TO = tanFromDeg(5);

/** Light by height on the level side of the beam, highest first: what a rule's dark zone is judged by. */
export function lightByDrop(seen: SeenLight): readonly LightAtDrop[] {
  const map = lightMap(seen.grid, 0);
  const middle = middleOf(seen);
  const { side } = seen.edge.line;
  const out: LightAtDrop[] = [];
  for (let r = map.rows - 1; r >= 0; r--) {
    const row: number[] = [];
    for (let c = 0; c < map.columns; c++) {
      const along = (map.u0 + c * map.step - middle) * -(side || 1);
      const far = side === 0 ? Math.abs(along) : along;
      const e = map.light[r * map.columns + c]!;
      if (far >= FROM && far <= TO && Number.isFinite(e)) row.push(e);
    }
    if (row.length < 8) continue;
    row.sort((a, b) => a - b);
    out.push({
      dropPct: -100 * (map.v0 + r * map.step),
      share: Math.max(0, row[row.length >> 1]!) / seen.spot.peak,
    });
  }
  return out;
}
