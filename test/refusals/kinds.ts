import type { Job } from '../../src/job/job.ts';
import * as board from '../../src/renderer/bad-board.ts';
import * as lamps from '../../src/renderer/bad-lamps.ts';
import * as lens from '../../src/renderer/bad-lens.ts';
import * as levels from '../../src/renderer/bad-levels.ts';
import type { PhotoEdits, PlacedPrint, Random, Scene } from '../../src/renderer/index.ts';

/** A spoilt photograph, its file and its job. */
export interface Spoilt {
  readonly scene: Scene;
  readonly edits: PhotoEdits;
  /** False: the file says nothing about how it was taken. */
  readonly exif?: boolean;
  readonly format?: 'jpeg' | 'png';
  readonly quality?: number;
  readonly job?: (job: Job) => Job;
  /** Another photo of the job: same scene in other light or from another place. */
  readonly marksShot?: Scene;
  readonly bracket?: (exposureS: number) => Scene;
  readonly lampsOff?: (exposureS: number) => Scene;
}

/** A kind of photograph that must not get a confident wrong number. */
export interface Kind {
  readonly name: string;
  /** 'number': a drop is welcome if its U covers the true one; 'none': no cut-off is to be found at all. */
  readonly expects: 'number' | 'none';
  /** Why a wrong number can't always be kept from such a photo; such kinds are counted apart. */
  readonly onlyWarned?: string;
  readonly spoil: (good: Scene, random: Random) => Spoilt;
}

const byLevels = (scene: Scene, edit: levels.LevelsEdit, more: Partial<Spoilt> = {}): Spoilt => ({
  scene,
  edits: { levels: (raster) => edit(raster) },
  ...more,
});

const kind = (name: string, expects: Kind['expects'], spoil: Kind['spoil']): Kind => ({
  name,
  expects,
  spoil,
});

/** Middle of a print, board mm. */
function middleOf(print: PlacedPrint): { readonly X: number; readonly Y: number } {
  if (print.shape.kind === 'disc') return print.shape.centre;
  const { points } = print.shape;
  return {
    X: points.reduce((s, p) => s + p.X, 0) / points.length,
    Y: points.reduce((s, p) => s + p.Y, 0) / points.length,
  };
}

/** The prints with those near `at` moved and turned about it. */
function withSheetMoved(
  scene: Scene,
  at: { readonly X: number; readonly Y: number },
  by: { readonly X: number; readonly Y: number; readonly turnDeg: number },
): Scene {
  const c = Math.cos((by.turnDeg * Math.PI) / 180);
  const s = Math.sin((by.turnDeg * Math.PI) / 180);
  const move = (p: { readonly X: number; readonly Y: number }) => ({
    X: at.X + c * (p.X - at.X) - s * (p.Y - at.Y) + by.X,
    Y: at.Y + s * (p.X - at.X) + c * (p.Y - at.Y) + by.Y,
  });
  const prints = scene.board.prints.map((print): PlacedPrint => {
    const middle = middleOf(print);
    if (Math.hypot(middle.X - at.X, middle.Y - at.Y) > 190) return print;
    return print.shape.kind === 'polygon'
      ? { ...print, shape: { kind: 'polygon', points: print.shape.points.map(move) } }
      : { ...print, shape: { ...print.shape, centre: move(print.shape.centre) } };
  });
  return { ...scene, board: { ...scene.board, prints } };
}

/** Where the good case's sheets hang (test/accuracy/draw-case.ts), found again by their pages. */
function pagesOf(scene: Scene): readonly { readonly X: number; readonly Y: number }[] {
  return scene.board.prints.filter((print) => print.reflectance === 0.85 && isPage(print)).map(middleOf);
}

function isPage(print: PlacedPrint): boolean {
  if (print.shape.kind !== 'polygon' || print.shape.points.length !== 4) return false;
  const [a, b, c] = print.shape.points as unknown as readonly { X: number; Y: number }[];
  return Math.hypot(a!.X - b!.X, a!.Y - b!.Y) > 250 && Math.hypot(c!.X - b!.X, c!.Y - b!.Y) > 190;
}

const withCamera = (scene: Scene, change: Partial<Scene['camera']>): Scene => ({
  ...scene,
  camera: { ...scene.camera, ...change },
});

/** The camera knocked by some mm and a little turn. */
function knocked(scene: Scene, random: Random, least: number, most: number): Scene {
  const { place, lookAt } = scene.camera;
  const sign = () => random.pick([-1, 1]);
  return withCamera(scene, {
    place: { ...place, right: place.right + sign() * random.uniform(least, most) },
    lookAt: {
      X: lookAt.X + sign() * random.uniform(least, most),
      Y: lookAt.Y + sign() * random.uniform(least, most),
    },
  });
}

const unlit = (scene: Scene): Scene => ({
  ...scene,
  lamps: scene.lamps.map((lamp) => ({ ...lamp, lit: false })),
});

/** Lights on, lamp off: the photo of the marks. */
function marksScene(scene: Scene): Scene {
  return {
    ...unlit(scene),
    ambient: { ...scene.ambient, lux: 150 },
    sensor: { ...scene.sensor, exposure: { auto: 'hot-spot', stops: -0.5 } },
  };
}

