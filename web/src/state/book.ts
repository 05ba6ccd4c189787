// The field book: what was seen, and what is being written down.
import { computed, signal } from '@preact/signals';
import { get, post, send } from '../net/ask';
import { nearestOn } from '../sheet/along';
import type { Place } from '../sheet/view';
import type { FieldBookView, PhotoKept, SeenView, SeenViewAsked } from '../wire';
import { words } from '../words';
import { say } from './look';
import { fail, lineNamed, site } from './site';
import { lineUnder } from './tools';

export const book = signal<FieldBookView | null>(null);

/** Where it was seen: along a line, at a tree, or at a place. */
export type SeenWhere = { line: string; chainage_m: number } | { tree: string } | { x_m: number; y_m: number };
export const seenAt = signal<SeenWhere | null>(null);

export async function loadBook(): Promise<void> {
  book.value = await get<FieldBookView>('field-book');
}

function round(value_m: number): number {
  return Math.round(value_m * 10) / 10;
}

/** Takes the place of a tap on the map: the tree or line under it, else the place itself. */
export function pointAt(place: Place, k: number, hit: string | null): void {
  const [what, name] = hit?.split(':') ?? [];
  const line = lineUnder(place, k) ?? (what === 'line' && name ? onLine(name, place) : null);
  const tree = what === 'tree' ? site.value?.trees.find((each) => each.name === name) : undefined;
  const toTree_m = tree ? Math.hypot((tree.x_m ?? 0) - place.x_m, (tree.y_m ?? 0) - place.y_m) : Infinity;
  const toLine_m = line ? (nearestOn(line.line.path, place)?.away_m ?? Infinity) : Infinity;
  // Both may be under a finger: the nearer is meant.
  if (name && toTree_m < toLine_m) seenAt.value = { tree: name };
  else if (line) seenAt.value = { line: line.line.name, chainage_m: round(line.at_m) };
  else seenAt.value = { x_m: round(place.x_m), y_m: round(place.y_m) };
}

function onLine(name: string, place: Place) {
  const line = lineNamed(name);
  const near = line && nearestOn(line.path, place);
  return line && near ? { line, at_m: near.at_m } : null;
}

/** Longest side that a photograph keeps, px: enough to read a peg's number, and small enough for a folder of them. */
const LONGEST_PX = 1600;

/** A photograph made small enough to keep, as JPEG. */
async function smaller(file: Blob): Promise<Blob> {
  const picture = await createImageBitmap(file);
  const times = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(picture.width * times);
  canvas.height = Math.round(picture.height * times);
  canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((done, failed) =>
    canvas.toBlob((blob) => (blob ? done(blob) : failed(new Error('no picture'))), 'image/jpeg', 0.85),
  );
}

/** Writes down what was seen, with its photograph. True when it is in the book. */
export async function writeDown(seen: SeenViewAsked, picture: Blob | null): Promise<boolean> {
  try {
    const kept = picture ? await send<PhotoKept>('photo', { date: seen.date }, await smaller(picture)) : null;
    book.value = await post<FieldBookView>('field-book', {
      seen: { ...seen, photo: kept?.photo ?? seen.photo ?? null },
    });
    say(words.book.written(seen.kind));
    return true;
  } catch (error) {
    fail(error);
    return false;
  }
}

/** Strikes an entry out; its words stay in the file. */
export async function strike(seen: SeenView): Promise<void> {
  try {
    book.value = await post<FieldBookView>('field-book', { seen, struck: true });
    say(words.book.struck(seen.kind));
  } catch (error) {
    fail(error);
  }
}

/** Entries that have a place on the map, with it. */
export const onMap = computed(() =>
  (book.value?.entries ?? []).flatMap((seen): { seen: SeenView; place: Place }[] => {
    const place = placeOf(seen);
    return place ? [{ seen, place }] : [];
  }),
);

function placeOf(seen: SeenView): Place | null {
  if (seen.x_m !== null && seen.y_m !== null) return { x_m: seen.x_m, y_m: seen.y_m };
  const tree = site.value?.trees.find((each) => each.name === seen.tree);
  if (tree && tree.x_m !== null && tree.y_m !== null) return { x_m: tree.x_m, y_m: tree.y_m };
  const line = lineNamed(seen.line);
  if (!line || seen.chainage_m === null) return null;
  let before = line.path[0];
  for (const next of line.path) {
    if (before && next.chainage_m >= seen.chainage_m) {
      const leg_m = next.chainage_m - before.chainage_m;
      const share = leg_m > 0 ? (seen.chainage_m - before.chainage_m) / leg_m : 0;
      return { x_m: before.x_m + share * (next.x_m - before.x_m), y_m: before.y_m + share * (next.y_m - before.y_m) };
    }
    before = next;
  }
  return before ?? null;
}
