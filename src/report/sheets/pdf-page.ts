import { jsPDF } from 'jspdf';
import type { Paper } from '../../vision/mark-design.ts';
import { latin1 } from './latin1.ts';

/** Capital height over font size of the page's sans-serif font (its published metrics: 718 of 1000). */
const CAP_HEIGHT = 0.718;
const PT_PER_MM = 72 / 25.4;

/** Ink: device grey, 0 black to 1 paper white, or a colour of three such parts. */
export type Ink = number | readonly [number, number, number];

/** How a line of print looks. */
export interface Lettering {
  /** Height of a capital letter, mm. */
  readonly capMm: number;
  readonly bold?: boolean;
  readonly ink?: Ink;
  readonly anchor?: 'left' | 'middle' | 'right';
  /** Degrees anticlockwise. */
  readonly turnDeg?: number;
}

/** How a line is drawn. */
export interface Stroke {
  readonly widthMm: number;
  readonly ink?: Ink;
  readonly dashMm?: readonly number[];
}

/**
 * A PDF of landscape pages in mm from the upper left corner, y down. A thin layer over the PDF library, which keeps
 * its quirks (grey as text, state that stays set) in one place. Nothing is compressed, so that anybody can read the
 * coordinates in the file; everything is vectors.
 */
export class PdfPages {
  readonly widthMm: number;
  readonly heightMm: number;
  private readonly doc: jsPDF;

  /** @param title shown by PDF readers. @param size the page across and up, mm; across is the longer side. */
  constructor(title: string, size: { readonly widthMm: number; readonly heightMm: number }) {
    this.widthMm = size.widthMm;
    this.heightMm = size.heightMm;
    this.doc = new jsPDF({
      unit: 'mm',
      format: [size.widthMm, size.heightMm],
      orientation: 'landscape',
      compress: false,
    });
    this.doc.setDocumentProperties({ title: latin1(title), creator: 'Dipcard' });
    this.doc.setLanguage('en-GB');
    // Asks the print dialogue to start at 'actual size'; a person can still change it, so the sheet carries a ruler.
    this.doc.viewerPreferences({ PrintScaling: 'None' });
  }

  addPage(): void {
    this.doc.addPage([this.widthMm, this.heightMm], 'landscape');
  }

  /** A filled polygon; points in mm. */
  fill(points: readonly { readonly x: number; readonly y: number }[], ink: Ink): void {
    this.setFill(ink);
    points.forEach((p, i) => {
      if (i === 0) this.doc.moveTo(p.x, p.y);
      else this.doc.lineTo(p.x, p.y);
    });
    this.doc.close();
    this.doc.fill();
  }

  fillDisc(x: number, y: number, radiusMm: number, ink: Ink): void {
    this.setFill(ink);
    this.doc.circle(x, y, radiusMm, 'F');
  }

  line(x1: number, y1: number, x2: number, y2: number, stroke: Stroke): void {
    this.setStroke(stroke);
    this.doc.line(x1, y1, x2, y2);
  }

  rect(x: number, y: number, widthMm: number, heightMm: number, stroke: Stroke): void {
    this.setStroke(stroke);
    this.doc.rect(x, y, widthMm, heightMm, 'S');
  }

  /** One line of print; `x`, `y` is the anchor on the base line. */
  text(text: string, x: number, y: number, look: Lettering): void {
    this.setFont(look);
    const width = this.doc.getTextWidth(latin1(text));
    const shift = look.anchor === 'middle' ? width / 2 : look.anchor === 'right' ? width : 0;
    const turn = ((look.turnDeg ?? 0) * Math.PI) / 180;
    // The library's own anchors are wrong for turned text, so the start is worked out here.
    this.doc.text(latin1(text), x - shift * Math.cos(turn), y + shift * Math.sin(turn), {
      angle: look.turnDeg ?? 0,
    });
  }

  /** Lines of running text broken at `widthMm`; returns the base line of the line after the last. */
  paragraph(
    text: string,
    x: number,
    y: number,
    widthMm: number,
    look: Lettering & { readonly leading?: number },
  ): number {
    this.setFont(look);
    const lines = this.doc.splitTextToSize(latin1(text), widthMm) as string[];
    const step = look.capMm * (look.leading ?? 1.95);
    lines.forEach((line, i) => {
      this.text(line, x, y + i * step, look);
    });
    return y + lines.length * step;
  }

  /** Width of a line of print, mm. */
  textWidth(text: string, look: Lettering): number {
    this.setFont(look);
    return this.doc.getTextWidth(latin1(text));
  }

  /** How many lines `paragraph` would print. */
  lineCount(text: string, widthMm: number, look: Lettering): number {
    this.setFont(look);
    return (this.doc.splitTextToSize(latin1(text), widthMm) as string[]).length;
  }

  bytes(): Uint8Array {
    return new Uint8Array(this.doc.output('arraybuffer'));
  }

  private setFont(look: Lettering): void {
    this.doc.setFont('helvetica', look.bold ? 'bold' : 'normal');
    this.doc.setFontSize((look.capMm / CAP_HEIGHT) * PT_PER_MM);
    const ink = look.ink ?? 0;
    if (typeof ink === 'number') this.doc.setTextColor(grey(ink));
    else this.doc.setTextColor(ink[0] * 255, ink[1] * 255, ink[2] * 255);
  }

  private setFill(ink: Ink): void {
    if (typeof ink === 'number') this.doc.setFillColor(grey(ink));
    else this.doc.setFillColor(ink[0] * 255, ink[1] * 255, ink[2] * 255);
  }

  private setStroke(stroke: Stroke): void {
    const ink = stroke.ink ?? 0;
    if (typeof ink === 'number') this.doc.setDrawColor(grey(ink));
    else this.doc.setDrawColor(ink[0] * 255, ink[1] * 255, ink[2] * 255);
    this.doc.setLineWidth(stroke.widthMm);
    this.doc.setLineDashPattern([...(stroke.dashMm ?? [])], 0);
  }
}

/** Page sizes as they lie, mm. */
export const LANDSCAPE_MM: Readonly<Record<Paper, { readonly widthMm: number; readonly heightMm: number }>> =
  {
    a4: { widthMm: 297, heightMm: 210 },
    letter: { widthMm: 279.4, heightMm: 215.9 },
  };

/** A text argument from 0 to 1 means device grey to the library; a number would mean 0 to 255. */
function grey(level: number): string {
  return level.toFixed(3);
}
