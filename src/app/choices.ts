import { effect, signal } from '@preact/signals';

/** What a person chose about the page itself; kept in this browser alone. */
export type Theme = 'system' | 'light' | 'dark';
export const THEMES: readonly Readonly<{ value: Theme; label: string }>[] = [
  { value: 'system', label: 'System' },
  { value: 'light', label: 'Light' },
  { value: 'dark', label: 'Dark' },
];

const THEME = 'bonedry theme';
const KEYS = 'bonedry single keys';

function kept(name: string): string | null {
  try {
    return localStorage.getItem(name);
  } catch {
    return null; // Storage may be closed to this page: the choice then lasts until it is left.
  }
}

function keep(name: string, value: string): void {
  try {
    localStorage.setItem(name, value);
  } catch {
    // As above.
  }
}

export const theme = signal<Theme>(THEMES.find(({ value }) => value === kept(THEME))?.value ?? 'system');
export const singleKeys = signal(kept(KEYS) !== 'off');

/** Applies and keeps each choice from now on. */
export function followChoices(): void {
  effect(() => {
    const root = document.documentElement;
    if (theme.value === 'system') delete root.dataset['theme'];
    else root.dataset['theme'] = theme.value;
    keep(THEME, theme.value);
  });
  effect(() => keep(KEYS, singleKeys.value ? 'on' : 'off'));
}