/** From the board's foot to above the beam, mm. */
const RAISED = 1090;

/** The four lower sheets hung above the beam, where it is dark; the upper one taken away. */
function withSheetsHigh(scene: Scene): Scene {
  const up = (p: { readonly X: number; readonly Y: number }) => ({ X: p.X, Y: p.Y + RAISED });
  const prints = scene.board.prints.flatMap((print): PlacedPrint[] => {
    if (middleOf(print).Y > 700) return [];
    return [
      print.shape.kind === 'polygon'
        ? { ...print, shape: { kind: 'polygon', points: print.shape.points.map(up) } }
        : { ...print, shape: { ...print.shape, centre: up(print.shape.centre) } },
    ];
  });
  return { ...scene, board: { ...scene.board, prints } };
}

export const KINDS: readonly Kind[] = [
  // Other light.
  kind('evening sky on the board', 'number', lamps.sunset),
  kind('torch for a lamp', 'none', lamps.torch),
  kind('street lamp or ceiling light alone', 'none', lamps.ceilingLight),
  {
    ...kind('both lamps of the pair lit', 'number', lamps.twoLamps),
    onlyWarned: 'where near field smears both edges into one, nothing shows that there are two',
  },
  {
    ...kind('twin lamps, edges run together', 'number', lamps.twinLamps),
    onlyWarned: 'two like beams that nearly agree make one edge: no photo tells whose',
  },
  kind('main beam for dipped', 'none', lamps.mainBeam),
  kind('main beam on top of dipped', 'number', lamps.mainAndDipped),
  kind('front fog lamp for dipped', 'number', lamps.frontFog),
  kind('lamp for the other side of the road', 'number', lamps.otherSide),
  kind('turn signal lit beside the lamp', 'number', lamps.blinker),
  kind('printed picture of a beam', 'none', board.printedBeam),
  // Aim that the board can't hold, and tilt.
  kind('motorcycle on its side stand', 'number', lamps.leaningMotorcycle),
  kind('lamp twisted in its bowl', 'number', lamps.twistedLamp),
  kind('edge over the top of the board', 'none', lamps.edgeOverBoard),
  kind('board ends below the edge', 'number', board.boardEndsBelowEdge),
  kind('half the board in view', 'number', (good, random) => {
    const { left, right } = good.board;
    const side = random.pick([-1, 1]);
    const lookAt = { X: (left + right) / 2 + side * random.uniform(0.4, 0.7) * ((right - left) / 2), Y: 650 };
    return { scene: withCamera(good, { lookAt, focal35Mm: 1.5 * good.camera.focal35Mm }), edits: {} };
  }),
  // Marks.
  kind('sheet hung elsewhere', 'number', (good, random) => {
    const at = random.pick(pagesOf(good));
    const by = { X: random.pick([-1, 1]) * random.uniform(15, 120), Y: random.uniform(-60, 60), turnDeg: 0 };
    return { scene: withSheetMoved(good, at, by), edits: {} };
  }),
  kind('sheet slipped and turned', 'number', (good, random) => {
    const at = random.pick(pagesOf(good));
    const turnDeg = random.pick([-1, 1]) * random.uniform(4, 35);
    return { scene: withSheetMoved(good, at, { X: 0, Y: -random.uniform(5, 40), turnDeg }), edits: {} };
  }),
  kind("another job's sheets", 'none', (good) => ({
    scene: good,
    edits: {},
    job: (job) => withSheets(job, (s) => ({ ...s, number: s.number + 20 })),
  })),
  kind("another board's places", 'none', (good, random) => ({
    scene: good,
    edits: {},
    job: (job) => {
      const by = random.uniform(150, 400);
      return withSheets(job, (s, i) => ({
        ...s,
        at: s.at && {
          X: { ...s.at.X, mm: s.at.X.mm * 0.8 + (i % 2) * by },
          Y: { ...s.at.Y, mm: s.at.Y.mm + i * 60 },
        },
      }));
    },
  })),
  kind('marks in one corner only', 'number', (good) => {
    const page = pagesOf(good).reduce((a, b) => (b.X < a.X || (b.X < a.X + 300 && b.Y < a.Y) ? b : a));
    const prints = good.board.prints.filter((print) => {
      const m = middleOf(print);
      return Math.hypot(m.X - page.X, m.Y - page.Y) < 190;
    });
    return { scene: { ...good, board: { ...good.board, prints } }, edits: {} };
  }),
  kind('board seen far too slantwise', 'number', (good, random) => {
    const deg = random.uniform(60, 76) * (Math.PI / 180);
    const { distanceMm } = good.board.stand;
    const reach = random.uniform(0.8, 1) * distanceMm;
    const right = random.pick([-1, 1]) * reach * Math.sin(deg);
    const place = { right, forward: distanceMm - reach * Math.cos(deg), up: 400 };
    return { scene: withCamera(good, { place, focal35Mm: 1.1 * good.camera.focal35Mm }), edits: {} };
  }),
  kind('camera moved after the marks shot', 'number', (good, random) => ({
    scene: good,
    edits: {},
    marksShot: marksScene(knocked(good, random, 15, 80)),
  })),
  kind('camera moved after the marks shot, sheets in the dark', 'number', (good, random) => {
    const high = withSheetsHigh(good);
    return {
      scene: high,
      edits: {},
      marksShot: marksScene(knocked(high, random, 15, 80)),
      job: (job) => {
        const sheets = job.board.sheets.slice(0, 4).map((s) => ({
          ...s,
          at: s.at && { ...s.at, Y: { ...s.at.Y, mm: s.at.Y.mm + RAISED } },
        }));
        return { ...job, board: { ...job.board, sheets } };
      },
    };
  }),
  kind('bracket with a moved camera', 'number', (good, random) => {
    const moved = knocked(good, random, 20, 120);
    return {
      scene: { ...good, sensor: { ...good.sensor, exposure: { auto: 'hot-spot', stops: -2.5 } } },
      edits: {},
      bracket: (s) => ({ ...moved, sensor: { ...good.sensor, exposure: { s: 6 * s } } }),
    };
  }),
  kind('lamps-off photo from another place', 'number', (good, random) => ({
    scene: { ...good, ambient: { ...good.ambient, lux: 12 } },
    edits: {},
    lampsOff: (s) => ({
      ...unlit(knocked(good, random, 40, 150)),
      ambient: { ...good.ambient, lux: 12 },
      sensor: { ...good.sensor, exposure: { s } },
    }),
  })),
  // Board and wall.
  kind('glossy board', 'number', board.glossyBoard),
  kind('bowed card', 'number', board.bowedCard),
  kind('two boards, joint at the edge', 'number', board.boardJoint),
  kind('panelled garage door', 'number', board.panelledDoor),
  kind('brick wall', 'number', board.bricks),
  kind('dirty or wet board', 'number', board.dirtyBoard),
  kind('person in the beam', 'number', board.personInBeam),
  kind('slanting shadow across the edge', 'number', board.slantingShadow),
  kind('shadow along the edge', 'number', board.shadowAlongEdge),
  kind('snow or dust in the beam', 'number', board.specks),
  // Camera.
  kind('too dark', 'number', (good, random) => ({
    scene: exposed(good, -random.uniform(4.5, 7)),
    edits: {},
  })),
  kind('too bright', 'number', (good, random) => ({
    scene: exposed(good, random.uniform(4, 6.5)),
    edits: {},
  })),
  kind('camera moved along the edge', 'number', lens.movedAlong),
  kind('camera moved across the edge', 'number', lens.movedAcross),
  kind('out of focus', 'number', lens.outOfFocus),
  kind('ghost spot on the edge', 'number', lens.ghostSpot),
  {
    ...kind('smear on the lens', 'number', lens.lensSmear),
    onlyWarned: 'the drop holds, but a streak that ends at the elbow can pass for a part of the rise',
  },
  kind('bands of a pulsed lamp', 'number', lens.banding),
  kind('double exposure of night mode', 'number', lens.doubleExposure),
  kind('strong local tone mapping', 'number', (good) => ({
    scene: { ...good, tone: { curve: 'local', strength: 1 } },
    edits: {},
  })),
  kind('halos of local contrast', 'number', lens.haloed),
  // The file.
  kind('mirrored picture', 'none', (good) => byLevels(good, levels.mirrored)),
  kind('picture upside down', 'none', (good) => byLevels(good, levels.upsideDown)),
  kind('picture on its side', 'none', (good) => byLevels(good, levels.onItsSide)),
  kind('screenshot', 'number', (good, random) =>
    byLevels(good, levels.screenshot(random), { exif: false, format: 'png' }),
  ),
  kind('levels changed in an editor', 'number', (good, random) =>
    byLevels(
      good,
      levels.levelled(random.uniform(0.05, 0.2), random.uniform(0.8, 1), random.uniform(0.6, 1.5)),
      { exif: false, quality: 85 },
    ),
  ),
  kind('cropped off centre', 'number', (good, random) => {
    const left = random.uniform(0, 0.12);
    return byLevels(good, levels.cropped(left, random.uniform(0, 0.2), left + 0.85, 0.97), { exif: false });
  }),
  kind('photograph of a screen', 'number', (good, random) => byLevels(good, levels.offAScreen(random))),
  kind('heavy JPEG', 'number', (good) => ({ scene: good, edits: {}, quality: 10 })),
  kind('tiny picture', 'number', (good) =>
    byLevels(good, (r) => levels.resized(r, 640, 480), { exif: false, quality: 75 }),
  ),
  kind('digital zoom', 'number', (good, random) => byLevels(good, levels.blownUp(random.uniform(2.5, 6)))),
];

function exposed(scene: Scene, stops: number): Scene {
  return { ...scene, sensor: { ...scene.sensor, exposure: { auto: 'hot-spot', stops } } };
}

function withSheets(
  job: Job,
  change: (sheet: Job['board']['sheets'][number], i: number) => Job['board']['sheets'][number],
): Job {
  return { ...job, board: { ...job.board, sheets: job.board.sheets.map(change) } };
}
