// Places along a line of straight legs: geometry for the hand on the map, never hydrology.
import type { Place } from './view';

/** A place along a path, and how far along it is. */
export interface Station {
  at_m: number;
  place: Place;
  /** Direction of travel there, of length one. */
  east: number;
  north: number;
}

export function distance_m(a: Place, b: Place): number {
  return Math.hypot(b.x_m - a.x_m, b.y_m - a.y_m);
}

export function length_m(path: readonly Place[]): number {
  let sum = 0;
  for (let i = 1; i < path.length; i++) sum += distance_m(path[i - 1] as Place, path[i] as Place);
  return sum;
}

/** The place so far along a path; before its beginning and past its end, its ends. Null for fewer than two places. */
export function stationAt(path: readonly Place[], at_m: number): Station | null {
  let passed_m = 0;
  let last: Station | null = null;
  for (let i = 1; i < path.length; i++) {
    const a = path[i - 1] as Place;
    const b = path[i] as Place;
    const leg_m = distance_m(a, b);
    if (leg_m === 0) continue;
    const east = (b.x_m - a.x_m) / leg_m;
    const north = (b.y_m - a.y_m) / leg_m;
    if (at_m <= passed_m + leg_m) {
      const on_m = Math.max(0, at_m - passed_m);
      return { at_m: passed_m + on_m, place: { x_m: a.x_m + east * on_m, y_m: a.y_m + north * on_m }, east, north };
    }
    passed_m += leg_m;
    last = { at_m: passed_m, place: b, east, north };
  }
  return last;
}

/** The nearest place on a path, with its distance. Null for fewer than two places. */
export function nearestOn(path: readonly Place[], from: Place): (Station & { away_m: number }) | null {
  let passed_m = 0;
  let best: (Station & { away_m: number }) | null = null;
  for (let i = 1; i < path.length; i++) {
    const a = path[i - 1] as Place;
    const b = path[i] as Place;
    const leg_m = distance_m(a, b);
    if (leg_m === 0) continue;
    const east = (b.x_m - a.x_m) / leg_m;
    const north = (b.y_m - a.y_m) / leg_m;
    const on_m = Math.min(leg_m, Math.max(0, (from.x_m - a.x_m) * east + (from.y_m - a.y_m) * north));
    const place = { x_m: a.x_m + east * on_m, y_m: a.y_m + north * on_m };
    const away_m = distance_m(place, from);
    if (!best || away_m < best.away_m) best = { at_m: passed_m + on_m, place, east, north, away_m };
    passed_m += leg_m;
  }
  return best;
}

/** The part of a path between two distances along it. */
export function slice(path: readonly Place[], from_m: number, to_m: number): Place[] {
  const first = stationAt(path, from_m);
  const last = stationAt(path, to_m);
  if (!first || !last || to_m <= from_m) return [];
  const between: Place[] = [first.place];
  let passed_m = 0;
  for (let i = 1; i < path.length; i++) {
    const b = path[i] as Place;
    passed_m += distance_m(path[i - 1] as Place, b);
    if (passed_m > first.at_m && passed_m < last.at_m) between.push(b);
  }
  between.push(last.place);
  return between;
}

/** Evenly spaced stations along a path, beginning at `first_m`. */
export function stations(path: readonly Place[], first_m: number, spacing_m: number): Station[] {
  const found: Station[] = [];
  let next_m = first_m;
  let passed_m = 0;
  for (let i = 1; i < path.length; i++) {
    const a = path[i - 1] as Place;
    const b = path[i] as Place;
    const leg_m = distance_m(a, b);
    if (leg_m === 0) continue;
    const east = (b.x_m - a.x_m) / leg_m;
    const north = (b.y_m - a.y_m) / leg_m;
    while (next_m <= passed_m + leg_m) {
      const on_m = next_m - passed_m;
      found.push({ at_m: next_m, place: { x_m: a.x_m + east * on_m, y_m: a.y_m + north * on_m }, east, north });
      next_m += spacing_m;
    }
    passed_m += leg_m;
  }
  return found;
}
