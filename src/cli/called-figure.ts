import type { CalledOut } from '../core/adjusters/called-out.ts';
import { lengthMm } from '../job/quantity.ts';
import { CliError } from './errors.ts';

const DIRECTIONS: Readonly<Record<string, CalledOut['direction']>> = {
  high: 'high',
  up: 'high',
  low: 'low',
  down: 'low',
  left: 'left',
  right: 'right',
};

/**
 * A figure as an inspector calls it: "0.4 % high", "too low by 30'", "2 in left at 25 ft".
 * @throws CliError saying what a figure looks like.
 */
export function calledFigure(text: string, countedFrom: CalledOut['countedFrom']): CalledOut {
  const said = text.trim().toLowerCase().replaceAll('\u2019', "'");
  const wrong = (what: string): CliError =>
    new CliError(
      `the figure "${text}": ${what}. Say it like "0.4 % high", "30' left" or "2 in low at 25 ft".`,
    );
  const directions = [...said.matchAll(/\b(high|low|up|down|left|right)\b/g)].map((m) => DIRECTIONS[m[1]!]!);
  const [direction] = directions;
  if (direction === undefined) throw wrong('high, low, left or right is missing');
  if (directions.length > 1) throw wrong('only one direction at a time');
  const rest = said
    .replace(/\b(too|by|high|low|up|down|left|right|too far)\b/g, ' ')
    .replace(/\bfar\b/g, ' ')
    .trim();
  const [sizeText = '', atText] = rest.split(/\bat\b/).map((p) => p.trim());
  const angle = /^([\d.,]+)\s*(%|percent|per cent|deg|degrees?|°|'|min|minutes?)$/.exec(sizeText);
  if (angle !== null) {
    const amount = Number(angle[1]!.replace(',', '.'));
    if (!Number.isFinite(amount)) throw wrong(`"${angle[1]}" is no number`);
    const unit =
      angle[2]!.startsWith('%') || angle[2]!.startsWith('per')
        ? 'pct'
        : /^('|min)/.test(angle[2]!)
          ? 'min'
          : 'deg';
    return { amount, unit, atMm: null, direction, countedFrom };
  }
  if (atText === undefined || atText === '')
    throw wrong(
      /^[\d.,]+$/.test(sizeText) ? 'its unit is missing' : 'a length needs the distance it counts at',
    );
  if (/^[\d.,]+$/.test(sizeText)) throw wrong('its unit is missing');
  return {
    amount: lengthMm(sizeText, 'figure'),
    unit: 'mm-at',
    atMm: lengthMm(atText, 'figure'),
    direction,
    countedFrom,
  };
}
