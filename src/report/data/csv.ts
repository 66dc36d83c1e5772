/** The readings as a table for a spreadsheet: RFC 4180, one line per shot, a heading line first. */
import type { ResultData, ShotData } from './result-schema.ts';

const COLUMNS: readonly (readonly [string, (s: ShotData) => string | number | null])[] = [
  ['shot', (s) => s.shot],
  ['lamp', (s) => s.lamp],
  ['function', (s) => s.function],
  ['side', (s) => s.side],
  ['state', (s) => s.state],
  ['distance_mm', (s) => (s.state === 'read' ? s.distance_mm : null)],
  ['drop_pct', (s) => (s.state === 'read' ? (s.drop_pct?.value ?? null) : null)],
  ['U_drop_pct', (s) => (s.state === 'read' ? (s.drop_pct?.U ?? null) : null)],
  ['offset_pct', (s) => (s.state === 'read' ? (s.offset_pct?.value ?? null) : null)],
  ['U_offset_pct', (s) => (s.state === 'read' ? (s.offset_pct?.U ?? null) : null)],
  ['hot_spot_drop_pct', (s) => (s.state === 'read' ? (s.hot_spot?.drop_pct.value ?? null) : null)],
  ['hot_spot_offset_pct', (s) => (s.state === 'read' ? (s.hot_spot?.offset_pct.value ?? null) : null)],
  ['tilt_deg', (s) => (s.state === 'read' ? (s.tilt_deg?.value ?? null) : null)],
  ['far_drop_min_pct', (s) => (s.state === 'read' ? (s.far_drop_pct?.min ?? null) : null)],
  ['far_drop_max_pct', (s) => (s.state === 'read' ? (s.far_drop_pct?.max ?? null) : null)],
  ['above_centre_mm', (s) => (s.state === 'read' ? (s.place_mm?.above_centre ?? null) : null)],
  [
    'verdicts',
    (s) => (s.state === 'read' ? s.verdicts.map((v) => `${v.scheme}: ${v.text}`).join('; ') : null),
  ],
  ['taken_at', (s) => s.photo?.taken_at ?? null],
  ['remark', (s) => (s.state === 'unread' ? s.detail : s.warnings.join(' '))],
];

/** The result as CSV with CRLF line ends; text that a spreadsheet might run as a formula is made harmless. */
export function resultCsv(data: ResultData): string {
  const lines = [
    COLUMNS.map(([name]) => name),
    ...data.shots.map((s) => COLUMNS.map(([, get]) => cell(get(s)))),
  ];
  return lines.map((l) => `${l.join(',')}\r\n`).join('');
}

/** One cell (RFC 4180, 2.5 to 2.7): quoted when it holds a quote, comma or line break. */
function cell(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return String(value);
  // A leading =, +, - or @ would be taken for a formula: titles come from files that others may have written.
  const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
