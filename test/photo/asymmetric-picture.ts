export const WIDTH = 96;
export const HEIGHT = 64;

/** Patches whose centres are far from every axis of symmetry, in the upright picture. */
export const PATCHES = [
  { name: 'red', x: 16, y: 12, colour: [220, 40, 40] },
  { name: 'green', x: 88, y: 36, colour: [40, 200, 60] },
  { name: 'blue', x: 48, y: 52, colour: [60, 80, 230] },
] as const;
export const GROUND = [30, 30, 30] as const;

/** 96 x 64, RGB: red block top left, green strip at the right, blue square below the middle, dark grey between. */
export function asymmetricPicture(): Uint8Array {
  const data = new Uint8Array(WIDTH * HEIGHT * 3).fill(30);
  const rect = (x0: number, y0: number, x1: number, y1: number, colour: readonly number[]) => {
    for (let y = y0; y < y1; y++) for (let x = x0; x < x1; x++) data.set(colour, (y * WIDTH + x) * 3);
  };
  rect(0, 0, 32, 24, PATCHES[0].colour);
  rect(80, 8, 96, 64, PATCHES[1].colour);
  rect(40, 44, 56, 60, PATCHES[2].colour);
  return data;
}
