import { z } from 'zod';
import { jobSchema } from './schema.ts';

/**
 * JSON Schema (2020-12) of the job file as written, for editors and other programs. Rules that JSON Schema can't
 * say (paths stay inside the folder, ids are known) are checked on loading.
 */
export function jobJsonSchema(): Record<string, unknown> {
  return {
    title: 'Dipcard job file, version 1',
    ...z.toJSONSchema(jobSchema, { io: 'input', target: 'draft-2020-12' }),
  };
}
