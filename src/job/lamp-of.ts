import type { LampMechanics, Support } from '../core/adjusters/lamp-mechanics.ts';
import { DEFAULT_U } from './defaults.ts';
import type { JobLamp } from './job.ts';
import { measuredOrNull } from './measured.ts';
import { dropPct, lengthMm, offsetPct, slopePct } from './quantity.ts';
import type { ParsedJobFile } from './schema.ts';

type FileLamp = ParsedJobFile['vehicle']['lamps'][number];

const FUNCTION_WORDS = {
  passing: 'dipped beam',
  driving: 'main beam',
  'front-fog': 'front fog lamp',
} as const;

/** One lamp of the file in mm and per cent. @throws InputError naming the field. */
export function lampOf(lamp: FileLamp, field: string): JobLamp {
  return {
    id: lamp.id,
    title: lamp.title ?? `${lamp.side} ${FUNCTION_WORDS[lamp.function]}`,
    function: lamp.function,
    side: lamp.side,
    centreHeight: measuredOrNull(lamp.centre.up, `${field}.centre.up`, DEFAULT_U.lampHeight),
    lowerEdge: measuredOrNull(lamp.lowerEdge, `${field}.lowerEdge`, DEFAULT_U.lowerEdge),
    litHeight: measuredOrNull(lamp.litHeight, `${field}.litHeight`, DEFAULT_U.litSize),
    litWidth: measuredOrNull(lamp.litWidth, `${field}.litWidth`, DEFAULT_U.litSize),
    filling: lamp.filling,
    marking: lamp.marking,
    handbook: handbookOf(lamp, `${field}.handbook`),
    mechanics: lamp.mechanics === undefined ? null : mechanicsOf(lamp.mechanics, `${field}.mechanics`),
  };
}

function handbookOf({ handbook }: FileLamp, field: string): JobLamp['handbook'] {
  if (handbook === undefined) return null;
  const { drop, tolerance, offset, onBoardAt, source } = handbook;
  return {
    dropPct: dropPct(drop, `${field}.drop`),
    tolerancePct: tolerance === undefined ? null : slopePct(tolerance, `${field}.tolerance`),
    offsetPct: offset === undefined ? null : offsetPct(offset, `${field}.offset`),
    onBoardAtMm: onBoardAt === undefined ? null : lengthMm(onBoardAt, `${field}.onBoardAt`),
    source: source ?? null,
  };
}

function mechanicsOf(mechanics: NonNullable<FileLamp['mechanics']>, field: string): LampMechanics {
  if (mechanics.kind !== 'supports') return mechanics;
  return {
    kind: 'supports',
    supports: mechanics.supports.map((support, i): Support => {
      const at = `${field}.supports.${i}`;
      const place = {
        rightMm: lengthMm(support.right, `${at}.right`),
        upMm: lengthMm(support.up, `${at}.up`),
      };
      if (support.kind !== 'screw') return { kind: support.kind, ...place };
      return {
        kind: 'screw',
        name: support.name,
        ...place,
        pitchMm: support.pitch === null ? null : lengthMm(support.pitch, `${at}.pitch`),
        drivenFrom: support.drivenFrom,
        clockwise: support.clockwise,
      };
    }),
  };
}
