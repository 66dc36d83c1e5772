/** What the container says of its primary picture: colour, and the turning that every reader must apply. */
export interface HeifProperties {
  /** Coding-independent code points (ITU-T H.273): 1 = BT.709, 12 = P3; transfer 13 = sRGB, 16 = PQ, 18 = HLG. */
  readonly nclx: { readonly primaries: number; readonly transfer: number } | null;
  readonly icc: Uint8Array | null;
  /** Quarter turns anticlockwise (irot), 0 to 3. */
  readonly quarterTurns: number;
  /** imir axis, or null when not mirrored. */
  readonly mirrorAxis: number | null;
}

interface Box {
  readonly type: string;
  /** First byte after the header. */
  readonly from: number;
  readonly to: number;
}

/**
 * Reads the item properties of the primary picture of a HEIC or AVIF file.
 * @returns null when the boxes do not make sense; the decoder will then say what is broken.
 * @see ISO/IEC 23008-12 (HEIF), 6.5.5 colr, 6.5.10 irot, 6.5.12 imir, 9.3.1 ipma; ISO/IEC 14496-12, 8.11.4 pitm.
 *   Section numbers from memory; the layout is checked against files made by another program in the tests.
 */
export function heifProperties(bytes: Uint8Array): HeifProperties | null {
  try {
    return read(bytes, new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength));
  } catch (error) {
    if (error instanceof RangeError) return null; // an offset past the end of the file
    throw error;
  }
}

function read(bytes: Uint8Array, view: DataView): HeifProperties | null {
  const meta = boxes(view, 0, bytes.length).find((b) => b.type === 'meta');
  if (!meta) return null;
  const inMeta = boxes(view, meta.from + 4, meta.to);
  const pitm = inMeta.find((b) => b.type === 'pitm');
  const iprp = inMeta.find((b) => b.type === 'iprp');
  if (!pitm || !iprp) return null;
  const primary =
    view.getUint8(pitm.from) === 0 ? view.getUint16(pitm.from + 4) : view.getUint32(pitm.from + 4);
  const inIprp = boxes(view, iprp.from, iprp.to);
  const ipco = inIprp.find((b) => b.type === 'ipco');
  if (!ipco) return null;
  const properties = boxes(view, ipco.from, ipco.to);
  const mine = inIprp
    .filter((b) => b.type === 'ipma')
    .flatMap((b) => associations(view, b, primary))
    .map((index) => properties[index - 1]);

  let nclx: HeifProperties['nclx'] = null;
  let icc: Uint8Array | null = null;
  let quarterTurns = 0;
  let mirrorAxis: number | null = null;
  for (const p of mine) {
    if (!p) continue;
    if (p.type === 'irot') quarterTurns = view.getUint8(p.from) & 3;
    if (p.type === 'imir') mirrorAxis = view.getUint8(p.from) & 1;
    if (p.type !== 'colr') continue;
    const kind = fourCc(view, p.from);
    if (kind === 'nclx')
      nclx = { primaries: view.getUint16(p.from + 4), transfer: view.getUint16(p.from + 6) };
    if (kind === 'prof' || kind === 'rICC') icc = bytes.slice(p.from + 4, p.to);
  }
  return { nclx, icc, quarterTurns, mirrorAxis };
}

/** The property numbers (from 1) that belong to an item. */
function associations(view: DataView, ipma: Box, item: number): number[] {
  const version = view.getUint8(ipma.from);
  const wide = (view.getUint8(ipma.from + 3) & 1) === 1;
  const entries = view.getUint32(ipma.from + 4);
  const found: number[] = [];
  let at = ipma.from + 8;
  for (let e = 0; e < entries; e++) {
    const id = version < 1 ? view.getUint16(at) : view.getUint32(at);
    at += version < 1 ? 2 : 4;
    const n = view.getUint8(at++);
    for (let i = 0; i < n; i++) {
      const index = wide ? view.getUint16(at) & 0x7fff : view.getUint8(at) & 0x7f;
      at += wide ? 2 : 1;
      if (id === item) found.push(index);
    }
  }
  return found;
}

function boxes(view: DataView, from: number, to: number): Box[] {
  const found: Box[] = [];
  let at = from;
  while (at + 8 <= to && found.length < 10_000) {
    let size = view.getUint32(at);
    let header = 8;
    if (size === 1) {
      size = Number(view.getBigUint64(at + 8));
      header = 16;
    } else if (size === 0) size = to - at;
    if (size < header || at + size > to) break;
    found.push({ type: fourCc(view, at + 4), from: at + header, to: at + size });
    at += size;
  }
  return found;
}

function fourCc(view: DataView, at: number): string {
  return String.fromCharCode(
    view.getUint8(at),
    view.getUint8(at + 1),
    view.getUint8(at + 2),
    view.getUint8(at + 3),
  );
}
