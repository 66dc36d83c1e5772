import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print } from '../io.ts';

/** The browser app. */
export async function command(io: Io): Promise<ExitCode> {
  print(
    io,
    'The app for the browser is not built yet. Everything works from the command line today:',
    '  npx dipcard demo            read the sample job',
    '  npx dipcard new my/job.json start your own',
    '  npx dipcard --help          all commands',
  );
  return EXIT.ok;
}
