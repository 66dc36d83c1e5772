/** Reads the sample photos and brings README's lines and picture up to date: `npm run samples:readme`. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import sharp from 'sharp';
import { buildCli, dipcard, PROJECT, scratch } from './built.ts';
import { readmeLines, withLines } from './readme-lines.ts';

const PICTURE_WIDTH = 900;

await buildCli();
const out = mkdtempSync(path.join(scratch(), 'r-'));
const { out: report, err } = await dipcard(
  PROJECT,
  'read',
  'samples/marigold/job.json',
  '--shot',
  'left-dipped',
  'right-dipped',
  '--out',
  out,
);
if (report === '') throw new Error(err);
const readme = path.join(PROJECT, 'README.md');
writeFileSync(readme, withLines(readFileSync(readme, 'utf8'), readmeLines(report)));
await sharp(path.join(out, 'right-dipped.jpg'))
  .resize({ width: PICTURE_WIDTH })
  .jpeg({ quality: 82, mozjpeg: true })
  .toFile(path.join(PROJECT, 'samples', 'annotated-right-dipped.jpg'));
rmSync(path.dirname(out), { recursive: true, force: true });
process.stdout.write('README.md and samples/annotated-right-dipped.jpg are up to date.\n');
