// The beginning of a site: an empty folder, the starter's values, and the first line by tape.
import { computed } from '@preact/signals';
import { post } from '../net/ask';
import type { LineView } from '../net/shapes';
import { loadStorms } from './rain';
import { fail, loadGround, loadSite, site, takeChanged } from './site';

/** Whether the folder has no plan at all yet. */
export const nothingYet = computed(
  () => site.value !== null && site.value.plan === null && site.value.faults.some((fault) => fault.code === 'no-file'),
);

/** Whether anything has a place: without, there is no map, and lines are known by their tape. */
export const hasMap = computed(() => site.value === null || site.value.bounds_m !== null);

/** The line that a beginner works on: the first by tape. */
export const tapeLine = computed<LineView | null>(
  () => site.value?.lines.find((line) => line.laid === 'taped') ?? null,
);

export async function begin(how: { with: 'example' } | { with: 'own'; name: string }): Promise<void> {
  try {
    takeChanged(await post('begin', how));
    await loadSite();
    await Promise.all([loadGround(), loadStorms()]);
  } catch (error) {
    fail(error);
  }
}
