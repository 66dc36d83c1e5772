import { jobJsonSchema } from '../../job/job-json-schema.ts';
import { bayFileJsonSchema } from '../../report/bay-plan-schema.ts';
import { resultJsonSchema } from '../../report/data/result-schema.ts';
import { answerSchemas } from '../answers.ts';
import { CliError } from '../errors.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, printJson } from '../io.ts';

/** Prints the JSON Schemas: all in one object, or one by name. */
export async function command(
  io: Io,
  _options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const all: Record<string, object> = {
    job: jobJsonSchema(),
    'bay-file': bayFileJsonSchema(),
    result: resultJsonSchema(),
    ...answerSchemas(),
  };
  const [name] = names;
  if (name === undefined) printJson(io, all);
  else if (Object.hasOwn(all, name)) printJson(io, all[name]);
  else
    throw new CliError(`schema: there is none called "${name}". There are: ${Object.keys(all).join(', ')}.`);
  return EXIT.ok;
}
