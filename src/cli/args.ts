import { z } from 'zod';
import { InputError } from '../core/errors.ts';
import { lengthMm } from '../job/quantity.ts';
import { CliError } from './errors.ts';

/** What was typed after the command, checked: unknown to the core, so zod may be used here. */
export function checked<S extends z.ZodType>(schema: S, typed: unknown): z.output<S> {
  const parsed = schema.safeParse(typed);
  if (parsed.success) return parsed.data;
  const lines = parsed.error.issues.map((i) => {
    const name = i.path.length === 0 ? 'the command' : `--${dashed(String(i.path[0]))}`;
    return `${name}: ${i.message}.`;
  });
  throw new CliError(lines[0] ?? 'The command is wrong.', undefined, lines.slice(1));
}

function dashed(name: string): string {
  return name.replace(/[A-Z]/g, (c) => `-${c.toLowerCase()}`);
}

/** A length typed with its unit ("5 m", "25 ft", "65 cm"); bare numbers are mm. */
export function lengthArg(name: string): z.ZodType<number> {
  return z.string().transform((text, context) => {
    try {
      return lengthMm(text, `--${name}`);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      context.addIssue({ code: 'custom', message: `expected ${error.expected}, got "${text}"` });
      return z.NEVER;
    }
  });
}

/** Whole numbers as a list: "1,2,5-8". */
export const numbersArg = z.string().transform((text, context) => {
  const numbers: number[] = [];
  for (const part of text.split(',').map((p) => p.trim())) {
    const m = /^(\d{1,3})(?:-(\d{1,3}))?$/.exec(part);
    if (m === null) {
      context.addIssue({ code: 'custom', message: `expected numbers such as 1,2,5-8, got "${text}"` });
      return z.NEVER;
    }
    const from = Number(m[1]);
    const to = Number(m[2] ?? m[1]);
    for (let n = from; n <= to; n++) numbers.push(n);
  }
  return numbers;
});

/** A figure with a decimal point or comma. */
export const numberArg = z.string().transform((text, context) => {
  const value = Number(text.trim().replace(',', '.'));
  if (text.trim() === '' || !Number.isFinite(value)) {
    context.addIssue({ code: 'custom', message: `expected a number, got "${text}"` });
    return z.NEVER;
  }
  return value;
});
