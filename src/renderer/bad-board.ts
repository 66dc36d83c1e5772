import { type BadPhoto, brightest, changeOnBoard, flatPartAt, mmPerDeg, ramp } from './bad-plane.ts';
import { readyLamp } from './lamp.ts';
import { Random } from './random.ts';
import type { Scene } from './scene.ts';

/** Boards, walls and what stands before them: each takes a good scene and spoils it. */

type Shade = (X: number, Y: number) => number;

/** Every place's light times a share. */
function shaded(scene: Scene, shade: Shade): BadPhoto {
  return {
    scene,
    edits: { light: (plane, places) => changeOnBoard(plane, places, (light, X, Y) => light * shade(X, Y)) },
  };
}

/** Card that stands out in the middle by 20 to 40 mm. */
export function bowedCard(scene: Scene, random: Random): BadPhoto {
  return { scene: { ...scene, board: { ...scene.board, bowMm: random.uniform(20, 40) } }, edits: {} };
}

/** A mirror-like board: the lamp itself is seen in it. */
export function glossyBoard(scene: Scene, random: Random): BadPhoto {
  const { place } = scene.camera;
  const camera = {
    ...scene.camera,
    place: { ...place, right: random.uniform(-350, 350), up: random.uniform(50, 350) },
  };
  return { scene: { ...scene, camera, board: { ...scene.board, finish: 'gloss' } }, edits: {} };
}

/** Two boards, the upper one darker, with a dark gap between them a little above or below the edge. */
export function boardJoint(scene: Scene, random: Random): BadPhoto {
  const at = flatPartAt(scene).Y + random.uniform(-0.25, 0.35) * mmPerDeg(scene);
  const gap = random.uniform(2, 8);
  const upper = random.uniform(0.7, 0.95);
  return shaded(scene, (_, Y) => (Math.abs(Y - at) < gap / 2 ? 0.12 : Y > at ? upper : 1));
}

/** A garage door: grooves along it, a dark line with a lighter lip, 90 to 180 mm apart, and a colour that swallows light. */
export function panelledDoor(scene: Scene, random: Random): BadPhoto {
  const pitch = random.uniform(90, 180);
  const phase = random.uniform(0, pitch);
  const groove = random.uniform(5, 14);
  return shaded(scene, (_, Y) => {
    const t = (((Y + phase) % pitch) + pitch) % pitch;
    return t < groove ? 0.4 : t < 2 * groove ? 1.12 : 1;
  });
}

/** A brick wall: joints of 10 mm every 75 mm, no two bricks alike. */
export function bricks(scene: Scene, random: Random): BadPhoto {
  const seed = random.below(1e6);
  const phase = random.uniform(0, 75);
  const tone = (i: number, j: number): number => {
    const h = Math.imul(i * 73856093 + j * 19349663 + seed, 2654435761) >>> 8;
    return 0.55 + (0.35 * (h & 65535)) / 65535;
  };
  return shaded(scene, (X, Y) => {
    const j = Math.floor((Y + phase) / 75);
    const x = X + 4000 + (j % 2) * 112.5;
    const joint = Y + phase - 75 * j < 10 || x % 225 < 10;
    return joint ? 0.95 : tone(Math.floor(x / 225), j);
  });
}

/** Stains and runs of water: soft blotches, and streaks down the board. */
export function dirtyBoard(scene: Scene, random: Random): BadPhoto {
  const { left, right, bottom, top } = scene.board;
  const blots = Array.from({ length: 30 }, () => ({
    X: random.uniform(left, right),
    Y: random.uniform(bottom, top),
    size: random.uniform(30, 200),
    dark: random.uniform(0.1, 0.5),
  }));
  const runs = Array.from({ length: 14 }, () => ({
    X: random.uniform(left, right),
    wide: random.uniform(5, 25),
    dark: random.uniform(0.1, 0.4),
  }));
  return shaded(scene, (X, Y) => {
    let share = 1;
    for (const b of blots) {
      const d = ((X - b.X) ** 2 + (Y - b.Y) ** 2) / (b.size * b.size);
      if (d < 6) share *= 1 - b.dark * Math.exp(-d);
    }
    for (const r of runs) if (Math.abs(X - r.X) < r.wide) share *= 1 - r.dark;
    return share;
  });
}

/** Somebody stands in the beam: two legs and a coat, black from the floor up, where the flat part should be. */
export function personInBeam(scene: Scene, random: Random): BadPhoto {
  const at = flatPartAt(scene).X + random.uniform(-1.5, 1.5) * mmPerDeg(scene);
  const half = random.uniform(0.8, 2) * mmPerDeg(scene);
  const soft = random.uniform(8, 40);
  return shaded(scene, (X) => 1 - 0.98 * ramp(half - Math.abs(X - at), soft));
}

