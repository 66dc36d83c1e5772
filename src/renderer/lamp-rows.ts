import { type LampFields, type LitFields, patternAt } from './lit-fields.ts';
import { type Nodes, rowOf } from './nodes.ts';

/**
 * Log luminance that one lamp gives a white surface along photo rows. Looked up at every `hop`th pixel of both
 * directions and bent straight between, where the pixels are far finer than the edge.
 */
export class LampRows {
  readonly #fields: LitFields;
  readonly #lamp: LampFields;
  readonly #nodes: Nodes;
  readonly #hop: number;
  readonly #u: Float64Array;
  readonly #v: Float64Array;
  readonly #log: Float64Array;
  readonly #rows = new Map<number, Float64Array>();
  readonly #line: Float64Array;

  constructor(lamp: LampFields, fields: LitFields, nodes: Nodes, width: number, hop: number) {
    this.#lamp = lamp;
    this.#fields = fields;
    this.#nodes = nodes;
    this.#hop = hop;
    this.#u = new Float64Array(nodes.columns);
    this.#v = new Float64Array(nodes.columns);
    this.#log = new Float64Array(nodes.columns);
    this.#line = new Float64Array(width);
  }

  /** The line at photo row y; the same array each time. */
  at(y: number): Float64Array {
    const hop = this.#hop;
    const low = Math.floor(y / hop) * hop;
    const a = this.#row(low);
    if (low === y) return a;
    const b = this.#row(low + hop);
    const t = (y - low) / hop;
    const line = this.#line;
    for (let x = 0; x < line.length; x++) line[x] = a[x]! + t * (b[x]! - a[x]!);
    return line;
  }

  #row(y: number): Float64Array {
    const known = this.#rows.get(y);
    if (known) return known;
    for (const old of this.#rows.keys()) if (old < y - this.#hop) this.#rows.delete(old);
    const { step } = this.#nodes;
    rowOf(this.#fields.u, this.#nodes, y, this.#u);
    rowOf(this.#fields.v, this.#nodes, y, this.#v);
    rowOf(this.#fields.log, this.#nodes, y, this.#log);
    const [us, vs, logs, hop] = [this.#u, this.#v, this.#log, this.#hop];
    const width = this.#line.length;
    const row = new Float64Array(width);
    for (let x = 0; ; x += hop) {
      const end = Math.min(x, width - 1);
      const i = (end / step) | 0;
      const t = end / step - i;
      const u = us[i]! + t * (us[i + 1]! - us[i]!);
      const v = vs[i]! + t * (vs[i + 1]! - vs[i]!);
      row[end] = logs[i]! + t * (logs[i + 1]! - logs[i]!) + patternAt(this.#lamp.pattern, u, v);
      const from = Math.max(0, x - hop);
      for (let k = from + 1; k < end; k++) {
        row[k] = row[from]! + ((row[end]! - row[from]!) * (k - from)) / (end - from);
      }
      if (end === width - 1) break;
    }
    this.#rows.set(y, row);
    return row;
  }
}
