import { own } from './measured.ts';
import { inMm, typedMm, type UncheckedJob } from './oddity-words.ts';

/** Largest step at the board's foot that is a step, and steepest ground that is a floor. */
const STEP_MM = 300;
const STEP_SHARE = 0.05;
/** A level line is stretched between the ground and arm's reach, mm. */
const LINE_MM = 2500;

/** Questions about heights of floor, level line and board: signs above all. */
export function levelOddities(job: UncheckedJob): readonly string[] {
  const { method } = job.file.bay;
  if (method.kind === 'level-datum') return datumOddities(job);
  return method.kind === 'floor' ? floorOddities(job) : [];
}

function floorOddities(job: UncheckedJob): readonly string[] {
  const { method, distance } = job.file.bay;
  if (method.kind !== 'floor') return [];
  const out: string[] = [];
  if (method.footAboveTyrePlane !== undefined) {
    const foot = typedMm(method.footAboveTyrePlane);
    const over = typedMm(distance);
    if (Math.abs(foot) > Math.max(STEP_MM, STEP_SHARE * over)) {
      out.push(
        `The board's foot ${inMm(Math.abs(foot))} ${foot < 0 ? 'below' : 'above'} the plane of the tyres is ${((100 * Math.abs(foot)) / over).toFixed(0)} % of the distance. Is that the foot, or a height on the board?`,
      );
    }
  }
  const origin = typedMm(method.originAboveFoot);
  if (origin < 0 || origin > LINE_MM) {
    out.push(
      `The board's zero is put ${inMm(Math.abs(origin))} ${origin < 0 ? 'below' : 'above'} its foot. Measured up from the foot it is positive, and seldom over 2.5 m.`,
    );
  }
  const foot = method.footAboveTyrePlane === undefined ? 0 : typedMm(method.footAboveTyrePlane);
  for (const lamp of job.lamps) {
    const { extent } = job.board;
    if (lamp.centreHeight === null || extent === null) continue;
    const Y = lamp.centreHeight.mm - foot - origin;
    // A centre mark just off the card is no harm; a board that stands elsewhere is.
    if (Y > extent.top + 400 || Y < extent.bottom - 100) {
      out.push(
        `${lamp.title}: straight ahead of its centre would be ${inMm(Math.abs(Y))} ${Y < 0 ? 'below' : 'above'} the board's zero, off the board (${inMm(extent.bottom)} to ${inMm(extent.top)}). Is a height counted from elsewhere?`,
      );
    }
  }
  return out;
}

function datumOddities(job: UncheckedJob): readonly string[] {
  const { method } = job.file.bay;
  if (method.kind !== 'level-datum') return [];
  const out: string[] = [];
  const front = typedMm(method.frontContact);
  const rear = typedMm(method.rearContact);
  const board = typedMm(method.boardOrigin);
  if (front > 50 && rear > 50) {
    out.push(
      `Both tyre contacts stand above the level line (${inMm(front)} and ${inMm(rear)}). What is below the line counts negative: is the sign right?`,
    );
  } else if (Math.abs(front) > 50 && Math.abs(rear) > 50 && front * rear < 0) {
    out.push(
      `One tyre contact is above the level line and one below (${inMm(front)} and ${inMm(rear)}). Has one lost its sign?`,
    );
  }
  const ground = Math.min(front, rear);
  if (Math.abs(board - ground) > LINE_MM) {
    out.push(
      `The board's zero is ${inMm(Math.abs(board - ground))} ${board < ground ? 'below' : 'above'} the ground under the tyres. Were both counted from the same line, negative below it?`,
    );
  } else if (board < ground - STEP_MM) {
    out.push(
      `The board's zero lies ${inMm(ground - board)} below the ground under the tyres. Is its sign right?`,
    );
  }
  for (const lamp of job.lamps) {
    const typed = own(method.lampCentres, lamp.id);
    if (typed === undefined) continue;
    const over = typedMm(typed) - front;
    if (over < 200 || over > 1700) {
      out.push(
        `${lamp.title}: its centre would be ${inMm(Math.abs(over))} ${over < 0 ? 'below' : 'above'} the ground at the front tyres. Counted from the level line, what is below it is negative.`,
      );
    } else if (lamp.centreHeight !== null && Math.abs(over - lamp.centreHeight.mm) > 40) {
      out.push(
        `${lamp.title}: ${inMm(over)} over the ground by the level line, ${inMm(lamp.centreHeight.mm)} by the tape. Which is right?`,
      );
    }
  }
  return out;
}
