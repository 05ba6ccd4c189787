// A place of the ground that was asked about: its height and slope, and the way its water takes.
import { signal } from '@preact/signals';
import { get } from '../net/ask';
import { Latest } from '../net/latest';
import type { Place } from '../sheet/view';
import type { HeightView } from '../wire';
import { fail } from './site';

export const probed = signal<{ place: Place; ground: HeightView } | null>(null);

const latest = new Latest<Place, HeightView>(
  (place) => get<HeightView>('height', { x: place.x_m, y: place.y_m }),
  (ground, place) => {
    probed.value = { place, ground };
  },
  fail,
);

export function probe(place: Place): void {
  latest.put(place);
}
