// The one affine map between the site's metres and the window's pixels.
//
// x runs east and y north in metres; pixels run right and down. No rotation, no projection: what is measured on the
// sheet is what is measured on the ground.

/** A place on the ground, in site metres. */
export interface Place {
  x_m: number;
  y_m: number;
}

/** A place in the window, in CSS pixels. */
export interface Px {
  x: number;
  y: number;
}

/** Which part of the ground the window shows. */
export interface View {
  /** The ground in the middle of the window. */
  cx_m: number;
  cy_m: number;
  /** CSS pixels a metre. */
  k: number;
  width: number;
  height: number;
}

/** Ground from its south-west to its north-east corner. */
export interface Bounds {
  west_m: number;
  south_m: number;
  east_m: number;
  north_m: number;
}

/** Closest view: 2.5 mm of ground a pixel, finer than anybody pegs. */
export const NEAREST_K = 400;
/** Widest view: 20 m a pixel. */
export const WIDEST_K = 0.05;

export function toPx(view: View, place: Place): Px {
  return {
    x: (place.x_m - view.cx_m) * view.k + view.width / 2,
    y: (view.cy_m - place.y_m) * view.k + view.height / 2,
  };
}

export function toM(view: View, px: Px): Place {
  return {
    x_m: view.cx_m + (px.x - view.width / 2) / view.k,
    y_m: view.cy_m - (px.y - view.height / 2) / view.k,
  };
}

/** The view moved by so many pixels: the ground follows the hand. */
export function panned(view: View, dx: number, dy: number): View {
  return { ...view, cx_m: view.cx_m - dx / view.k, cy_m: view.cy_m + dy / view.k };
}

/** The view made larger or smaller, the ground under `about` staying where it is. */
export function zoomed(view: View, times: number, about: Px): View {
  const k = Math.min(NEAREST_K, Math.max(WIDEST_K, view.k * times));
  const fixed = toM(view, about);
  return {
    ...view,
    k,
    cx_m: fixed.x_m - (about.x - view.width / 2) / k,
    cy_m: fixed.y_m + (about.y - view.height / 2) / k,
  };
}

/** The view that shows all of `bounds` with a margin of so many pixels. */
export function fitted(bounds: Bounds, width: number, height: number, margin: number): View {
  const across_m = Math.max(bounds.east_m - bounds.west_m, 1);
  const up_m = Math.max(bounds.north_m - bounds.south_m, 1);
  const k = Math.min(Math.max(width - 2 * margin, 1) / across_m, Math.max(height - 2 * margin, 1) / up_m);
  return {
    cx_m: (bounds.west_m + bounds.east_m) / 2,
    cy_m: (bounds.south_m + bounds.north_m) / 2,
    k: Math.min(NEAREST_K, Math.max(WIDEST_K, k)),
    width,
    height,
  };
}

/** The smallest bounds round some places, grown by a margin in metres; null when there are none. */
export function boundsOf(places: readonly Place[], margin_m: number): Bounds | null {
  const first = places[0];
  if (!first) return null;
  const bounds = { west_m: first.x_m, east_m: first.x_m, south_m: first.y_m, north_m: first.y_m };
  for (const { x_m, y_m } of places) {
    bounds.west_m = Math.min(bounds.west_m, x_m);
    bounds.east_m = Math.max(bounds.east_m, x_m);
    bounds.south_m = Math.min(bounds.south_m, y_m);
    bounds.north_m = Math.max(bounds.north_m, y_m);
  }
  return {
    west_m: bounds.west_m - margin_m,
    east_m: bounds.east_m + margin_m,
    south_m: bounds.south_m - margin_m,
    north_m: bounds.north_m + margin_m,
  };
}
