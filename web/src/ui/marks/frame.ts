// Marks are drawn in pixels round an anchor on the ground, so that a pan moves one group and rewrites nothing.
import { computed, signal } from '@preact/signals';
import type { Place, View } from '../../sheet/view';

/** What the window shows. Null until the sheet has a size. */
export const view = signal<View | null>(null);
/** The ground where the marks' own pixels begin. */
export const anchor = signal<Place>({ x_m: 0, y_m: 0 });
/** Pixels a metre: the one part of the view that marks are drawn by. */
export const k = computed(() => view.value?.k ?? 1);

/** From here on out, pixels a metre, names would lie on each other: they give way to the marks. */
const FAR_K = 4.2;
export const far = computed(() => k.value < FAR_K);

/** A place in the marks' own pixels. */
export function local(place: Place, scale: number): { x: number; y: number } {
  return { x: (place.x_m - anchor.value.x_m) * scale, y: (anchor.value.y_m - place.y_m) * scale };
}

/** An SVG path through places. */
export function pathOf(places: readonly Place[], scale: number, closed = false): string {
  const legs = places.map((place, i) => {
    const { x, y } = local(place, scale);
    return `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`;
  });
  return legs.join('') + (closed && legs.length > 0 ? 'Z' : '');
}

/** A thing's place, when it has one: a line by tape has none. */
export function placeOf(thing: { x_m: number | null; y_m: number | null }): Place | null {
  return thing.x_m === null || thing.y_m === null ? null : { x_m: thing.x_m, y_m: thing.y_m };
}
