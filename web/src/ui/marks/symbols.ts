// The marks by which lines are told apart, as on paper: a swale has ticks on its downhill side, a drain is dashed with
// arrowheads the way it falls, a chute has two rails with steps between, a pipe two fine rails.
import { stations } from '../../sheet/along';
import type { Place } from '../../sheet/view';
import { local, pathOf } from './frame';

const TICK_SPACING_PX = 10;
const TICK_PX = 6;
const ARROW_SPACING_PX = 34;
const ARROW_PX = 6;
const HALF_CHUTE_PX = 4;

/** A tick to the downhill side every few pixels. `side` is +1 to the left of travel, -1 to the right. */
export function ticks(path: readonly Place[], side: number, k: number): string {
  return stations(path, TICK_SPACING_PX / 2 / k, TICK_SPACING_PX / k)
    .map(({ place, east, north }) => {
      const { x, y } = local(place, k);
      return `M${x.toFixed(1)} ${y.toFixed(1)}l${(-north * side * TICK_PX).toFixed(1)} ${(-east * side * TICK_PX).toFixed(1)}`;
    })
    .join('');
}

/** Arrowheads the way a line falls. */
export function arrows(path: readonly Place[], k: number): string {
  return stations(path, ARROW_SPACING_PX / 2 / k, ARROW_SPACING_PX / k)
    .map(({ place, east, north }) => {
      const { x, y } = local(place, k);
      const back = { x: x - east * ARROW_PX, y: y + north * ARROW_PX };
      const half = ARROW_PX * 0.6;
      return `M${x.toFixed(1)} ${y.toFixed(1)}L${(back.x - north * half).toFixed(1)} ${(back.y - east * half).toFixed(1)}L${(
        back.x + north * half
      ).toFixed(1)} ${(back.y + east * half).toFixed(1)}Z`;
    })
    .join('');
}

/** A line so many pixels to the left of a path, leg by leg. */
export function beside(path: readonly Place[], leftPx: number, k: number): Place[] {
  const off_m = leftPx / k;
  return path.map((place, i) => {
    const a = path[Math.max(0, i - 1)] as Place;
    const b = path[Math.min(path.length - 1, i + 1)] as Place;
    const leg_m = Math.hypot(b.x_m - a.x_m, b.y_m - a.y_m) || 1;
    return {
      x_m: place.x_m - ((b.y_m - a.y_m) / leg_m) * off_m,
      y_m: place.y_m + ((b.x_m - a.x_m) / leg_m) * off_m,
    };
  });
}

/** Two rails. */
export function rails(path: readonly Place[], k: number): string {
  return pathOf(beside(path, HALF_CHUTE_PX, k), k) + pathOf(beside(path, -HALF_CHUTE_PX, k), k);
}

/** Steps from rail to rail. */
export function steps(path: readonly Place[], k: number): string {
  return stations(path, 2 / k, 6 / k)
    .map(({ place, east, north }) => {
      const { x, y } = local(place, k);
      const across = { x: -north * HALF_CHUTE_PX, y: -east * HALF_CHUTE_PX };
      return `M${(x - across.x).toFixed(1)} ${(y - across.y).toFixed(1)}L${(x + across.x).toFixed(1)} ${(y + across.y).toFixed(1)}`;
    })
    .join('');
}
