/** A small reader of uncompressed PDF drawings, so that the tests measure the file and not the code that wrote it. */

const MM_PER_PT = 25.4 / 72;

export interface PdfPage {
  /** Page box, pt. */
  readonly mediaBox: readonly number[];
  /** Filled paths, in painting order: points in mm from the page's lower left corner, y up; the device grey. */
  readonly fills: readonly { readonly points: readonly Point[]; readonly ink: string }[];
  /** Straight strokes, mm likewise. */
  readonly strokes: readonly { readonly from: Point; readonly to: Point; readonly widthMm: number }[];
  /** Text strings in order, with the place of each one's start. */
  readonly texts: readonly { readonly text: string; readonly at: Point; readonly sizePt: number }[];
}

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** The pages of a PDF as jsPDF writes them: each page object is followed by its content stream. */
export function readPdf(bytes: Uint8Array): readonly PdfPage[] {
  const file = Buffer.from(bytes).toString('latin1');
  const boxes = [...file.matchAll(/\/MediaBox \[([^\]]+)\]/g)].map((m) =>
    m[1]!.trim().split(/\s+/).map(Number),
  );
  const streams = [...file.matchAll(/<<\s*\/Length \d+\s*>>\s*stream\n([\s\S]*?)\nendstream/g)].map(
    (m) => m[1]!,
  );
  return boxes.map((mediaBox, i) => ({ mediaBox, ...readStream(streams[i]!) }));
}

function readStream(stream: string): Omit<PdfPage, 'mediaBox'> {
  const fills: { points: Point[]; ink: string }[] = [];
  const strokes: { from: Point; to: Point; widthMm: number }[] = [];
  const texts: { text: string; at: Point; sizePt: number }[] = [];
  let ink = '0 g';
  let width = 0;
  let size = 0;
  let path: Point[] = [];
  let at: Point = { x: 0, y: 0 };
  for (const line of stream.split('\n')) {
    const words = line.trim().split(/\s+/);
    const op = words.at(-1)!;
    const n = words.slice(0, -1).map(Number);
    const point = (): Point => ({ x: n.at(-2)! * MM_PER_PT, y: n.at(-1)! * MM_PER_PT });
    if (op === 'g' || op === 'rg') ink = line.trim();
    else if (op === 'w') width = n[0]! * MM_PER_PT;
    else if (op === 'Tf') size = Number(words[1]);
    else if (op === 'm') path = [point()];
    else if (op === 'l' || op === 'c') path.push(point());
    else if (op === 'f') fills.push({ points: path, ink });
    else if (op === 'S' && path.length === 2) {
      strokes.push({ from: path[0]!, to: path[1]!, widthMm: width });
    } else if (op === 'Td' || op === 'Tm') at = point();
    else if (op === 'Tj') {
      texts.push({
        text: line.slice(line.indexOf('(') + 1, line.lastIndexOf(')')).replace(/\\(.)/g, '$1'),
        at,
        sizePt: size,
      });
    }
  }
  return { fills, strokes, texts };
}
