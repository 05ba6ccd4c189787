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

/** What is asked: the edit under the hand, counted, so that an older answer never undoes a newer one. */
interface Question {
  turn: number;
  edit: Edit;
  whole: boolean;
}
let turn = 0;
/** The turn that the drawn lines, and the drawn rain, belong to. */
let linesOf = 0;
let rainOf = 0;

function missed(error: unknown): void {
  if (!(error instanceof Dropped)) fail(error);
}

function takeLines(answer: DraftView, question: Question): void {
  if (!held.value || question.turn < linesOf) return;
  linesOf = question.turn;
  draft.value = { ...answer, rain: answer.rain ?? draft.value?.rain ?? null };
}

// Two questions a move: where the line comes to run, answered within a frame or two, and what the rain then does, which
// takes longer. Both show as they come.
const shape = new Latest<Question, DraftView>(
  ({ edit, whole }) => live().ask<DraftView>({ ask: 'drag', edit, whole, rain: null }),
  takeLines,
  missed,
);
const rained = new Latest<Question, DraftView>(
  ({ edit, whole }) => live().ask<DraftView>({ ask: 'drag', edit, whole, rain: dial.value }),
  (answer, question) => {
    if (!held.value || question.turn < rainOf) return;
    rainOf = question.turn;
    if (question.turn >= linesOf) takeLines(answer, question);
    else if (draft.value) draft.value = { ...draft.value, rain: answer.rain };
    clearTimeout(rest);
    if (!answer.catchments_known && !question.whole)
      rest = setTimeout(() => held.value && rained.put({ ...question, whole: true }), REST_MS);
  },
  missed,
);

/** Holds something at a place; `change` is what setting it down there would do. */
export function hold(key: string, place: Place, change: Edit): void {
  held.value = { key, place };
  pending = change;
  clearTimeout(rest);
  const question = { turn: ++turn, edit: change, whole: false };
  shape.put(question);
  rained.put(question);
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
  shape.drop();
  rained.drop();
  await shape.settled();
  await edit(change);
  letGo();
}

/** Lets go: everything is as it was. */
export function letGo(): void {
  pending = null;
  clearTimeout(rest);
  shape.drop();
  rained.drop();
  held.value = null;
  draft.value = null;
}
