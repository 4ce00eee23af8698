import { computed, signal } from '@preact/signals';

/** Pages by their address after `#/`. Addresses survive a reload and need nothing from the server. */
export const PAGES = ['chain', 'prints', 'bars', 'report', 'inputs', 'open', 'more'] as const;
export type Page = (typeof PAGES)[number];

const address = signal(readAddress() ?? '');

/** Null for a place inside the page, such as the skip link's, which names no page. */
function readAddress(): string | null {
  const hash = globalThis.location?.hash ?? '';
  return hash === '' || hash.startsWith('#/') ? hash.slice(2) : null;
}

globalThis.addEventListener?.('hashchange', () => {
  address.value = readAddress() ?? address.value;
});

/** The page that is asked for; null where the address names none, so that the app may choose. */
export const page = computed<Page | null>(() => PAGES.find((name) => name === address.value) ?? null);

export function addressOf(name: Page): string {
  return `#/${name}`;
}

export function go(name: Page): void {
  if (address.value !== name) globalThis.location.hash = addressOf(name);
}
