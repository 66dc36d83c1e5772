/** Puts the annotated picture of one shot together: where the photo's pieces go, and what is drawn over them. */
import type { PhotoPoint } from '../../core/frames.ts';
import type { Job } from '../../job/job.ts';
import type { ReadShot, ShotResult } from '../../job/result.ts';
import { limitsOnBoard } from '../limits.ts';
import { mainPlace } from '../main-place.ts';
import { dropLabel, dropLine, lampTitle, offsetLine, voiceOf } from '../summary.ts';
import { groupHeadline, verdictGroups } from '../verdict-groups.ts';
import { drawDetail, tapeBlockWidth } from './detail.ts';
import { escapeXml, INK, letters } from './draw.ts';
import { markPlaceOf, PAGE_WIDTH, type Pane, photoOfTangent, tangentFromMark } from './frame.ts';
import { drawLegend } from './legend.ts';
import { type Lettering, n } from './lettering.ts';
import { drawMarks, drawOverview } from './overview.ts';

/** A finished layout. `overlay` is SVG markup in page units; the photo's pieces go underneath it, in order. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly panes: readonly Pane[];
  readonly overlay: string;
  /** The picture in words, for those who can't see it. */
  readonly alt: string;
}

/** Smallest part of the photo's width that the overview shows. */
const LEAST_OVERVIEW = 0.35;
const DETAIL_HEIGHT = 1060;
const GUTTER = 10;

/**
 * The annotated picture of a shot; photo size in px, upright. Ids carry the shot's name, since pages hold several.
 * `legend: false` leaves out the strip of text, for a page that says the same beside the picture.
 */
export function composePicture(
  lettering: Lettering,
  job: Job,
  shot: ShotResult,
  photo: { readonly width: number; readonly height: number },
  options: { readonly legend: boolean } = { legend: true },
): Picture {
  const overview = overviewPane(shot, photo);
  const panes: Pane[] = [overview];
  let overlay = '';
  let y = overview.height;
  const voice = voiceOf(job);
  if (shot.state === 'read') {
    overlay += clipped(`${shot.shot}-overview`, overview, drawOverview(lettering, overview, shot, voice));
    const detail = detailPane(job, shot, photo, y + GUTTER);
    if (detail !== null) {
      panes.push(detail.pane);
      overlay += `<rect x="0" y="${n(y)}" width="${PAGE_WIDTH}" height="${GUTTER}" fill="${INK.panel}"/>`;
      overlay += clipped(`${shot.shot}-detail`, detail.pane, drawDetail(lettering, detail.pane, detail.spec));
      y = detail.pane.y + detail.pane.height;
    }
  } else if (shot.registration !== null) {
    overlay += clipped(
      `${shot.shot}-overview`,
      overview,
      drawMarks(lettering, overview, shot.registration.points),
    );
  }
  if (job.rendered) {
    overlay += `<rect width="${PAGE_WIDTH}" height="60" fill="${INK.night}" fill-opacity="0.72"/>`;
    overlay += letters(
      lettering,
      'DEMONSTRATION: drawn by a program, no real lamp',
      { px: PAGE_WIDTH / 2, py: 43 },
      { size: 38, anchor: 'middle', fill: INK.paper },
    );
  }
  const alt = altText(job, shot);
  if (!options.legend) return { width: PAGE_WIDTH, height: Math.round(y), panes, overlay, alt };
  const legend = drawLegend(lettering, y, job, shot);
  overlay += `<rect x="0" y="${n(y)}" width="${PAGE_WIDTH}" height="${n(legend.height)}" fill="${INK.panel}"/>${legend.markup}`;
  return {
    width: PAGE_WIDTH,
    height: Math.round(y + legend.height),
    panes,
    overlay,
    alt,
  };
}

/** The whole picture as SVG; `hrefs` are the panes' images in order (data URIs), or none for the overlay alone. */
export function pictureSvg(picture: Picture, hrefs: readonly string[] = []): string {
  const images = picture.panes
    .map((pane, i) =>
      hrefs[i] === undefined
        ? ''
        : `<image href="${escapeXml(hrefs[i])}" x="${n(pane.x)}" y="${n(pane.y)}" width="${n(pane.width)}" height="${n(pane.height)}" preserveAspectRatio="none"/>`,
    )
    .join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${picture.width} ${picture.height}" width="${picture.width}" height="${picture.height}" role="img" aria-label="${escapeXml(picture.alt)}">${images}${picture.overlay}</svg>`;
}

function clipped(name: string, pane: Pane, markup: string): string {
  const id = `pane-${name}`;
  return `<clipPath id="${id}"><rect x="${n(pane.x)}" y="${n(pane.y)}" width="${n(pane.width)}" height="${n(pane.height)}"/></clipPath><g clip-path="url(#${id})">${markup}</g>`;
}

