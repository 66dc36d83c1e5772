import { Command, CommanderError } from 'commander';
import { complaintOf } from './errors.ts';
import { EXIT, type ExitCode } from './exit.ts';
import { type Io, printJson } from './io.ts';
import { version } from './project.ts';

/** A command's work: typed options in, exit code out. Loaded only when it is called, so that starting stays quick. */
type Action = (
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
) => Promise<ExitCode>;

const EXIT_HELP = `
Exit codes:
  0  done; every lamp read is within what was chosen
  1  a lamp is over a limit, too close to call, or could not be judged
  2  the command or a file handed to it is wrong
  3  a photo could not be read
  4  a fault of the program
Lengths: "5 m", "65 cm", "25 ft", "2 ft 3 1/2 in"; bare numbers are mm.
Aim: "1.2 %", "0.7 deg", "12 cm at 10 m", "4 in at 25 ft".`;

/**
 * Runs one command line.
 * @param argv what stands after the program's name.
 * @returns the exit code; never throws.
 */
export async function run(argv: readonly string[], io: Io): Promise<ExitCode> {
  let exit: ExitCode = EXIT.ok;
  const program = new Command('dipcard')
    .description(
      'Photograph each lamp of a vehicle on a board; learn its drop and offset, how sure that is, and the turns that mend it.',
    )
    .version(version(), '--version', 'print the version')
    .helpOption('-h, --help', 'how to use it')
    .helpCommand('help [command]', 'how to use a command')
    .option('--debug', 'show where in the program an error arose (not needed for your own mistakes)')
    .addHelpText('after', EXIT_HELP)
    .configureOutput({ writeOut: io.out, writeErr: io.err })
    .exitOverride();
  const action =
    (load: () => Promise<{ readonly command: Action }>) =>
    async (...args: unknown[]): Promise<void> => {
      const options = args.at(-2) as Record<string, unknown>;
      const names = args
        .slice(0, -2)
        .flat()
        .filter((a): a is string => typeof a === 'string');
      const { command } = await load();
      exit = await command(io, options, names);
    };
  const json = ['--json', 'answer as JSON (see: npx dipcard schema)'] as const;

  program
    .command('new')
    .summary('start a job')
    .description('Start a job: asks at most six questions, or takes the answers as flags.')
    .argument('<job>', 'the job file to write, e.g. marigold/job.json')
    .option('--title <text>', 'what to call the vehicle')
    .option('--kind <kind>', 'car, motorcycle, three-wheeler, van, truck or other')
    .option('--country <country>', 'whose rules count: gb, ie, eu, us, jp, other-left or other-right')
    .option('--approval', 'it is on its way to an individual approval')
    .option('--lamps <set>', 'dipped-pair, dipped-and-main-pairs, dipped-single or dipped-and-main-single')
    .option('--height <length>', "the lamps' centres over the floor")
    .option('--right-height <length>', 'the same for the right lamp, where it differs')
    .option('--mark <place...>', 'instead of heights: lamp@right,up where its centre was marked on the board')
    .option('--distance <length>', 'from the lamps to the board')
    .option('--lit <size>', 'lit part of a lamp: "170 mm", or height x width "60 mm x 180 mm"')
    .option('--lens <marking>', 'what the lens says, e.g. arrow-left, VOL, VOR, none, unknown')
    .option('--replace', 'overwrite a job of that name (the old one is kept as .bak)')
    .option(...json)
    .action(action(() => import('./commands/new.ts')));

  program
    .command('bay')
    .summary('plan where to measure')
    .description(
      'Before anything is printed: every place to measure, what could be proven there, and what to do in what order. Takes a small file (npx dipcard schema bay-file), flags, or asks.',
    )
    .argument('[file]', 'what is known of the place, as JSON')
    .option('--title <text>', 'what to call it')
    .option('--garage <size>', 'inside, length x width: "5.5 m x 2.6 m"')
    .option('--door <size>', 'opening, width x height: "2.1 m x 2 m"')
    .option('--floor <flatness>', 'flat, ordinary, unknown, or mm per m')
    .option('--floor-slope <slope>', 'of the garage floor, going towards the door: "1 % down"')
    .option('--drive <length>', 'private ground in front of the door')
    .option('--drive-slope <slope>', 'going away from the door: "6 % down"')
    .option('--drive-floor <flatness>', 'flat, ordinary, unknown, or mm per m')
    .option('--no-elsewhere', 'no yard or car park can be reached')
    .option('--vehicle <size>', 'length, or length x width: "3.9 m x 1.6 m"')
    .option('--kind <kind>', 'car, motorcycle, three-wheeler, van, truck or other')
    .option('--wheelbase <length>', 'between the axles')
    .option('--nose <length>', 'foremost point ahead of the front axle')
    .option('--lamps <set>', 'dipped-pair, dipped-and-main-pairs, dipped-single or dipped-and-main-single')
    .option('--height <length>', "the lamps' centres over the floor")
    .option('--spacing <length>', 'from lamp centre to lamp centre')
    .option('--lamp-kind <kind>', 'round, lens, strip or unknown')
    .option('--lit <size>', 'lit part of a lamp: "170 mm", or height x width "60 mm x 180 mm"')
    .option(
      '--filling <how>',
      'how light fills it: disc, centre-weighted, upper-half, lower-half-dim, ring, lens, strip, lens-strip, facets',
    )
    .option('--lens <marking>', 'what the lens says, e.g. arrow-left, VOL, VOR, none, unknown')
    .option('--beam <shape>', 'rise, flat, step or no-cut-off')
    .option(
      '--tools <list>',
      'e.g. "tape, spirit-level, water-level, laser, string, plumb-bob, helper, tripod"',
    )
    .option('--engine', 'the lamps burn only with the engine running')
    .option('--country <country>', 'whose rules count: gb, ie, eu, us, jp, other-left or other-right')
    .option('--approval', 'it is on its way to an individual approval')
    .option('--scheme <id...>', 'what to judge by, instead of the usual rules of the country')
    .option('--units <units>', 'mm, cm or in')
    .option('--words <words>', 'gb or us')
    .option('--html <file>', 'write it as a page with drawings')
    .option('--pdf <file>', 'write it as a PDF with drawings')
    .option('--paper <size>', 'with --pdf: a4 or letter', 'a4')
    .option('--replace', 'overwrite files of those names')
    .option(...json)
    .action(action(() => import('./commands/bay.ts')));

  program
    .command('sheets')
    .summary('print coded sheets')
    .description('Coded sheets to tape to the board, at true size: print at 100 %, then check the ruler.')
    .option('--paper <size>', 'a4 or letter', 'a4')
    .option('--numbers <list>', 'which sheets, e.g. 1-4', '1-4')
    .option('--format <format>', 'pdf, svg (one sheet) or json (open data, to feed your own pictures)', 'pdf')
    .option('--title <text>', 'for the first page', 'Dipcard')
    .option('--units <units>', 'mm, cm or in', 'mm')
    .option('--words <words>', 'gb or us', 'gb')
    .option('-o, --out <file>', 'where to write it')
    .option('--replace', 'overwrite a file of that name')
    .option(...json)
    .action(action(() => import('./commands/sheets.ts')));

  program
    .command('plan')
    .summary('draw the board for a job')
    .description(
      'A plan of the board for this vehicle and place: where each mark, sheet and line of tape goes.',
    )
    .argument('<job>', 'the job file')
    .option('--paper <size>', 'a4 or letter', 'a4')
    .option('-o, --out <file>', 'where to write the PDF (default: plan.pdf beside the job)')
    .option('--replace', 'overwrite a file of that name')
    .option(...json)
    .action(action(() => import('./commands/plan.ts')));

  program
    .command('read')
    .summary('read the photos of a job')
    .description('Read every photo of a job, or the photos of one lamp with flags alone.')
    .argument('[job]', 'the job file')
    .option('--shot <id...>', 'only these shots')
    .option(
      '--photo <file...>',
      'one photo, or a bracket, without a job: sheets or crosses placed from the lamp centre mark',
    )
    .option('--lamps-off <file>', 'with --photo: the same view with the lamps off, to take room light away')
    .option('--marks-shot <file>', 'with --photo: the same view with the lights on, to see the marks')
    .option('--distance <length>', 'with --photo: from the lamp to the board')
    .option(
      '--sheet <place...>',
      'with --photo: number@right,up of its cross from the centre mark, e.g. 1@-600,-300',
    )
    .option('--cross <place...>', 'with --photo: name@right,up@x,y with x,y where it is in the photo, px')
    .option('--function <lamp>', 'with --photo: passing, driving or front-fog', 'passing')
    .option('--side <side>', 'with --photo: left, right or centre', 'left')
    .option('--traffic <side>', 'with --photo: left or right', 'left')
    .option('--height <length>', "with --photo: the lamp centre's height over the ground")
    .option('--lit-height <length>', 'with --photo: height of the lit part of the lamp')
    .option('--scheme <id...>', 'with --photo: what to judge by')
    .option('--units <units>', 'with --photo: mm, cm or in', 'mm')
    .option('--words <words>', 'with --photo: gb or us', 'gb')
    .option(
      '-o, --out <folder>',
      'write report.html, report.txt, pictures, result.json and readings.csv here',
    )
    .option('--csv', 'answer as a table for a spreadsheet')
    .option(...json)
    .action(action(() => import('./commands/read.ts')));

  program
    .command('called')
    .summary("turn an inspector's figure into turns")
    .description(
      'What a called-out figure means: per cent, mm on your board and turns, where adjusting is allowed.',
    )
    .argument('<figure...>', 'e.g. "0.4 % high", "2 in low at 25 ft", "30\' left"')
    .option('--from <place>', 'counted from: target, limit or level', 'target')
    .option('--job <file>', 'with --lamp: take target, limits and screws from a job')
    .option('--lamp <id>', 'which lamp of the job')
    .option('--target <aim>', 'the drop to aim at, e.g. "1.3 %"')
    .option('--distance <length>', 'your board, to say it in mm on the tape')
    .option('--units <units>', 'mm, cm or in', 'mm')
    .option(...json)
    .action(action(() => import('./commands/called.ts')));

  program
    .command('turned')
    .summary('learn the screws from a trial turn')
    .description(
      'After a trial turn and another photo of the lamp: what the screw does, and what to turn next.',
    )
    .argument('<job>', 'the job file, with a shot before and a shot after the turn')
    .option('--lamp <id>', 'which lamp of the job')
    .option(
      '--trial <trial...>',
      'e.g. "up-down screw; 1 clockwise; left-dip; left-dip-2"; one for each screw tried',
    )
    .option(...json)
    .action(action(() => import('./commands/turned.ts')));

  program
    .command('practice')
    .summary('draw a practice photo with its job')
    .description('Draw a photo of a beam by program, with the job to read it and, apart, the true answer.')
    .argument('<folder>', 'where to put it')
    .option('--drop <pct>', 'where the beam points: per cent down', '1.2')
    .option('--offset <pct>', 'per cent to the right', '-0.3')
    .option('--distance <length>', 'from lamp to board', '5 m')
    .option('--traffic <side>', 'left or right', 'left')
    .option('--lit-height <length>', 'height of the lit part of the lamp', '70 mm')
    .option('--seed <number>', 'another seed, other noise', '1')
    .option('--width <px>', 'width of the photo, px', '2400')
    .option('--replace', 'overwrite what is there')
    .option(...json)
    .action(action(() => import('./commands/practice.ts')));

  program
    .command('check')
    .summary('check a job without reading it')
    .description('Check a job file: what is wrong, what is odd, which photos are missing.')
    .argument('<job>', 'the job file')
    .option(...json)
    .action(action(() => import('./commands/check.ts')));

  program
    .command('batch')
    .summary('read many jobs')
    .description(
      'Read many jobs on all cores. A job that was read before and has not changed is not read again.',
    )
    .argument('<jobs...>', 'job files')
    .option('-o, --out <folder>', 'one folder per job goes in here', 'out')
    .option('--workers <number>', 'how many at a time (default: one per core)')
    .option('--again', 'read every job, also those already read')
    .option('--json', 'one JSON object per line and job (see: npx dipcard schema)')
    .action(action(() => import('./commands/batch.ts')));

  program
    .command('schemes')
    .summary('list what lamps can be judged by')
    .description('The schemes with their figures and where each comes from.')
    .argument('[id...]', 'only these, in full')
    .option(...json)
    .action(action(() => import('./commands/schemes.ts')));

  program
    .command('schema')
    .summary('print JSON Schemas')
    .description('JSON Schemas of the job file, of the result and of every --json answer.')
    .argument('[name]', 'one of them')
    .action(action(() => import('./commands/schema.ts')));

  program
    .command('demo')
    .summary('read the sample job')
    .description(
      'Read the sample job (rendered photographs), print the report and write pictures to out/demo.',
    )
    .option('-o, --out <folder>', 'where to write', 'out/demo')
    .option(...json)
    .action(action(() => import('./commands/demo.ts')));

  program
    .command('app')
    .summary('the app for the browser')
    .description('Open the app for the browser.')
    .action(action(() => import('./commands/app.ts')));

  try {
    if (argv.length === 0) {
      io.out(program.helpInformation() + EXIT_HELP.concat('\n'));
      return EXIT.ok;
    }
    await program.parseAsync([...argv], { from: 'user' });
    return exit;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.ok : EXIT.usage;
    const complaint = complaintOf(error);
    if (argv.includes('--debug') && error instanceof Error) io.err(`${error.stack ?? error.message}\n`);
    if (argv.includes('--json'))
      printJson(io, {
        error: { message: complaint.lines[0], more: complaint.lines.slice(1), exit: complaint.exit },
      });
    io.err(`${complaint.lines.map((l, i) => (i === 0 ? `dipcard: ${l}` : `         ${l}`)).join('\n')}\n`);
    return complaint.exit;
  }
}
