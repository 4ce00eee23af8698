import { singleKeys, THEMES, theme } from '../choices.ts';
import { Button, Headline } from '../parts.tsx';
import { addressOf, go } from '../router.ts';
import { KeyTable } from '../shell.tsx';
import { campaign, campaigns, open } from '../state.ts';

/** Theme, keys, other jobs. */
export function More() {
  const others = campaigns.value ?? [];
  return (
    <>
      <div class="lede">
        <div>
          <Headline>{headline()}</Headline>
          <p>What you choose here is kept in this browser.</p>
        </div>
      </div>
      <div class="more-page">
        <section class="card pad">
          <fieldset>
            <legend class="label">Theme</legend>
            <div class="choices">
              {THEMES.map(({ value, label }) => (
                <label class="choice" key={value}>
                  <input
                    type="radio"
                    name="theme"
                    checked={theme.value === value}
                    onChange={() => {
                      theme.value = value;
                    }}
                  />
                  {label}
                </label>
              ))}
            </div>
          </fieldset>
        </section>
        <section class="card pad">
          <h2>Keys</h2>
          <KeyTable />
          <label class="unknown">
            <input
              type="checkbox"
              checked={singleKeys.value}
              onChange={(event) => {
                singleKeys.value = event.currentTarget.checked;
              }}
            />
            Single keys act outside fields
          </label>
        </section>
        <section class="card pad">
          <h2>Jobs</h2>
          <ul class="jobs">
            {others.map((summary) => (
              <li key={summary.id}>
                <div class="line">
                  <span>
                    <b>{summary.name}</b>
                    {summary.invented && <span class="second small"> · Example, invented</span>}
                  </span>
                  {summary.id === campaign.value?.id ? (
                    <span class="second">Open now</span>
                  ) : (
                    <Button
                      label={`Open ${summary.name}`}
                      onPress={() => {
                        open(summary);
                        go('chain');
                      }}
                    >
                      Open
                    </Button>
                  )}
                </div>
              </li>
            ))}
          </ul>
          <div class="buttons">
            <a class="button" href={addressOf('open')}>
              Open other G-code
            </a>
          </div>
        </section>
      </div>
    </>
  );
}

function headline(): string {
  const words = {
    system: 'The theme follows your system',
    light: 'The theme is light',
    dark: 'The theme is dark',
  };
  return `${words[theme.value]}; single keys are ${singleKeys.value ? 'on' : 'off'}`;
}
