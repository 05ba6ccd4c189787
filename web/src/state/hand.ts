// A peg in the hand: it follows at once, the line follows the server's answer, and only setting it down keeps it.
import { signal } from '@preact/signals';
import { Latest } from '../net/latest';
import { Dropped } from '../net/live';
import type { DraftView, Edit } from '../net/shapes';
import type { Place } from '../sheet/view';
import { live } from './live';
import { dial } from './rain';
import { draft, edit, fail } from './site';

/** What is held and where it is held. `key` tells its mark from others. */
export interface Held {
  key: string;
  place: Place;
}
export const held = signal<Held | null>(null);

let pending: Edit | null = null;
/** On a large ground what rests on catchments is left out while the hand moves, and asked for once it rests so long. */
const REST_MS = 250;
let rest: ReturnType<typeof setTimeout> | undefined;

const latest = new Latest<{ edit: Edit; whole: boolean }, DraftView>(
  (question) => live().ask<DraftView>({ ask: 'drag', ...question, rain: dial.value }),
  (answer, question) => {
    if (!held.value) return;
    draft.value = answer;
    clearTimeout(rest);
    if (!answer.catchments_known && !question.whole)
      rest = setTimeout(() => held.value && latest.put({ ...question, whole: true }), REST_MS);
  },
  (error) => {
    if (!(error instanceof Dropped)) fail(error);
  },
);

/** Holds something at a place; `change` is what setting it down there would do. */
export function hold(key: string, place: Place, change: Edit): void {
  held.value = { key, place };
  pending = change;
  clearTimeout(rest);
  latest.put({ edit: change, whole: false });
}

/** Takes something in hand where it stands: nothing changes yet. */
export function take(key: string, place: Place): void {
  held.value = { key, place };
  pending = null;
}

/** Sets down what is held: one change, one step of undo. */
export async function setDown(): Promise<void> {
  const change = pending;
  pending = null;
  if (!change) return letGo();
  latest.drop();
  await latest.settled();
  await edit(change);
  letGo();
}

/** Lets go: everything is as it was. */
export function letGo(): void {
  pending = null;
  clearTimeout(rest);
  latest.drop();
  held.value = null;
  draft.value = null;
}
