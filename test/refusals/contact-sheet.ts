/** A picture of every kind, to see that each shows what its name says: `contact-sheet.ts OUT.png [from] [to] [seed]`. */
import sharp from 'sharp';
import { renderRaster } from '../../src/renderer/index.ts';
import { KINDS } from './kinds.ts';
import { spoiltCase } from './run-kind.ts';

const [out = 'kinds.png', from = '0', to = String(KINDS.length), seed = '7100'] = process.argv.slice(2);
const [width, height, caption, columns] = [400, 300, 24, 6];
const kinds = KINDS.slice(Number(from), Number(to));
const tiles: { input: Buffer; left: number; top: number }[] = [];
for (const [i, kind] of kinds.entries()) {
  const { spoilt } = spoiltCase(kind, Number(seed) + 101 * KINDS.indexOf(kind), 1000);
  const { raster } = renderRaster(spoilt.scene, 1, spoilt.edits);
  const { data } = raster;
  const left = (i % columns) * width;
  const top = Math.floor(i / columns) * (height + caption);
  const text = `${KINDS.indexOf(kind)} ${kind.name}`;
  const label = `<svg width="${width}" height="${caption}"><rect width="100%" height="100%" fill="#333"/><text x="4" y="17" font-size="15" fill="white" font-family="sans-serif">${text}</text></svg>`;
  tiles.push({ input: Buffer.from(label), left, top });
  tiles.push({
    input: await sharp(data, { raw: { width: raster.width, height: raster.height, channels: 3 } })
      .resize(width, height, { fit: 'contain' })
      .png()
      .toBuffer(),
    left,
    top: top + caption,
  });
}
const rows = Math.ceil(kinds.length / columns);
await sharp({
  create: { width: width * columns, height: (height + caption) * rows, channels: 3, background: '#000' },
})
  .composite(tiles)
  .png()
  .toFile(out);
