import { render } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { followChoices } from './choices.ts';
import { onKey } from './keys.ts';
import { Headline, Trouble } from './parts.tsx';
import { type Page, page } from './router.ts';
import { Bars } from './screens/bars.tsx';
import { Chain } from './screens/chain.tsx';
import { FirstRun } from './screens/first-run.tsx';
import { Inputs } from './screens/inputs.tsx';
import { More } from './screens/more.tsx';
import { Prints } from './screens/prints.tsx';
import { Report } from './screens/report.tsx';
import { Trying } from './screens/trying.tsx';
import { Shell } from './shell.tsx';
import { campaign, campaigns, faults, start } from './state.ts';
import './styles.css';

function Screen({ page }: { page: Page }) {
  switch (page) {
    case 'chain':
      return <Chain />;
    case 'prints':
      return <Prints />;
    case 'bars':
      return <Bars />;
    case 'report':
      return <Report />;
    case 'inputs':
      return <Inputs />;
    case 'more':
      return <More />;
    case 'open':
      return <FirstRun />;
  }
}

/** Chain opens first where a campaign is there; without one, the page that brings files in. */
function pageNow(): Page {
  const wanted = page.value ?? 'chain';
  return campaign.value || wanted === 'more' ? wanted : 'open';
}

function App() {
  const ready = campaigns.value !== null;
  const now = pageNow();
  const last = useRef<Page | null>(null);
  useEffect(() => {
    if (!ready) return;
    // The first page keeps the browser's own start of reading; later ones begin at their answer.
    if (last.current !== null && last.current !== now) {
      document.getElementById('headline')?.focus({ preventScroll: true });
      window.scrollTo(0, 0);
    }
    last.current = now;
  }, [now, ready]);
  return (
    <Shell page={now} foot={<Trying />}>
      {ready ? <Screen page={now} /> : <Waiting />}
    </Shell>
  );
}

function Waiting() {
  return (
    <>
      <Headline>Asking Bonedry for its campaigns</Headline>
      <Trouble sentences={faults.value.map(({ sentence }) => sentence)} />
    </>
  );
}

followChoices();
document.addEventListener('keydown', onKey);
// A file that misses the drop place must not replace the page.
for (const kind of ['dragover', 'drop'] as const)
  window.addEventListener(kind, (event) => event.preventDefault());
render(<App />, document.getElementById('app')!);
void start();
