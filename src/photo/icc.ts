/** Colorants (red, green, blue; XYZ on D50) of the two spaces that cameras write, as their ICC profiles hold them. */
const KNOWN = {
  srgb: [0.4361, 0.2225, 0.0139, 0.3851, 0.7169, 0.0971, 0.1431, 0.0606, 0.7141],
  'display-p3': [0.5151, 0.2412, -0.0011, 0.292, 0.6922, 0.0419, 0.1571, 0.0666, 0.7841],
} as const;

/**
 * Which colour space an ICC profile describes, by its colorants: names differ from maker to maker, colorants do not.
 *
 * @param icc the whole profile.
 * @returns 'other' for any other or unreadable profile; a grey profile is 'other'.
 * @see ICC.1:2010, 7.3 (tag table), 10.31 (XYZType: s15Fixed16). The colorants are the sRGB and DCI-P3/D65 primaries
 *   adapted to D50 (Bradford); test/photo/icc.test.ts computes them afresh.
 */
export function colourSpaceOfIcc(icc: Uint8Array): 'srgb' | 'display-p3' | 'other' {
  const colorants = readColorants(icc);
  if (!colorants) return 'other';
  for (const name of ['srgb', 'display-p3'] as const) {
    // Profiles round to 1/65536 and adapt by slightly different matrices; Adobe RGB's red is 0.17 away.
    if (KNOWN[name].every((k, i) => Math.abs(k - colorants[i]!) < 0.004)) return name;
  }
  return 'other';
}

function readColorants(icc: Uint8Array): number[] | null {
  if (icc.length < 132) return null;
  const view = new DataView(icc.buffer, icc.byteOffset, icc.byteLength);
  const tags = view.getUint32(128);
  const found = new Map<string, number>();
  for (let i = 0; i < tags && 132 + 12 * i + 12 <= icc.length; i++) {
    const at = 132 + 12 * i;
    const name = String.fromCharCode(...icc.subarray(at, at + 4));
    found.set(name, view.getUint32(at + 4));
  }
  const out: number[] = [];
  for (const tag of ['rXYZ', 'gXYZ', 'bXYZ']) {
    const at = found.get(tag);
    if (at === undefined || at + 20 > icc.length) return null;
    for (let k = 0; k < 3; k++) out.push(view.getInt32(at + 8 + 4 * k) / 65536);
  }
  return out;
}
