// What the person is looking at: screen, selection, tool, place along the line, preferences, and the one voice.
import { computed, effect, signal } from '@preact/signals';
import type { Place } from '../sheet/view';

/** The screens, in the order of the job. */
export const STEPS = ['ground', 'lines', 'rain', 'plant', 'tend', 'book'] as const;
export const SCREENS = [...STEPS, 'layouts', 'print', 'start', 'about'] as const;
export type Screen = (typeof SCREENS)[number];

function screenOf(hash: string): Screen {
  const name = hash.replace(/^#\/?/, '');
  return SCREENS.find((screen) => screen === name) ?? 'lines';
}

export const screen = signal<Screen>(typeof location === 'undefined' ? 'lines' : screenOf(location.hash));
if (typeof window !== 'undefined') {
  window.addEventListener('hashchange', () => {
    screen.value = screenOf(location.hash);
  });
}

/** A thing on the map that the person has in mind. */
export type Selection =
  | { what: 'line'; name: string }
  | { what: 'sill'; name: string; index: number }
  | { what: 'tree'; name: string }
  | { what: 'source'; name: string }
  | { what: 'thing'; name: string };

export const selection = signal<Selection | null>(null);

/** The line that the selection is, or belongs to. */
export const selectedLine = computed(() => {
  const chosen = selection.value;
  return chosen && (chosen.what === 'line' || chosen.what === 'sill') ? chosen.name : null;
});

/** Metres along the selected line: map and chart share it. */
export const station = signal<number | null>(null);

export type Tool =
  | 'hand'
  | 'swale'
  | 'drain'
  | 'chute'
  | 'pipe'
  | 'sill'
  | 'cut'
  | 'join'
  | 'source'
  | 'tree'
  | 'barrier'
  | 'keep-clear';
export const tool = signal<Tool>('hand');
/** Places put down with the tool so far. */
export const put = signal<Place[]>([]);

export function takeTool(next: Tool): void {
  tool.value = next;
  put.value = [];
}

/** What is said aloud, politely: one voice for the whole page. The same words twice are said twice. */
export const said = signal({ text: '', count: 0 });
export function say(text: string): void {
  said.value = { text, count: said.value.count + 1 };
}

export type ThemeChoice = 'auto' | 'paper' | 'dark' | 'sun';
const PREFERENCES = 'hillsip.preferences';

interface Preferences {
  theme: ThemeChoice;
  feet: boolean;
}

function kept(): Preferences {
  const plain: Preferences = { theme: 'auto', feet: false };
  try {
    return { ...plain, ...(JSON.parse(localStorage.getItem(PREFERENCES) ?? '{}') as Partial<Preferences>) };
  } catch {
    return plain; // storage may be shut; the page works without
  }
}

const first = kept();
export const themeChoice = signal<ThemeChoice>(first.theme);
/** Lengths in feet and inches, on the screen only. */
export const feet = signal<boolean>(first.feet);

effect(() => {
  const keep: Preferences = { theme: themeChoice.value, feet: feet.value };
  try {
    localStorage.setItem(PREFERENCES, JSON.stringify(keep));
  } catch {
    // see kept()
  }
});

/** A medium that the browser tells of, as a signal. */
function medium(query: string) {
  if (typeof matchMedia === 'undefined') return signal(false);
  const list = matchMedia(query);
  const now = signal(list.matches);
  list.addEventListener('change', () => {
    now.value = list.matches;
  });
  return now;
}

const dark = medium('(prefers-color-scheme: dark)');
const contrast = medium('(prefers-contrast: more)');
export const stillness = medium('(prefers-reduced-motion: reduce)');
/** Room for the map and the page side by side. */
export const wide = medium('(min-width: 760px)');

export const theme = computed<'paper' | 'dark' | 'sun'>(() => {
  if (themeChoice.value !== 'auto') return themeChoice.value;
  if (contrast.value) return 'sun';
  return dark.value ? 'dark' : 'paper';
});
