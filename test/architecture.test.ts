import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';

/** Which layers a file of each layer may import from (design: imports run one way). */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  core: ['core'],
  photo: ['photo', 'core'],
  vision: ['vision', 'core'],
  job: ['job', 'vision', 'photo', 'core'],
  report: ['report', 'job', 'vision', 'photo', 'core'],
  cli: ['cli', 'report', 'job', 'vision', 'photo', 'core', 'renderer'],
  web: ['web', 'report', 'job', 'vision', 'photo', 'core', 'renderer'],
  renderer: ['renderer', 'core'],
};
/** All that the renderer may know of the core, so that the two can disagree. */
const RENDERER_MAY_SEE = ['core/frames.ts', 'core/units.ts', 'core/errors.ts'];
/** Inside the core, bottom to top; a file imports its own rank or below. */
const CORE_RANKS: readonly (readonly string[])[] = [
  ['frames', 'units', 'errors', 'raster', 'uncertainty', 'board-view', 'lamp-view'],
  ['geometry', 'photometry'],
  ['sampling'],
  ['beam', 'mask'],
  ['rules', 'adjusters', 'pair'],
  ['bay-plan'],
  ['index'],
];
const CORE_PACKAGES = ['ml-matrix'];
/** Layers that read photographs: nothing in them may know of a rendered photo's true figures. */
const READERS = ['core', 'photo', 'vision', 'job'];

interface Source {
  /** Path below src with forward slashes. */
  readonly file: string;
  readonly layer: string;
  readonly text: string;
  /** Text without comments: what the machine sees. */
  readonly code: string;
  readonly imports: readonly string[];
}

const SRC = path.resolve(import.meta.dirname, '../src');

function withoutComments(text: string): string {
  // Strings are matched first so that "https://" inside one is not taken for a comment.
  return text.replace(
    /('(?:\\.|[^'\\\n])*'|"(?:\\.|[^"\\\n])*"|`(?:\\.|[^`\\])*`)|\/\*[\s\S]*?\*\/|\/\/[^\n]*/g,
    (_, s: string | undefined) => s ?? ' ',
  );
}

function importsOf(code: string): string[] {
  const found: string[] = [];
  for (const m of code.matchAll(/\b(?:from|import)\s*\(?\s*(['"])([^'"\n]+)\1/g)) found.push(m[2]!);
  return found;
}

function readSources(root: string): Source[] {
  return readdirSync(root, { recursive: true, withFileTypes: true })
    .filter((e) => e.isFile() && /\.(ts|tsx|mts|js|mjs)$/.test(e.name))
    .map((e) => {
      const full = path.join(e.parentPath, e.name);
      const file = path.relative(root, full).split(path.sep).join('/');
      const text = readFileSync(full, 'utf8');
      const code = withoutComments(text);
      return { file, layer: file.split('/')[0]!, text, code, imports: importsOf(code) };
    });
}

/** The file below src that a relative import means; null for a package. */
function importedFile(from: string, specifier: string): string | null {
  if (!specifier.startsWith('.')) return null;
  return path.posix.normalize(path.posix.join(path.posix.dirname(from), specifier));
}

function coreRank(file: string): number {
  const part = file.split('/')[1]!.replace(/\.ts$/, '');
  return CORE_RANKS.findIndex((names) => names.includes(part));
}

/** Every broken rule as "file: what", so that a failure can be read. */
function brokenRules(sources: readonly Source[]): string[] {
  const broken: string[] = [];
  for (const { file, layer, code, imports } of sources) {
    const say = (what: string): void => void broken.push(`${file}: ${what}`);
    const allowed = MAY_IMPORT[layer];
    if (allowed === undefined) {
      say('belongs to no layer');
      continue;
    }
    for (const specifier of imports) {
      const target = importedFile(file, specifier);
      if (target === null) {
        if (layer === 'core' && !CORE_PACKAGES.includes(specifier)) say(`imports the package ${specifier}`);
        continue;
      }
      const to = target.split('/')[0]!;
      if (target.startsWith('..')) say(`imports from outside src: ${specifier}`);
      else if (!allowed.includes(to)) say(`${layer} may not import ${to} (${specifier})`);
      else if (layer === 'renderer' && to === 'core' && !RENDERER_MAY_SEE.includes(target))
        say(`the renderer may see only ${RENDERER_MAY_SEE.join(', ')}, not ${target}`);
      else if (layer === 'core' && coreRank(target) > coreRank(file)) say(`imports upwards: ${target}`);
    }
    if (layer === 'core') {
      if (coreRank(file) < 0) say('has no place in the order of the core (CORE_RANKS)');
      for (const word of ['Date.now', 'new Date', 'Math.random', 'console.', 'performance.now', 'process.'])
        if (code.includes(word)) say(`uses ${word}`);
      for (const m of code.matchAll(/['"](react|sharp|opencv[\w-]*|zod|node:[\w/]+)['"]/g))
        say(`names ${m[1]}`);
    }
    if (READERS.includes(layer) && /truth/i.test(code)) say('mentions a truth file');
  }
  return broken;
}

describe('imports run one way', () => {
  const sources = readSources(SRC);

  test('the gate sees files in at least six layers, so it cannot pass by finding nothing', () => {
    expect(new Set(sources.map((s) => s.layer)).size).toBeGreaterThanOrEqual(6);
    expect(sources.length).toBeGreaterThan(30);
    expect(sources.filter((s) => s.imports.length > 0).length).toBeGreaterThan(20);
  });

  test('no file under src breaks the order of layers, and the core stays pure', () => {
    expect(brokenRules(sources)).toEqual([]);
  });

  test.each([
    ['core/beam/x.ts', "import { text } from '../../report/text.ts';", 'core may not import report'],
    ['core/geometry/x.ts', "import { z } from '../beam/z.ts';", 'imports upwards'],
    ['core/beam/x.ts', "import React from 'react';", 'imports the package react'],
    ['core/beam/x.ts', 'export const now = Date.now();', 'uses Date.now'],
    ['photo/x.ts', "import { a } from '../vision/a.ts';", 'photo may not import vision'],
    [
      'renderer/x.ts',
      "import { a } from '../core/geometry/board-projection.ts';",
      'the renderer may see only',
    ],
    ['job/x.ts', "readFileSync('left.truth.json');", 'mentions a truth file'],
    ['report/x.ts', "const m = await import('../cli/main.ts');", 'report may not import cli'],
  ])('in %s, %s is caught', (file, text, what) => {
    const code = withoutComments(text);
    const source: Source = { file, layer: file.split('/')[0]!, text, code, imports: importsOf(code) };
    expect(brokenRules([source]).join('\n')).toContain(what);
  });

  test('a comment that only speaks of the ground truth is no fault', () => {
    const text = "/* the truth is elsewhere */ import { a } from './a.ts'; // https://example.org truth";
    const code = withoutComments(text);
    expect(brokenRules([{ file: 'job/x.ts', layer: 'job', text, code, imports: importsOf(code) }])).toEqual(
      [],
    );
  });
});
