import { describe, expect, test } from 'vitest';
import { htmlReport } from '../../src/report/html/page.ts';
import { JOB, RESULT } from './fixture.ts';

const page = htmlReport(JOB, RESULT, {
  pictures: new Map([['left-dip', '<svg id="here"></svg>']]),
  made: null,
});

describe('the page', () => {
  test('it holds no script, no handler and no address to fetch from', () => {
    expect(page).not.toMatch(/<script|<link|<iframe|\son\w+=|javascript:|https?:\/\/(?!www\.w3\.org)/i);
    expect(page).toContain("default-src 'none'");
  });

  test('markup in a title stays text', () => {
    const evil = '<img src=x onerror=alert(1)>';
    const text = htmlReport(
      { ...JOB, title: evil },
      { ...RESULT, title: evil },
      { pictures: new Map(), made: null },
    );
    expect(text).not.toContain('<img');
    expect(text).toContain('&lt;img src=x onerror=alert(1)&gt;');
  });

  test('every opened element is closed again', () => {
    const open: string[] = [];
    const body = page
      .slice(page.indexOf('<body>'), page.indexOf('</html>'))
      .replace(/<svg[\s\S]*?<\/svg>/g, '');
    for (const m of body.matchAll(/<(\/?)([a-z][a-z0-9]*)[^>]*?(\/?)>/g)) {
      if (m[3] === '/' || ['meta', 'br', 'img'].includes(m[2]!)) continue;
      if (m[1] === '') open.push(m[2]!);
      else if (open.pop() !== m[2]) throw new Error(`</${m[2]}> closes something else`);
    }
    expect(open).toEqual([]);
  });

  test('its order is that of doing: place, lamps, readings, pair, care, sources', () => {
    const heads = [...page.matchAll(/<h2>([^<]+)<\/h2>/g)].map((m) => m[1]);
    expect(heads).toEqual([
      'The place',
      'The lamps',
      'The readings',
      'Left and right compared',
      'Worth a second look',
      'Take care',
      'Where the figures come from',
    ]);
  });

  test('every source says how far its figure was seen', () => {
    expect(page).toContain('from memory: check it against the official text');
    expect(page).toContain('seen quoted by another page');
  });

  test('each line at the top leads to a reading that is there', () => {
    for (const m of page.matchAll(/href="#([^"]+)"/g)) expect(page).toContain(`id="${m[1]}"`);
  });

  test('a verdict is told by a form of its own, not by colour: three verdicts, three signs', () => {
    const signs = new Set(page.match(/<svg viewBox="0 0 24 24"[\s\S]*?<\/svg>/g));
    expect(signs.size).toBe(3);
  });
});
