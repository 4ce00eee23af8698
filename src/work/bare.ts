import { fieldAt } from '../campaign/answers.ts';
import { makeJob } from '../campaign/job.ts';
import { questionsFor } from '../campaign/questions.ts';
import { readCampaign } from '../campaign/read.ts';
import type { Job } from '../job.ts';
import { InputFault } from '../problem.ts';
import { cardsFor, type OpenedCampaign, openCampaign } from './library.ts';

let usual: Job | undefined;

/** A job in which nothing is said: what a file is read with before there is a campaign. */
export function usualJob(): Job {
  if (!usual) {
    const cards = cardsFor(null);
    const { campaign } = readCampaign('format: 1\ncampaign: none yet\n', { file: '', cards });
    usual = makeJob(campaign!, cards);
  }
  return usual;
}

/** Plates of dropped files are A, B, C ... in their order; after Z come 27, 28. */
export function plateName(index: number): string {
  return index < 26 ? String.fromCharCode(65 + index) : String(index + 1);
}

/**
 * Opens a campaign that was just made of answers. Nobody has seen its file, so a complaint names the field it is about.
 * @param called how a field, `dryer.at`, is called where it was asked
 * @throws InputFault
 */
export function openAnswered(path: string, text: string, called: (field: string) => string): OpenedCampaign {
  try {
    return openCampaign(path, path, text);
  } catch (error) {
    if (!(error instanceof InputFault)) throw error;
    const questions = questionsFor(cardsFor(null));
    throw new InputFault(
      error.problems.map(({ where, ...rest }) => {
        const field = where?.path === undefined ? null : fieldAt(questions, where.path);
        return field === null
          ? { ...rest, ...(where ? { where } : {}) }
          : { ...rest, where: { path: called(field) } };
      }),
    );
  }
}
