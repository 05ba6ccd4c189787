// The next rain: what is dialled in, and what it does.
import { computed, effect, signal } from '@preact/signals';
import { get } from '../net/ask';
import { Latest } from '../net/latest';
import { Dropped } from '../net/live';
import type { RainLineView, RainView, StormView } from '../net/shapes';
import { live } from './live';
import { draft, fail, site } from './site';

export interface Dial {
  depth_mm: number;
  hours: number;
  shape: string | null;
}

/** The dial's ends and stops, mm. Common practice: a gauge's ring of 150 mm covers all but the rarest day. */
export const DEEPEST_MM = 150;
export const HOURS = [0.5, 1, 2, 3, 6, 12, 24];

export const storms = signal<StormView[]>([]);
export const dial = signal<Dial | null>(null);
export const answered = signal<RainView | null>(null);

/** What the dialled rain does to the lines as drawn now: the draft's answer while a peg is in the hand. */
export const rain = computed<RainView | null>(() => draft.value?.rain ?? answered.value);

export function rainOn(name: string): RainLineView | null {
  return rain.value?.lines.find((line) => line.name === name) ?? null;
}

const latest = new Latest<Dial, RainView>(
  (question) => live().ask<RainView>({ ask: 'rain', ...question }),
  (answer) => {
    answered.value = answer;
  },
  (error) => {
    if (!(error instanceof Dropped)) fail(error);
  },
);

/** Reads the storms that are known; the first is the plan's own and where the dial begins. */
export async function loadStorms(): Promise<void> {
  storms.value = await get<StormView[]>('storms');
  const design = storms.value[0];
  if (!dial.value) {
    dial.value = design
      ? { depth_mm: design.depth_mm, hours: design.hours, shape: design.shape }
      : { depth_mm: 25, hours: 6, shape: null };
  }
}

/** Asks anew whenever the dial turns or the site changes. */
export function followRain(): () => void {
  return effect(() => {
    const question = dial.value;
    if (question && site.value) latest.put(question);
  });
}
