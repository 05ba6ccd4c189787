// The neatline: the alternating border with metre figures that is the sheet's coordinate display.
import { toM, type View } from './view';

/** One step along the border. */
export interface Step {
  /** Pixels from the left (or top) edge of the window. */
  from: number;
  to: number;
  /** Metres at the step's beginning: its west or its north end. */
  at_m: number;
  inked: boolean;
}

/** The round number of metres that comes nearest to so many pixels and is not shorter. */
export function roundStep_m(k: number, atLeastPx: number): number {
  const wanted_m = atLeastPx / k;
  const decade = 10 ** Math.floor(Math.log10(wanted_m));
  for (const times of [1, 2, 5, 10]) if (decade * times >= wanted_m) return decade * times;
  return decade * 10;
}

function even(count: number): boolean {
  return Math.abs(count % 2) === 0;
}

/** Steps along the top or bottom edge. */
export function eastSteps(view: View, step_m: number): Step[] {
  const west_m = toM(view, { x: 0, y: 0 }).x_m;
  const steps: Step[] = [];
  for (let n = Math.floor(west_m / step_m); ; n++) {
    const from = (n * step_m - west_m) * view.k;
    if (from >= view.width) return steps;
    steps.push({
      from: Math.max(0, from),
      to: Math.min(view.width, from + step_m * view.k),
      at_m: n * step_m,
      inked: even(n),
    });
  }
}

/** Steps along the left or right edge, from the top down. */
export function northSteps(view: View, step_m: number): Step[] {
  const north_m = toM(view, { x: 0, y: 0 }).y_m;
  const steps: Step[] = [];
  for (let n = Math.ceil(north_m / step_m); ; n--) {
    const from = (north_m - n * step_m) * view.k;
    if (from >= view.height) return steps;
    steps.push({
      from: Math.max(0, from),
      to: Math.min(view.height, from + step_m * view.k),
      at_m: n * step_m,
      inked: even(n),
    });
  }
}
