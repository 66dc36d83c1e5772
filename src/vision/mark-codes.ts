/**
 * The code book of our printed marks: 192 fields of 6 x 6 cells, frozen for ever, since sheets are out on walls.
 * Any two fields, in any of the 8 poses (four quarter turns, each also mirrored), and any field against its own other
 * poses, differ in at least 11 cells. So one misread cell is mended safely, a mark tells which way up it is, and a
 * mirrored mark is known to be mirrored instead of passing for another. Made by test/reference/make-mark-codes.ts.
 */

/** Cells along one side of the code field. */
export const FIELD_CELLS = 6;
/** Least number of cells in which two fields differ, over all poses. */
export const CODE_DISTANCE = 11;

// 36 bits each, row after row from the upper left, the first cell highest; 1 is a white cell.
const FIELDS = `
  beaf55881 bb00da491 ee4964d45 6a83937c5 b75752650 c557d520f 721a85f8a 7382c3274
  298a23d31 a7494998b 5f6dbb303 058cbead6 1512e0d53 a21e6378d 2c583e67b 99aa3ef1a
  57eb26356 8552217c7 ea6a30787 d5c411ab8 9b26ca64d 616c0aa6f 90aef51aa 0d19ece26
  8e58f59d3 5c14deaea 03c12e31b b480fa74a fc24e4f3d 5ea2d51c8 3783844ce 4896701eb
  5b498e29e f66d804ed b11bcc7b4 21879db4a d910eed2f 3250b1bb0 6fd32c542 c4703ddc8
  4dad6c0b7 3e523d765 e72f646d1 6179f611f 8a580afa6 23bf6150a d14f4571a 571c4c317
  e1afc9572 f2ef56570 6622f7e22 9c947933e ac02cb69f 4de7d0222 87b1109db a11d76cd3
  72fe822e3 b2c0895fb 4f8d0c72c 3754c414c cdd60d05a 69072da25 0323d3752 afca2d976
  9656ae05d df260f781 2930fb6e2 8191b3e35 cc6c70ee8 cfc5ea450 4b9e6ca5c 1a02b8b3d
  a81ce4a87 9831f3561 f70722b34 1c1d13e9b 38bfcd2d0 53d8afc76 2e908499f a13d22775
  7edb51529 3df03bd0a cc91246ab 1e167309d 5601b728a 7863f153a 36565a387 5730c5a46
  65f940596 2b28cb964 251ff90a9 a4d153fd3 297f9bd23 4b1b4ba62 0ef8b93a9 3a7acabc9
  51694f321 fd4a1ca10 e2d9e81a8 e5b38d1ed 1f4a5f3ec 7cec4598f 9ba6f0f17 5d4d4be79
  ecc43fb26 d58a34bc4 82bd5e2e9 781f1e319 edc99985b 9cb3cecce 0b53228b5 adf0a5f31
  c12fdba75 7aaa60a3b f30a90f6f e7baa2c9c 752838c8e 15a407af5 093fea7a8 2351756bd
  2571b00e7 75a5fa385 6f76ade06 c546daa92 2e6cce727 b06a59fbe 19b9a7de8 3e0da0d72
  3d9b0715c c1273a55a 5ce78a8a8 409f63b49 a653d8de9 0d9a6b385 fb5821f42 1e368a332
  bbb5a0c82 179313309 8a4c59f31 1e85491a7 e62076bda 292b41eb7 86d138532 5e9d27e4e
  faa9b419b 8ae1c8f93 d15170c26 693d8e47e 5104cb6c6 30b38dfb3 84b3d2a3a 4c7df87d2
  9e22bf9ae 9c595d309 4d4aa6072 ae09754fa 4ba457e41 13f043b2e 7269ca5b2 8ffd6ce80
  1cf91c286 545ecdb2c 4c2c3fc76 657c5bfa0 781aad4f7 744615517 f4348f1d6 686c5435b
  449b5b912 d9bd0d401 4790335e0 c7b089a33 f8690fcd2 382e81716 b4e1dfa66 913784709
  b16dc10db c26fbd513 85bda9f69 43bd2728d d4eeafe20 aa3ebac0f 05bf53c47 9318dd428
  1ac4fe634 4434f7913 c40287afa d83c7dba5 5aed61706 b3c6ccba6 054cb392d 7d7a07c71
`;

