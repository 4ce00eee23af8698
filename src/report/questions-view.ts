import type { PartSaid } from '../campaign/answers.ts';
import type { Choice, Question } from '../campaign/questions.ts';
import type { QuestionView } from './views.ts';

/** A part that is no bar, as the field for bars carries it. */
const NO_BAR = 'no bar';

/** The eight questions for a page: ids as `question.field`, one field for bars a file, pre-filled from what was found. */
export function questionsView(
  questions: readonly Question[],
  files: readonly Readonly<{ file: string; bars: readonly PartSaid[] }>[],
): QuestionView[] {
  return questions.map(({ id, words, help, fields }) => ({
    id,
    words,
    help,
    fields: fields.flatMap((field) =>
      field.kind === 'bars'
        ? files.map(({ file, bars }) => ({
            id: barsField(file),
            label: file,
            kind: field.kind,
            choices: [...field.choices, { value: NO_BAR, label: NO_BAR }],
            value: bars.map((bar) => `${bar.part} ${bar.orientation}`).join(', '),
            hint: '',
          }))
        : [
            {
              id: `${id}.${field.id}`,
              label: field.label,
              kind: field.kind,
              choices: field.choices.map((choice) =>
                field.kind === 'picture' ? { ...choice, value: thingOf(choice) } : choice,
              ),
              value: field.value,
              hint: field.hint,
            },
          ],
    ),
  }));
}

/** A picture is chosen by the thing that is drawn; its text for the campaign is longer. */
function thingOf(choice: Choice): string {
  return /coin|cup|plate/.exec(choice.label)?.[0] ?? choice.value;
}

/** Answers as the campaign takes them: things of pictures become what they stand for. */
export function answersAsText(
  questions: readonly Question[],
  answers: Readonly<Record<string, string>>,
): Record<string, string> {
  const texts: Record<string, string> = { ...answers };
  for (const { id, fields } of questions)
    for (const field of fields.filter((one) => one.kind === 'picture')) {
      const key = `${id}.${field.id}`;
      const chosen = field.choices.find((choice) => thingOf(choice) === answers[key]);
      if (chosen) texts[key] = chosen.value;
    }
  return texts;
}

function barsField(file: string): string {
  return `bars.${file}`;
}

/** A bar as the person confirmed or corrected it; null where they say that it is none. */
export function asAnswered(
  bar: PartSaid,
  file: string,
  answers: Readonly<Record<string, string>>,
): PartSaid | null {
  const said = new Map(
    (answers[barsField(file)] ?? '').split(',').flatMap((text) => {
      const match = /^\s*(\d+)\s+(.+?)\s*$/.exec(text);
      return match ? [[Number(match[1]), match[2]!] as const] : [];
    }),
  );
  const orientation = said.get(bar.part) ?? bar.orientation;
  return orientation === NO_BAR ? null : { ...bar, orientation };
}
