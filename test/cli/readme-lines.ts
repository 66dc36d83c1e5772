/** The lines of the sample report that README shows: cut from a fresh reading, so that they can't go stale. */

const BEGIN = '<!-- from here: npm run samples:readme -->';
const END = '<!-- to here -->';

/** Shots that README shows and, of each, the fields by their labels (a verdict by its letter). */
const SHOWN: readonly (readonly [string, readonly string[]])[] = [
  ['left-dipped', ['Drop', 'Edge', 'Elbow', 'From far', 'A', 'Turn', 'Doubt']],
  ['right-dipped', ['Drop', 'Edge', 'A', 'Tape', 'Turn']],
];
/** Of long fields only the first lines. */
const MOST_LINES: Readonly<Record<string, number>> = { Turn: 2, A: 2, Tape: 2 };

/** The excerpt for README from the whole report's text. */
export function readmeLines(report: string): string {
  return SHOWN.map(([shot, labels]) => excerpt(report.split('\n'), shot, labels).join('\n')).join('\n\n');
}

function excerpt(lines: readonly string[], shot: string, labels: readonly string[]): string[] {
  const start = lines.findIndex((l) => l.endsWith(`photo: ${shot}`));
  if (start < 0) throw new Error(`the report has no shot ${shot}`);
  const out = lines.slice(start, start + 2);
  let kept = 0;
  let on = false;
  let most = 0;
  for (const line of lines.slice(start + 2)) {
    if (/^\S/.test(line)) break;
    const label = /^ {2}(\S+(?: \S+)*?)(?: {2,}| \[)/.exec(line)?.[1];
    if (label !== undefined) {
      on = labels.includes(label);
      most = MOST_LINES[label] ?? Number.POSITIVE_INFINITY;
      kept = 0;
    } else if (line.trim() === '') on = false;
    if (on && kept < most) {
      out.push(line);
      kept++;
    }
  }
  return out;
}

/** README with its excerpt replaced. @throws Error when the two marks are not there. */
export function withLines(readme: string, excerptText: string): string {
  const from = readme.indexOf(BEGIN);
  const to = readme.indexOf(END);
  if (from < 0 || to < from) throw new Error(`README.md has lost its marks ${BEGIN} and ${END}`);
  return `${readme.slice(0, from + BEGIN.length)}\n\n\`\`\`\n${excerptText}\n\`\`\`\n\n${readme.slice(to)}`;
}