/** A tripod's leg or a strap before the lamp: a slanting shadow that crosses the edge. */
export function slantingShadow(scene: Scene, random: Random): BadPhoto {
  const { X: X0, Y: Y0 } = flatPartAt(scene);
  const turn = random.uniform(20, 70) * (Math.PI / 180) * random.pick([-1, 1]);
  const half = random.uniform(0.1, 0.5) * mmPerDeg(scene);
  const soft = random.uniform(5, 60);
  return shaded(scene, (X, Y) => {
    const away = Math.abs((X - X0) * Math.sin(turn) + (Y - Y0) * Math.cos(turn));
    return 1 - 0.97 * ramp(half - away, soft);
  });
}

/** A rail or the bonnet's lip before the lamp: the shadow's own edge lies along the cut-off, near it. */
export function shadowAlongEdge(scene: Scene, random: Random): BadPhoto {
  const { X: X0, Y: Y0 } = flatPartAt(scene);
  const deg = mmPerDeg(scene);
  const at = Y0 + random.uniform(-1.2, 0.2) * deg;
  const half = random.uniform(0.15, 0.5) * deg;
  const slope = Math.tan(random.uniform(-1.5, 1.5) * (Math.PI / 180));
  const soft = random.uniform(0.1, 0.5) * deg;
  return shaded(scene, (X, Y) => 1 - 0.95 * ramp(half - Math.abs(Y - at - slope * (X - X0)), soft));
}

/** The board ends just below the edge, though the job says that it goes on: its top looks like a cut-off. */
export function boardEndsBelowEdge(scene: Scene, random: Random): BadPhoto {
  const top = flatPartAt(scene).Y - random.uniform(0.3, 0.9) * mmPerDeg(scene);
  const prints = scene.board.prints;
  return { scene: { ...scene, board: { ...scene.board, top, prints } }, edits: {} };
}

/** No lamp: a large print of a beam hangs on the board, lit by the room. */
export function printedBeam(scene: Scene, random: Random): BadPhoto {
  const lamp = readyLamp(scene.lamps[0]!);
  const { axisFoot, distanceMm } = scene.board.stand;
  const { left, right } = scene.board;
  const gamma = random.uniform(0.5, 1);
  let peak = 0;
  for (let u = -0.1; u < 0.1; u += 0.003)
    for (let v = -0.08; v < 0.02; v += 0.002) peak = Math.max(peak, lamp.intensity(u, v));
  const dark = {
    ...scene,
    lamps: scene.lamps.map((one) => ({ ...one, lit: false })),
    ambient: { ...scene.ambient, lux: random.uniform(60, 250) },
  };
  return shaded(dark, (X, Y) => {
    if (Y < 290 || Y > 1080 || X < left + 30 || X > right - 30) return 1;
    const share = lamp.intensity((X - axisFoot.X) / distanceMm, (Y - axisFoot.Y) / distanceMm) / peak;
    return 0.06 + 0.94 * share ** gamma;
  });
}

/** Snow, dust or midges lit by the lamp, near the camera: soft bright specks over the whole picture. */
export function specks(scene: Scene, random: Random): BadPhoto {
  const seed = random.bits();
  return {
    scene,
    edits: {
      light: (plane, { width, height }) => {
        const own = new Random(seed);
        const peak = brightest(plane, width);
        const count = Math.round(own.uniform(150, 500));
        for (let k = 0; k < count; k++) {
          const x = own.uniform(0, width);
          const y = own.uniform(0, height);
          const size = (width / 2000) * own.uniform(1.5, 12);
          const light = (peak * own.uniform(0.02, 0.6)) / (1 + size / 4);
          addBlob(plane, width, height, x, y, size, light);
        }
      },
    },
  };
}

/** Adds a soft round blob of light, in place. */
export function addBlob(
  plane: Float32Array,
  width: number,
  height: number,
  x: number,
  y: number,
  size: number,
  light: number,
): void {
  const reach = Math.ceil(3 * size);
  for (let j = Math.max(0, Math.floor(y - reach)); j <= Math.min(height - 1, y + reach); j++) {
    for (let i = Math.max(0, Math.floor(x - reach)); i <= Math.min(width - 1, x + reach); i++) {
      const d = ((i - x) ** 2 + (j - y) ** 2) / (size * size);
      if (d < 9) plane[j * width + i]! += light * Math.exp(-d);
    }
  }
}
