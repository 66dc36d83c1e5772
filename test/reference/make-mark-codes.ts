// Made src/vision/mark-codes.ts (Node 20.20.2). Run: node --import tsx test/reference/make-mark-codes.ts
// Greedy search with a fixed seed: a random 6 x 6 field is kept when it is balanced, busy (many black-white steps give
// the corner fit edges to hold on to) and at least 11 bits from itself turned or mirrored and from every kept code in all 8 poses.

const SEED = 20261125;
const WANTED = 192;
const DISTANCE = 11;

function generator(seed: number): () => number {
  let s = seed >>> 0;
  return () => {
    s = (Math.imul(s, 1664525) + 1013904223) >>> 0;
    let t = s;
    t ^= t >>> 15;
    t = Math.imul(t, 0x2c1b3c6d);
    t ^= t >>> 12;
    t = Math.imul(t, 0x297a2d39);
    t ^= t >>> 15;
    return t >>> 0;
  };
}

type Field = readonly number[];
const quarterTurn = (f: Field): Field => f.map((_, i) => f[(5 - (i % 6)) * 6 + Math.floor(i / 6)]!);
const mirror = (f: Field): Field => f.map((_, i) => f[Math.floor(i / 6) * 6 + 5 - (i % 6)]!);
const halves = (f: Field): [number, number] => [
  f.slice(0, 18).reduce((n, b) => n * 2 + b, 0),
  f.slice(18).reduce((n, b) => n * 2 + b, 0),
];

function popcount(x: number): number {
  let n = 0;
  for (let v = x; v !== 0; v &= v - 1) n++;
  return n;
}

function poses(f: Field): [number, number][] {
  const out: [number, number][] = [];
  let turned = f;
  for (let i = 0; i < 4; i++) {
    out.push(halves(turned), halves(mirror(turned)));
    turned = quarterTurn(turned);
  }
  return out;
}

const next = generator(SEED);
const kept: [number, number][] = [];
while (kept.length < WANTED) {
  const bits = [next() >>> 14, next() >>> 14];
  const field = Array.from({ length: 36 }, (_, i) => (bits[i < 18 ? 0 : 1]! >>> (17 - (i % 18))) & 1);
  const ones = field.reduce((a, b) => a + b, 0);
  if (ones < 15 || ones > 21) continue;
  let steps = 0;
  for (let a = 0; a < 6; a++) {
    for (let b = 0; b < 5; b++) {
      if (field[a * 6 + b] !== field[a * 6 + b + 1]) steps++;
      if (field[b * 6 + a] !== field[(b + 1) * 6 + a]) steps++;
    }
  }
  if (steps < 26) continue;
  const all = poses(field);
  const far = ([a, b]: [number, number], [c, d]: [number, number]): boolean =>
    popcount(a ^ c) + popcount(b ^ d) >= DISTANCE;
  if (!all.slice(1).every((p) => far(all[0]!, p))) continue;
  if (!kept.every((k) => all.every((p) => far(k, p)))) continue;
  kept.push(all[0]!);
}
const hex = kept.map(([a, b]) => `${(a * 2 ** 18 + b).toString(16).padStart(9, '0')}`);
for (let i = 0; i < hex.length; i += 8) console.log(`  ${hex.slice(i, i + 8).join(' ')}`);
