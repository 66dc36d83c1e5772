import { describe, expect, test } from 'vitest';
import type { Registration } from '../../src/core/board-view.ts';
import { fitHomography } from '../../src/core/geometry/homography.ts';
import type { PhotoFacts } from '../../src/core/raster.ts';
import { cameraToBoardMm, seenOddities } from '../../src/job/oddities-seen.ts';
import type { ReadShot, ShotResult } from '../../src/job/result.ts';
import { readyCamera } from '../../src/renderer/camera.ts';
import { boardPlace } from '../../src/renderer/space.ts';

/** A board and a camera drawn by the renderer, which knows nothing of the core's pose arithmetic. */
function view(camera: { forward: number; right: number; up: number }, boardMm: number, focal35Mm: number) {
  const board = boardPlace(
    { distanceMm: boardMm, axisFoot: { X: 0, Y: 0 }, outOfPlumbDeg: 1.5, yawDeg: -2, rollDeg: 0.4 },
    null,
  );
  const eye = readyCamera(
    {
      widthPx: 3000,
      heightPx: 2250,
      place: camera,
      lookAt: { X: 60, Y: -90 },
      rollDeg: 1.1,
      focal35Mm,
      k1: 0,
      k2: 0,
      principalPx: { x: 0, y: 0 },
    },
    board,
  );
  const points = [-700, 50, 640].flatMap((X) => [-400, -90, 260].map((Y) => ({ X, Y })));
  const homography = fitHomography(
    points,
    points.map((p) => eye.project(board.place(p.X, p.Y))),
  )!;
  return { homography, radial: { k1: 0, cx: 0, cy: 0, scalePx: 1 } };
}

function facts(focal35Mm: number | null): PhotoFacts {
  return { width: 3000, height: 2250, focal35Mm } as PhotoFacts;
}

/** A shot with only what these questions look at. */
function shot(
  id: string,
  lampMm: number,
  seen: Registration['view'],
  focal35Mm: number | null = 27,
): ShotResult {
  return {
    state: 'read',
    shot: id,
    lamp: 'left-dip',
    facts: facts(focal35Mm),
    registration: { view: seen },
    view: { distanceMm: lampMm },
  } as unknown as ReadShot;
}
const lamps = [{ id: 'left-dip', title: 'Left dipped beam' }] as never;

describe('a distance that the marks contradict', () => {
  test.each([
    [{ forward: -900, right: 700, up: 400 }, 5000, 27],
    [{ forward: -2100, right: -350, up: 600 }, 7620, 52],
    [{ forward: 300, right: 900, up: 200 }, 4100, 26],
  ])(
    'the camera at %o before a board %d mm away is found within 1 %% (focal %d mm)',
    (place, boardMm, focal) => {
      // True distance at right angles to the board: its normal is 1.5 deg up and 2 deg aside of straight ahead.
      const board = boardPlace(
        { distanceMm: boardMm, axisFoot: { X: 0, Y: 0 }, outOfPlumbDeg: 1.5, yawDeg: -2, rollDeg: 0.4 },
        null,
      );
      const foot = board.place(0, 0);
      const truth = Math.abs(
        (foot.right - place.right) * board.away.right +
          (foot.forward - place.forward) * board.away.forward +
          (foot.up - place.up) * board.away.up,
      );
      const found = cameraToBoardMm(view(place, boardMm, focal), facts(focal))!;
      expect(Math.abs(found / truth - 1)).toBeLessThan(0.01);
    },
  );

  test('a camera 2.21 times as far as the lamps asks, 2.19 times does not; 0.59 asks, 0.61 does not', () => {
    const seen = view({ forward: -1000, right: 500, up: 300 }, 5000, 27);
    const camera = cameraToBoardMm(seen, facts(27))!;
    const asks = (share: number) => seenOddities({ lamps }, [shot('a', camera / share, seen)]).length;
    expect([2.21, 2.19, 0.61, 0.59].map(asks)).toEqual([1, 0, 0, 1]);
  });

  test('5 m typed as 50 m is asked about; without a focal length nothing can be said', () => {
    const seen = view({ forward: -1000, right: 500, up: 300 }, 5000, 27);
    expect(seenOddities({ lamps }, [shot('left-1', 50_000, seen)])[0]).toMatch(
      /left-1: by the marks .* 6\.0 m .* 50\.0 m from lamp to board/,
    );
    expect(seenOddities({ lamps }, [shot('left-1', 50_000, seen, null)])).toEqual([]);
  });

  test('two distances swapped are asked about, in their order they are not', () => {
    const near = view({ forward: -800, right: 500, up: 300 }, 5000, 27);
    const far = view({ forward: -800, right: 500, up: 300 }, 7600, 27);
    expect(seenOddities({ lamps }, [shot('a', 5000, near), shot('b', 7600, far)])).toEqual([]);
    expect(seenOddities({ lamps }, [shot('a', 7600, near), shot('b', 5000, far)]).join()).toMatch(
      /Were the two distances swapped/,
    );
  });
});
