// Snapping: what the hand comes near to, it takes. Alt frees it.
import { distance_m } from './along';
import type { Place } from './view';

/** How near the hand must come, CSS pixels. */
export const SNAP_PX = 10;

/** Something that can be snapped to. */
export interface SnapTo {
  place: Place;
  name: string;
}

/** The nearest target within reach of `from`, ties by order; else null. `k` is pixels a metre. */
export function snapped(from: Place, targets: readonly SnapTo[], k: number): SnapTo | null {
  let best: SnapTo | null = null;
  let best_m = SNAP_PX / k;
  for (const target of targets) {
    const away_m = distance_m(from, target.place);
    if (away_m < best_m) {
      best = target;
      best_m = away_m;
    }
  }
  return best;
}
