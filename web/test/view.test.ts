import { describe, expect, it } from 'vitest';
import { boundsOf, fitted, panned, toM, toPx, type View, zoomed } from '../src/sheet/view';

const view: View = { cx_m: 431.25, cy_m: -87.5, k: 3.7, width: 913, height: 611 };

/** A small fixed sequence of places within the given span (a linear congruential draw, Numerical Recipes' constants). */
function places(count: number, span_m: number) {
  let seed = 1;
  const next = () => {
    seed = (1664525 * seed + 1013904223) >>> 0;
    return (seed / 2 ** 32 - 0.5) * span_m;
  };
  return Array.from({ length: count }, () => ({ x_m: next(), y_m: next() }));
}

describe('the view', () => {
  it('gives a place back to a nanometre', () => {
    for (const place of places(500, 4000)) {
      const back = toM(view, toPx(view, place));
      expect(Math.abs(back.x_m - place.x_m)).toBeLessThan(1e-9);
      expect(Math.abs(back.y_m - place.y_m)).toBeLessThan(1e-9);
    }
  });

  it('has north up and east to the right', () => {
    const middle = toPx(view, { x_m: view.cx_m, y_m: view.cy_m });
    expect(middle).toEqual({ x: 456.5, y: 305.5 });
    expect(toPx(view, { x_m: view.cx_m + 1, y_m: view.cy_m }).x).toBeGreaterThan(middle.x);
    expect(toPx(view, { x_m: view.cx_m, y_m: view.cy_m + 1 }).y).toBeLessThan(middle.y);
  });

  it('moves the ground with the hand', () => {
    const before = toPx(view, { x_m: 400, y_m: -80 });
    const after = toPx(panned(view, 31, -12), { x_m: 400, y_m: -80 });
    expect(after.x - before.x).toBeCloseTo(31, 9);
    expect(after.y - before.y).toBeCloseTo(-12, 9);
  });

  it('zooms about the place under the hand', () => {
    const about = { x: 120, y: 480 };
    const fixed = toM(view, about);
    for (const times of [0.3, 1, 2.5, 1e6]) {
      const now = toPx(zoomed(view, times, about), fixed);
      expect(now.x).toBeCloseTo(about.x, 6);
      expect(now.y).toBeCloseTo(about.y, 6);
    }
  });

  it('fits all of the ground inside the margin', () => {
    const bounds = { west_m: 10, south_m: 20, east_m: 130, north_m: 60 };
    const fit = fitted(bounds, 800, 600, 30);
    const corner = toPx(fit, { x_m: 10, y_m: 60 });
    const other = toPx(fit, { x_m: 130, y_m: 20 });
    expect(Math.min(corner.x, corner.y)).toBeGreaterThanOrEqual(30 - 1e-9);
    expect(other.x).toBeLessThanOrEqual(770 + 1e-9);
    expect(other.y).toBeLessThanOrEqual(570 + 1e-9);
    expect(corner.x).toBeCloseTo(30, 9); // the wider side decides
  });

  it('knows no bounds of nothing', () => {
    expect(boundsOf([], 1)).toBeNull();
    expect(boundsOf([{ x_m: 3, y_m: 4 }], 1)).toEqual({ west_m: 2, east_m: 4, south_m: 3, north_m: 5 });
  });
});
