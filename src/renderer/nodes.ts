/** Values at every `step`th pixel of both directions, bent straight between them: index j * columns + i. */
export interface Nodes {
  readonly step: number;
  readonly columns: number;
  readonly rows: number;
}

/** For each pixel of a row: which coarse column lies to its left, and how far on it is. */
export interface Stretch {
  readonly index: Int32Array;
  readonly part: Float64Array;
}

/** Pixel x lies at coarse column x * scale + start. */
export function stretch(width: number, scale: number, start: number, columns: number): Stretch {
  const index = new Int32Array(width);
  const part = new Float64Array(width);
  for (let x = 0; x < width; x++) {
    const place = Math.max(0, Math.min(columns - 1.001, x * scale + start));
    index[x] = Math.floor(place);
    part[x] = place - Math.floor(place);
  }
  return { index, part };
}

/** A row of node values at photo row y, still per node along x. */
export function rowOf(field: Float32Array, nodes: Nodes, y: number, out: Float64Array): void {
  const j = Math.min(nodes.rows - 2, Math.floor(y / nodes.step));
  const t = y / nodes.step - j;
  const a = j * nodes.columns;
  const b = a + nodes.columns;
  for (let i = 0; i < nodes.columns; i++) out[i] = field[a + i]! * (1 - t) + field[b + i]! * t;
}