function overviewPane(shot: ShotResult, photo: { readonly width: number; readonly height: number }): Pane {
  const places: PhotoPoint[] = [];
  if (shot.state === 'read') {
    for (const p of shot.registration.points) places.push(p.photo);
    const tangents = [{ u: 0, v: 0.03 }];
    if (shot.beam.found === 'cut-off') tangents.push(...shot.beam.line);
    if (shot.hotSpot !== null)
      tangents.push({ u: shot.hotSpot.offsetPct.value / 100, v: -shot.hotSpot.dropPct.value / 100 - 0.02 });
    for (const t of tangents) places.push(photoOfTangent(shot, t));
  }
  const seen = places.filter((p) => p.x >= 0 && p.y >= 0 && p.x < photo.width && p.y < photo.height);
  let box = { left: 0, top: 0, width: photo.width, height: photo.height };
  if (seen.length >= 3) {
    const xs = seen.map((p) => p.x);
    const ys = seen.map((p) => p.y);
    const margin = 0.06 * photo.width;
    const width = Math.max(Math.max(...xs) - Math.min(...xs) + 2 * margin, LEAST_OVERVIEW * photo.width);
    const height = Math.max(Math.max(...ys) - Math.min(...ys) + 2 * margin, width * 0.5);
    box = cropWithin(
      { x: (Math.max(...xs) + Math.min(...xs)) / 2, y: (Math.max(...ys) + Math.min(...ys)) / 2 },
      width,
      height,
      photo,
    );
  }
  return {
    source: box,
    x: 0,
    y: 0,
    width: PAGE_WIDTH,
    height: Math.round((PAGE_WIDTH * box.height) / box.width),
  };
}

function cropWithin(
  centre: PhotoPoint,
  width: number,
  height: number,
  photo: { readonly width: number; readonly height: number },
): Pane['source'] {
  const w = Math.min(Math.round(width), photo.width);
  const h = Math.min(Math.round(height), photo.height);
  return {
    left: Math.round(Math.min(Math.max(centre.x - w / 2, 0), photo.width - w)),
    top: Math.round(Math.min(Math.max(centre.y - h / 2, 0), photo.height - h)),
    width: w,
    height: h,
  };
}

function detailPane(
  job: Job,
  shot: ReadShot,
  photo: { readonly width: number; readonly height: number },
  y: number,
): { readonly pane: Pane; readonly spec: Parameters<typeof drawDetail>[2] } | null {
  const main = mainPlace(shot);
  if (main === null) return null;
  const limits = limitsOnBoard(job, shot).slice(0, 4);
  const place = markPlaceOf(shot.view, main.drop.value, main.offsetPct);
  const heights = [
    0,
    place.aboveMm,
    ...(shot.target === null ? [] : [shot.target.aboveCentreMm]),
    ...limits.flatMap((l) => [l.highestMm, l.lowestMm]).filter((mm) => mm !== null),
  ];
  const spread = Math.max(Math.max(...heights) - Math.min(...heights), 60);
  const top = Math.max(...heights) + spread * 0.22;
  const bottom = Math.min(...heights) - spread * 0.14;
  const column = (mm: number): PhotoPoint =>
    photoOfTangent(shot, tangentFromMark(shot.view, place.rightMm, mm));
  const a = column(top);
  const b = column(bottom);
  // A photo lying on its side has no upright tape to draw.
  if (!(Math.abs(b.y - a.y) > Math.abs(b.x - a.x))) return null;
  const perPx = DETAIL_HEIGHT / Math.abs(b.y - a.y);
  const side: 1 | -1 = shot.beam.found === 'cut-off' && shot.beam.riseSide === 'right' ? -1 : 1;
  const block = tapeBlockWidth(limits.length, main.kind);
  // The reading column stands just where the block of tape and labels begins.
  const columnAt = side > 0 ? PAGE_WIDTH - block : block;
  const width = PAGE_WIDTH / perPx;
  const height = DETAIL_HEIGHT / perPx;
  const left = (a.x + b.x) / 2 - columnAt / perPx;
  const source = {
    left: Math.round(left),
    top: Math.round(Math.min(a.y, b.y)),
    width: Math.round(width),
    height: Math.round(height),
  };
  if (!(source.width >= 8 && source.height >= 8)) return null;
  const pane: Pane = {
    source,
    x: 0,
    y,
    width: PAGE_WIDTH,
    height: (PAGE_WIDTH * source.height) / source.width,
  };
  // A piece reaching beyond the photo is filled with dark by whoever composes it; far outside, there is nothing to show.
  if (source.left > photo.width || source.top > photo.height || source.left + source.width < 0) return null;
  return { pane, spec: { shot, main, limits, units: job.units, side } };
}

function altText(job: Job, shot: ShotResult): string {
  const title = lampTitle(job, shot);
  if (shot.state === 'unread') return `${title}: could not be read. ${shot.detail}`;
  const side = offsetLine(shot);
  const verdicts = verdictGroups(job, shot).map(groupHeadline).join('. ');
  return `${title} on the board. ${dropLabel(shot)} ${dropLine(shot) ?? 'not found'}${side === null ? '' : `, ${side.what} ${side.text}`}. ${verdicts}`;
}
