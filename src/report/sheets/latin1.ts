/** Signs that the page's fonts lack, and what stands for them in print. */
const STAND_INS: Readonly<Record<string, string>> = {
  '\u2212': '-',
  '\u2010': '-',
  '\u2011': '-',
  '\u2013': '-',
  '\u2014': '-',
  '\u2018': "'",
  '\u2019': "'",
  '\u201c': '"',
  '\u201e': '"',
  '\u2192': '->',
  '\u201d': '"',
  '\u2026': '...',
  '\u00a0': ' ',
  '\u202f': ' ',
  '\u2264': 'at most ',
  '\u2265': 'at least ',
  '\u2032': "'",
  '\u2033': '"',
  ł: 'l',
  Ł: 'L',
  đ: 'd',
  Đ: 'D',
  ı: 'i',
  œ: 'oe',
  Œ: 'OE',
};

/**
 * Text that a PDF's standard fonts can print: those know Latin-1 only, and anything else would come out as other
 * letters without an error. Accents are dropped where Latin-1 has no such letter; what has no stand-in becomes '?'.
 */
export function latin1(text: string): string {
  return [...text.normalize('NFC')]
    .map((c) => {
      const stand = STAND_INS[c];
      if (stand !== undefined) return stand;
      const code = c.codePointAt(0)!;
      if ((code >= 0x20 && code < 0x7f) || (code >= 0xa1 && code <= 0xff)) return c;
      if (code < 0x20 || code === 0x7f) return ' ';
      const bare = c.normalize('NFD').replace(/\p{M}/gu, '');
      return /^[\x20-\x7e\xa1-\xff]+$/.test(bare) ? bare : '?';
    })
    .join('');
}
