import sharp from 'sharp';
import { type Picture, pictureSvg } from '../report/picture/compose.ts';
import { INK } from '../report/picture/draw.ts';
import type { Pane } from '../report/picture/frame.ts';

/** What the panes are cut from: an upright photo, eight-bit RGB. */
export interface UprightPhoto {
  readonly data: Uint8Array;
  readonly width: number;
  readonly height: number;
}

/** Beyond this a pane is shown no larger than it was taken: more pixels would only be interpolation. */
const MOST_PIXELS = 1800;

/**
 * The panes of a picture as JPEGs, cut from the upright photo; what reaches beyond the photo is dark.
 * @returns one JPEG per pane, in order.
 */
export async function paneImages(photo: UprightPhoto, picture: Picture): Promise<readonly Uint8Array[]> {
  const { data, width, height } = photo;
  return Promise.all(picture.panes.map((pane) => paneImage(data, width, height, pane)));
}

async function paneImage(data: Uint8Array, width: number, height: number, pane: Pane): Promise<Uint8Array> {
  const { source } = pane;
  const left = Math.max(source.left, 0);
  const top = Math.max(source.top, 0);
  const right = Math.min(source.left + source.width, width);
  const bottom = Math.min(source.top + source.height, height);
  const shown = Math.min(pane.width, MOST_PIXELS);
  const outHeight = Math.round((shown * pane.height) / pane.width);
  if (right <= left || bottom <= top)
    return sharp({ create: { width: shown, height: outHeight, channels: 3, background: INK.night } })
      .jpeg()
      .toBuffer();
  const cut = await sharp(data, { raw: { width, height, channels: 3 } })
    .extract({ left, top, width: right - left, height: bottom - top })
    .extend({
      left: left - source.left,
      top: top - source.top,
      right: source.left + source.width - right,
      bottom: source.top + source.height - bottom,
      background: INK.night,
    })
    .raw()
    .toBuffer({ resolveWithObject: true });
  return sharp(cut.data, { raw: { width: cut.info.width, height: cut.info.height, channels: 3 } })
    .resize(Math.round(shown), outHeight, { fit: 'fill' })
    .jpeg({ quality: 84, mozjpeg: true })
    .toBuffer();
}

/** The whole annotated picture as one JPEG, `width` px wide. */
export async function pictureJpeg(
  picture: Picture,
  panes: readonly Uint8Array[],
  width = picture.width,
): Promise<Uint8Array> {
  const scale = width / picture.width;
  const under = await Promise.all(
    picture.panes.map(async (pane, i) => ({
      input: await sharp(panes[i]!)
        .resize(Math.round(pane.width * scale), Math.round(pane.height * scale), { fit: 'fill' })
        .toBuffer(),
      left: Math.round(pane.x * scale),
      top: Math.round(pane.y * scale),
    })),
  );
  const overlay = await sharp(Buffer.from(pictureSvg(picture)), { density: 72 * scale })
    .resize(width, Math.round(picture.height * scale), { fit: 'fill' })
    .png()
    .toBuffer();
  return sharp({
    create: { width, height: Math.round(picture.height * scale), channels: 3, background: INK.panel },
  })
    .composite([...under, { input: overlay, left: 0, top: 0 }])
    .jpeg({ quality: 88 })
    .toBuffer();
}
