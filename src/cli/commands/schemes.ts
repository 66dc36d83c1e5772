import type { Scheme, SchemeRow } from '../../core/rules/scheme.ts';
import { listSchemes, schemeById } from '../../core/rules/schemes/list.ts';
import { onTape } from '../../report/format.ts';
import { wrapColumns } from '../../report/terminal.ts';
import { aimWords, bandWords, lampWord, lateralWords, placeWords, seenWords } from '../../report/words.ts';
import type { Answer } from '../answers.ts';
import { CliError } from '../errors.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { type Io, print, printJson } from '../io.ts';

/** Lists the schemes: short, or the named ones with every row and source. */
export async function command(
  io: Io,
  options: Readonly<Record<string, unknown>>,
  names: readonly string[],
): Promise<ExitCode> {
  const schemes = names.length === 0 ? listSchemes() : names.map(byId);
  if (options['json'] === true) {
    const answer: Answer<'schemes'> = { schemes: schemes.map(schemeData) };
    printJson(io, answer);
  } else if (names.length === 0) {
    print(
      io,
      ...schemes.map((s) => `${s.id.padEnd(28)}${s.title}`),
      '',
      ...wrapColumns(
        'npx dipcard schemes <id> prints the figures with their sources. A figure from memory never makes a pass: check it in the official text.',
      ),
    );
  } else print(io, ...schemes.flatMap(schemeLines));
  return EXIT.ok;
}

function byId(id: string): Scheme {
  const scheme = schemeById(id);
  if (scheme !== null) return scheme;
  const known = listSchemes()
    .map((s) => s.id)
    .join(', ');
  throw new CliError(`scheme "${id}": there is none of that name. There are: ${known}.`);
}

function schemeLines(scheme: Scheme): string[] {
  const lines = [`${scheme.title} (${scheme.id})`];
  if (scheme.typeIn !== undefined) lines.push(...wrapColumns(scheme.typeIn, 80, '  '));
  for (const row of scheme.rows) lines.push(...rowLines(row, scheme));
  return [...lines, ''];
}

function rowLines(row: SchemeRow, scheme: Scheme): string[] {
  const units = scheme.words === 'us' ? 'in' : 'mm';
  const lateral = lateralWords(row);
  const aim = aimWords(row);
  const asked = [
    `${lampWord(row.lamp, scheme.words)}, ${row.feature.replaceAll('-', ' ')}`,
    heightWords(row, units),
    bandWords(row),
    lateral,
    aim,
    placeWords(row, units),
  ].filter((t) => t !== null);
  const where = row.source.where === null ? '' : ` ${row.source.where}`;
  return [
    ...wrapColumns(`${row.id}  ${asked.join('; ')}.`, 80, '  ', '      '),
    ...wrapColumns(
      `${row.source.what}, ${row.source.edition}: ${seenWords(row.source.seen)}.${where}`,
      80,
      '      ',
    ),
    ...(row.note === null ? [] : wrapColumns(row.note, 80, '      ')),
  ];
}

function heightWords(row: SchemeRow, units: 'mm' | 'in'): string | null {
  const { overMm, upToMm } = row.height;
  const of = row.heightReference === 'centre' ? 'centre' : 'lower edge';
  const over = Number.isFinite(overMm) && overMm > 0 ? `above ${onTape(overMm, units)}` : null;
  const upTo = Number.isFinite(upToMm) ? `up to ${onTape(upToMm, units)}` : null;
  const words = [over, upTo].filter((t) => t !== null).join(', ');
  return words === '' ? null : `${of} ${words}`;
}

function schemeData(scheme: Scheme): Answer<'schemes'>['schemes'][number] {
  const finite = (mm: number): number | null => (Number.isFinite(mm) ? mm : null);
  return {
    id: scheme.id,
    title: scheme.title,
    region: scheme.region,
    note: scheme.typeIn ?? null,
    rows: scheme.rows.map((row) => ({
      id: row.id,
      lamp: row.lamp,
      feature: row.feature,
      place: row.place.kind === 'far' ? 'far' : `board at ${row.place.distanceMm} mm`,
      min_drop_pct: row.vertical.minPct,
      max_drop_pct: row.vertical.maxPct,
      aim_drop_pct: row.aimPct,
      min_offset_pct: row.lateral?.minPct ?? null,
      max_offset_pct: row.lateral?.maxPct ?? null,
      heights_mm: { over: finite(row.height.overMm), up_to: finite(row.height.upToMm) },
      source: row.source.what,
      edition: row.source.edition,
      seen: row.source.seen,
      where: row.source.where,
      note: row.note,
    })),
  };
}
