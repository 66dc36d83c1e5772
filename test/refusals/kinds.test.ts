import { describe, expect, test } from 'vitest';
import { KINDS } from './kinds.ts';
import { runKind } from './run-kind.ts';

/** One small photo of each kind; `main.ts` draws as many and as large ones as wanted. */
const WIDTH_PX = 1100;

describe('photographs that must not get a confident number', () => {
  test('there are at least 30 kinds, each with a name of its own', () => {
    expect(KINDS.length).toBeGreaterThanOrEqual(30);
    expect(new Set(KINDS.map((k) => k.name)).size).toBe(KINDS.length);
  });

  test.each(KINDS.map((kind, i) => [kind.name, kind, 7100 + 101 * i] as const))(
    '%s: refused with a reason and advice, or read within 1.5 U of the true drop',
    async (_, kind, seed) => {
      const outcome = await runKind(kind, seed, WIDTH_PX);
      // Kinds in which the light alone can't tell are counted by main.ts; here they only must not crash.
      if (kind.onlyWarned === undefined) expect(outcome).not.toMatchObject({ result: 'wrong' });
      if (outcome.result !== 'refused') return;
      expect(outcome.why).toMatch(/^(photo|marks|beam)\/[a-z-]+$/);
      expect(outcome.detail.length).toBeGreaterThan(60);
    },
  );
});
