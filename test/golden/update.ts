/**
 * `npm run golden`: reads the samples and writes what was read to test/golden/marigold.json, telling every figure that
 * changed. Look at each before committing: the commit gives old and new numbers and why.
 */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { changes } from './compare.ts';
import { GOLDEN_FILE, type Golden, goldenOf, JOB_FILES, readSampleJob } from './readings.ts';

const results = [];
for (const name of JOB_FILES) results.push(await readSampleJob(name));
const golden = goldenOf(results);
if (existsSync(GOLDEN_FILE)) {
  const old = JSON.parse(readFileSync(GOLDEN_FILE, 'utf8')) as Golden;
  const list = changes(golden, old);
  console.log(
    list.length === 0 ? 'Nothing changed by more than its tolerance.' : list.map((c) => c.text).join('\n'),
  );
}
writeFileSync(GOLDEN_FILE, `${JSON.stringify(golden, null, 2)}\n`);