/** Two halves of 18 cells each: whole numbers above 32 bits cannot be XORed. */
type Halves = readonly [number, number];

const CODES: readonly Halves[] = FIELDS.trim()
  .split(/\s+/)
  .map((hex): Halves => {
    const n = Number.parseInt(hex, 16);
    return [Math.floor(n / 2 ** 18), n % 2 ** 18];
  });

/** How many identities there are: 0 to this less one. */
export const IDENTITY_COUNT = CODES.length;

/**
 * The field of an identity.
 * @param identity a whole number from 0 to IDENTITY_COUNT - 1.
 * @returns 36 cells, row after row from the upper left of the upright mark; 1 white, 0 black.
 */
export function fieldOf(identity: number): readonly (0 | 1)[] {
  const [upper, lower] = CODES[identity]!;
  return Array.from({ length: 36 }, (_, i) => (((i < 18 ? upper : lower) >>> (17 - (i % 18))) & 1) as 0 | 1);
}

/** What a field of 36 cells was recognised as. */
export interface FieldMatch {
  readonly identity: number;
  /** True when the field was read as in a mirror. */
  readonly mirrored: boolean;
  /** The 36 cells that the code book has there, in the order of the reading. */
  readonly expected: readonly (0 | 1)[];
  /** Which corner of the reading is the upright mark's upper left, upper right, lower right, lower left. */
  readonly corners: readonly [number, number, number, number];
  /** Cells that differ from the code book. */
  readonly wrongCells: number;
}

/**
 * Looks a field up in the code book, in all eight poses.
 * @param cells 36 cells as read, row after row; corners of the reading are numbered 0 upper left, 1 upper right,
 *   2 lower right, 3 lower left.
 * @param maxWrong most cells that may differ; at most 5 keeps the answer unique.
 * @returns the match, or null when nothing in the book is as near as that.
 */
export function matchField(cells: ArrayLike<number>, maxWrong: number): FieldMatch | null {
  for (let pose = 0; pose < 8; pose++) {
    const order = POSES[pose]!;
    let upper = 0;
    let lower = 0;
    for (let i = 0; i < 18; i++) {
      upper = (upper << 1) | cells[order[i]!]!;
      lower = (lower << 1) | cells[order[18 + i]!]!;
    }
    for (let identity = 0; identity < CODES.length; identity++) {
      const code = CODES[identity]!;
      const wrongCells = ones(upper ^ code[0]) + ones(lower ^ code[1]);
      if (wrongCells <= maxWrong) {
        return { identity, ...seenIn(pose, identity), wrongCells };
      }
    }
  }
  return null;
}

function seenIn(pose: number, identity: number): Pick<FieldMatch, 'mirrored' | 'expected' | 'corners'> {
  const expected = new Array<0 | 1>(36).fill(0);
  fieldOf(identity).forEach((bit, i) => {
    expected[POSES[pose]![i]!] = bit;
  });
  const turn = (k: number): number => (k + pose) % 4;
  const mirrored = pose >= 4;
  const corners = mirrored
    ? ([turn(1), turn(0), turn(3), turn(2)] as const)
    : ([turn(0), turn(1), turn(2), turn(3)] as const);
  return { mirrored, expected, corners };
}

/** For each pose, which cell of the reading is cell i of the upright field. */
const POSES: readonly (readonly number[])[] = Array.from({ length: 8 }, (_, pose) =>
  Array.from({ length: 36 }, (_, i) => {
    let row = Math.floor(i / FIELD_CELLS);
    let column = i % FIELD_CELLS;
    if (pose >= 4) column = FIELD_CELLS - 1 - column;
    // One quarter turn moves the upright mark's upper left corner to the reading's upper right.
    for (let t = 0; t < pose % 4; t++) [row, column] = [column, FIELD_CELLS - 1 - row];
    return row * FIELD_CELLS + column;
  }),
);

function ones(x: number): number {
  let n = x - ((x >>> 1) & 0x55555555);
  n = (n & 0x33333333) + ((n >>> 2) & 0x33333333);
  return Math.imul((n + (n >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}
