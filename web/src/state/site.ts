// The site as the server last told it, and every way of changing it.
//
// The document and its undo list live on the server under a revision number; the page holds only what is under the
// hand. A change names the revision it was made on. When the site has moved on and the change touches what moved, the
// server answers 409 with the new site: the change is kept here, shown, and made again only when the person says so.
import { computed, signal } from '@preact/signals';
import { get, getBytes, post, Refused } from '../net/ask';
import { readRelief, readTraced } from '../net/binary';
import type { DraftView, Edit, LineView, SiteView } from '../net/shapes';
import type { Relief, Traced } from '../sheet/layers';
import { words } from '../words';
import { say } from './look';

export const site = signal<SiteView | null>(null);
export const relief = signal<Relief | null>(null);
export const contours = signal<Traced[]>([]);
export const flowPaths = signal<Traced[]>([]);
export const connected = signal(true);
/** A change that is being saved. */
export const saving = signal(0);
/** What could not be done, in words, until the person closes it. */
export const trouble = signal<string | null>(null);
/** A change that met a newer site. */
export const conflict = signal<{ edit: Edit; says: string } | null>(null);
/** What somebody else changed while we looked. */
export const outside = signal<string | null>(null);

/** Lines as the hand would have them, before they are kept. */
export const draft = signal<DraftView | null>(null);

/** Lines to draw: the draft's in place of the site's. */
export const lines = computed<LineView[]>(() => {
  const drafted = draft.value?.lines ?? [];
  return (site.value?.lines ?? []).map((line) => drafted.find((other) => other.name === line.name) ?? line);
});

export function lineNamed(name: string | null): LineView | null {
  return name === null ? null : (lines.value.find((line) => line.name === name) ?? null);
}

/** Takes a site unless it is older than the one at hand. */
function take(next: SiteView): void {
  if (!site.value || next.revision >= site.value.revision) site.value = next;
}

/** Takes the site that came with a change. */
export function takeChanged(changed: Changed): void {
  take(changed.site);
  say(changed.says);
}

/** How far apart contours stand, m. */
export const contourStep_m = signal(0.5);

export async function loadSite(): Promise<void> {
  take(await get<SiteView>('site'));
}

export async function loadGround(): Promise<void> {
  if (!site.value?.has_ground) return;
  const [ground, traced] = await Promise.all([
    getBytes('ground'),
    getBytes('contours', { interval_m: contourStep_m.value }),
  ]);
  relief.value = readRelief(ground);
  contours.value = readTraced(traced, 'HSCO');
}

export async function loadFlow(): Promise<void> {
  if (flowPaths.value.length === 0 && site.value?.has_ground)
    flowPaths.value = readTraced(await getBytes('flow'), 'HSFL');
}

/** News that the site changed. Our own changes come back as news too, with a revision that we hold already. */
export async function changedOutside(revision: number, says: string): Promise<void> {
  await last; // what comes while we save may be our own change, or another: its revision tells once we are done
  if (site.value && revision <= site.value.revision) return;
  await loadSite();
  outside.value = says;
  say(words.save.outside(says));
}

interface Changed {
  revision: number;
  says: string;
  site: SiteView;
}

/** Changes go one after the other: each is made on the revision that the one before it left. */
let last: Promise<unknown> = Promise.resolve();

function changing(send: () => Promise<Changed>, onConflict: (newer: SiteView | null) => void): Promise<boolean> {
  const done = last.then(() => change(send, onConflict));
  last = done;
  return done;
}

async function change(send: () => Promise<Changed>, onConflict: (newer: SiteView | null) => void): Promise<boolean> {
  saving.value++;
  try {
    const changed = await send();
    take(changed.site);
    outside.value = null;
    say(changed.says);
    return true;
  } catch (error) {
    if (error instanceof Refused && error.status === 409) onConflict(siteIn(error.body));
    else fail(error);
    return false;
  } finally {
    saving.value--;
  }
}

function siteIn(body: unknown): SiteView | null {
  if (typeof body !== 'object' || body === null) return null;
  const held = (body as { site?: SiteView }).site ?? (body as SiteView);
  return 'revision' in held && 'lines' in held ? held : null;
}

export function fail(error: unknown): void {
  const text = error instanceof Refused ? error.message : words.save.noAnswer;
  trouble.value = text;
  say(text);
}

/** Makes one change and saves it. True when it is in the site. */
export function edit(change: Edit): Promise<boolean> {
  return changing(
    () => post<Changed>('edit', { base_revision: site.value?.revision ?? 0, edit: change }),
    (newer) => {
      if (newer) take(newer);
      conflict.value = { edit: change, says: words.edits[change.do] };
      say(words.save.conflict);
    },
  );
}

/** Makes the change that met a newer site once more, on that site. */
export async function editAgain(): Promise<void> {
  const held = conflict.value;
  conflict.value = null;
  if (held) await edit(held.edit);
}

function step(way: 'undo' | 'redo'): Promise<boolean> {
  return changing(
    () => post<Changed>(way, { base_revision: site.value?.revision ?? 0 }),
    (newer) => {
      if (newer) take(newer);
      say(words.save.steppedBack);
      outside.value = words.save.steppedBack;
    },
  );
}
export const undo = () => step('undo');
export const redo = () => step('redo');
