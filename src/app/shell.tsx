import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { showTime } from '../units.ts';
import { silentSince } from './api.ts';
import { NeckedBar } from './charts/necked-bar.tsx';
import { KEYS, keysShown } from './keys.ts';
import { neckOf, weakestWords } from './links.ts';
import { Button } from './parts.tsx';
import { addressOf, type Page } from './router.ts';
import { campaign, campaigns, chain, links, said } from './state.ts';

const TITLES: Readonly<Record<Page, string>> = {
  chain: 'Chain',
  prints: 'Prints',
  bars: 'Bars',
  report: 'Report',
  inputs: 'Inputs',
  open: 'Open G-code',
  more: 'More',
};

/** Pages in the head and, on a phone, in the foot. Without a campaign only files can be brought in. */
function pagesFor(open: boolean): readonly Page[] {
  return open ? ['chain', 'prints', 'bars', 'report', 'inputs', 'more'] : ['open', 'more'];
}

export function Shell({
  page,
  children,
  foot,
}: {
  page: Page;
  children: ComponentChildren;
  foot: ComponentChildren;
}) {
  const summary = campaign.value;
  const pages = pagesFor(summary !== null);
  useEffect(() => {
    document.title = summary ? `${TITLES[page]}, ${summary.name} · Bonedry` : 'Bonedry';
  }, [page, summary]);
  const link = (name: Page) => (
    <a key={name} href={addressOf(name)} aria-current={name === page ? 'page' : undefined}>
      {TITLES[name]}
    </a>
  );
  return (
    <>
      <div class="frame">
        <a class="skip button" href="#headline">
          Skip to the page
        </a>
        <header class="head">
          <div class="job">
            <b>{summary?.name ?? 'Bonedry'}</b>
            <small>{summary ? counted(summary.bars, summary.plates, summary.invented) : 'No job yet'}</small>
          </div>
          <nav aria-label="Pages">{pages.map(link)}</nav>
          <Mini />
        </header>
        <main>
          <Contact />
          {children}
        </main>
      </div>
      <div class="dock">
        {foot}
        <nav class="foot" aria-label="Pages, at the foot">
          {pages.map(link)}
        </nav>
      </div>
      <p class="hidden" role="status">
        {said.value}
      </p>
      <KeyList />
    </>
  );
}

function counted(bars: number, plates: number, invented: boolean): string {
  const parts = [
    invented ? 'Example, invented' : '',
    bars > 0 ? `${bars} ${bars === 1 ? 'bar' : 'bars'}` : '',
    plates > 0 ? `${plates} ${plates === 1 ? 'plate' : 'plates'}` : '',
  ];
  return parts.filter(Boolean).join(' · ');
}

/** The necked bar and the weakest link, on every page. */
function Mini() {
  if (!chain.value || !links.value.some(({ figures }) => figures)) return null;
  const weakest = weakestWords(links.value);
  return (
    <a class="mini" href={addressOf('chain')}>
      <span>
        <span class="wide">{weakest.before}: </span>
        <b>{weakest.name}</b> <span class="second">{weakest.share}</span>
      </span>
      <NeckedBar necks={links.value.map(neckOf)} />
    </a>
  );
}

/** No contact: said once, with since when; it goes away by itself. */
function Contact() {
  const since = silentSince.value;
  if (since === null || campaigns.value === null) return null;
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  return (
    <p class="trouble contact" role="alert">
      <b>No contact with Bonedry since {showTime(since, zone)}.</b> What is shown stays; it goes on by itself
      once Bonedry runs again.
    </p>
  );
}

function KeyList() {
  const dialog = useRef<HTMLDialogElement>(null);
  const shown = keysShown.value;
  useEffect(() => {
    // A modal dialog gives the focus back to where it was when it closes.
    if (shown && !dialog.current?.open) dialog.current?.showModal();
  }, [shown]);
  return (
    <dialog
      class="keys"
      ref={dialog}
      aria-labelledby="keys-title"
      onClose={() => {
        keysShown.value = false;
      }}
    >
      <h2 id="keys-title">Keys</h2>
      <KeyTable />
      <Button kind="main" onPress={() => dialog.current?.close()}>
        Close
      </Button>
    </dialog>
  );
}

export function KeyTable() {
  return (
    <dl class="keylist">
      {KEYS.map(({ keys, words }) => [
        <dt key={words}>
          {keys.map((key) => (
            <kbd key={key}>{key}</kbd>
          ))}
        </dt>,
        <dd key={`${words} does`}>{words}</dd>,
      ])}
    </dl>
  );
}
