import type { SheetPlace } from '../vision/register-board.ts';
import { surveyBoard } from '../vision/survey-board.ts';
import type { Job } from './job.ts';
import type { PhotoShelf } from './photo-shelf.ts';
import type { SeenPhoto } from './seen-photo.ts';

/** The board's sheets with places, and what the survey had to say. */
export interface Survey {
  readonly sheets: readonly SheetPlace[];
  /** Why sheets without a place got none. */
  readonly refusal: { readonly detail: string; readonly advice: string } | null;
  readonly warnings: readonly string[];
}

/** More photos than this add no more to a survey. */
const MOST_PHOTOS = 12;

/**
 * Places for sheets that the file gives none: from the marks shots, else from the shots themselves. Sheets that the file
 * places stay as anchors. Photos that can't be opened are passed over here: reading their shot will say why.
 */
export async function surveySheets(job: Job, shelf: PhotoShelf, signal?: AbortSignal): Promise<Survey> {
  const { sheets, levelLine, checkDistance } = job.board;
  if (sheets.every((sheet) => sheet.at !== null)) return { sheets, refusal: null, warnings: [] };
  const marksShots = [
    ...new Set(job.shots.flatMap((shot) => (shot.marksShot === null ? [] : [shot.marksShot]))),
  ];
  const paths = marksShots.length > 0 ? marksShots : [...new Set(job.shots.map((shot) => shot.photos[0]!))];
  const photos: SeenPhoto[] = [];
  for (const path of paths.slice(0, MOST_PHOTOS)) {
    signal?.throwIfAborted();
    try {
      photos.push(await shelf.look(path));
    } catch {
      // Its own shot reports it.
    }
  }
  const survey = surveyBoard({
    photos: photos.map((p) => ({ found: p.marks, photo: p.size })),
    sheets,
    levelLine,
    checkDistance,
  });
  if (!survey.found) return { sheets, refusal: survey, warnings: [] };
  return { sheets: survey.sheets, refusal: null, warnings: survey.warnings };
}
