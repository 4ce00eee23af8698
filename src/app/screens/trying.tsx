import { Button, Progress } from '../parts.tsx';
import { chain, keep, putBack, tried } from '../state.ts';

/** The line at the foot: it stays until what is tried is kept or put back. */
export function Trying() {
  const now = tried.value;
  if (!now) return null;
  const done = now.state !== null && now.state.state !== 'running';
  const failed = now.state?.state === 'failed';
  return (
    <section class="trying" aria-label="Trying">
      <div>
        <p>
          <b>Trying:</b> {now.parts.map((part) => part.words).join('; ')}
        </p>
        {done ? (
          <p class="small second">
            {failed
              ? now.state?.problems.map((problem) => problem.sentence).join(' ') ||
                'This change could not be computed.'
              : chain.value?.headline}
          </p>
        ) : (
          <Progress share={now.state?.share ?? 0} words={now.state?.doing ?? 'Begins'} />
        )}
      </div>
      <div class="buttons">
        {!failed && (
          <Button kind="main" onPress={() => void keep()}>
            Keep
          </Button>
        )}
        <Button onPress={() => void putBack()}>Put back</Button>
      </div>
    </section>
  );
}
