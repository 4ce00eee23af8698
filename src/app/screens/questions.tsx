import { useSignal } from '@preact/signals';
import type { QuestionView } from '../../server/api.ts';
import { api, type Fault, Refused } from '../api.ts';
import { Bend, thingIn } from '../charts/bend.tsx';
import { Trouble } from '../parts.tsx';
import {
  allAnswers,
  answer,
  answers,
  answerUnknown,
  fieldText,
  isUnknown,
  startOver,
  usable,
} from '../reading.ts';
import { go } from '../router.ts';
import { openNew } from '../state.ts';

type Field = QuestionView['fields'][number];

/** The eight questions on one page; what stays open is assumed, with the card's wide spread. */
export function Questions({ asked }: { asked: readonly QuestionView[] }) {
  const wrong = useSignal<readonly Fault[]>([]);
  const sending = useSignal(false);
  const open = asked.filter((question) => isUnknown(question, answers.value)).length;
  const show = async () => {
    if (sending.value) return;
    sending.value = true;
    wrong.value = [];
    try {
      const summary = await api.create(
        usable.value.map((file) => file.name),
        allAnswers(asked, answers.value),
      );
      startOver();
      openNew(summary);
      go('chain');
    } catch (fault) {
      if (!(fault instanceof Refused)) throw fault;
      wrong.value = fault.faults;
    } finally {
      sending.value = false;
    }
  };
  const elsewhere = wrong.value.filter(
    ({ path }) => !asked.some((question) => question.fields.some((field) => field.id === path)),
  );
  return (
    <section aria-labelledby="questions-title">
      <h2 id="questions-title">
        {COUNTS[asked.length] ?? asked.length} questions;{' '}
        {open === 0 ? 'all are answered' : `${open} still open`}
      </h2>
      <p class="second">What you leave open is assumed with a wide spread, and the chain says so.</p>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void show();
        }}
      >
        <div class="questions">
          {asked.map((question, index) => (
            <Question key={question.id} question={question} number={index + 1} wrong={wrong.value} />
          ))}
        </div>
        <Trouble sentences={elsewhere.map(({ sentence }) => sentence)} />
        <div class="ask">
          <button type="submit" class="button main" disabled={sending.value}>
            Show the chain
          </button>
          <span class="second small">You can change every answer later, under Inputs.</span>
        </div>
      </form>
    </section>
  );
}

const COUNTS: Readonly<Record<number, string>> = { 8: 'Eight', 7: 'Seven', 6: 'Six' };

function Question(props: { question: QuestionView; number: number; wrong: readonly Fault[] }) {
  const { question, number, wrong } = props;
  const unknown = isUnknown(question, answers.value);
  const bars = question.fields.every((field) => field.kind === 'bars');
  return (
    <fieldset class={`card pad question-card${bars ? ' whole' : ''}`}>
      <legend>
        {number}. {question.words}
      </legend>
      {question.help && <p class="second small">{question.help}</p>}
      {bars ? (
        <p class="second small">{barsWords(question.fields)}</p>
      ) : (
        <div class="fields">
          {question.fields.map((field) => (
            <FieldOf
              key={field.id}
              field={field}
              faults={wrong
                .filter(({ path }) => path === field.id)
                .map(({ sentence, words }) => (words ? `${field.label}: ${words}` : sentence))}
            />
          ))}
        </div>
      )}
      <label class="unknown">
        <input
          type="checkbox"
          checked={unknown}
          onChange={(event) => answerUnknown(question, event.currentTarget.checked)}
        />
        I do not know
      </label>
    </fieldset>
  );
}

/** The bars are chosen beside the drawings above; here it says what stands there. */
function barsWords(fields: readonly Field[]): string {
  return fields
    .map((field) => `${field.label}: ${fieldText(field, answers.value) || 'nothing said'}`)
    .join('; ')
    .concat('. Change it in the table beside the drawing above.');
}

function FieldOf({ field, faults }: { field: Field; faults: readonly string[] }) {
  const text = fieldText(field, answers.value);
  const value = text === 'unknown' ? '' : text;
  const id = `field-${field.id.replace(/[^a-z0-9]+/gi, '-')}`;
  const wrong = faults.length > 0;
  const says = wrong ? `${id}-wrong` : undefined;
  const sentence = wrong && (
    <p class="wrong" id={`${id}-wrong`} role="alert">
      {faults.join(' ')}
    </p>
  );
  if (field.kind === 'text')
    return (
      <div class="field">
        <label for={id}>{field.label}</label>
        <input
          id={id}
          type="text"
          autocomplete="off"
          placeholder={field.hint ? `such as ${field.hint}` : ''}
          value={value}
          aria-invalid={wrong}
          aria-describedby={says}
          onInput={(event) => answer(field.id, event.currentTarget.value)}
        />
        {sentence}
      </div>
    );
  const drawn = field.kind === 'picture';
  return (
    <div class="field whole" role="radiogroup" aria-labelledby={`${id}-label`} aria-describedby={says}>
      <span class="label" id={`${id}-label`}>
        {field.label}
      </span>
      <div class={`choices${drawn ? ' drawings' : ''}`}>
        {field.choices
          .filter((choice) => choice.value !== 'unknown')
          .map((choice) => {
            const thing = drawn ? thingIn(`${choice.value} ${choice.label}`) : null;
            return (
              <label key={choice.value} class={`choice${thing ? ' drawn' : ''}`}>
                {thing && <Bend thing={thing} />}
                <span>
                  <input
                    type="radio"
                    name={id}
                    checked={value === choice.value}
                    onChange={() => answer(field.id, choice.value)}
                  />
                  {choice.label}
                </span>
              </label>
            );
          })}
      </div>
      {sentence}
    </div>
  );
}
