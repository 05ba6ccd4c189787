// Axes: round steps, and the straight scale from a number to a pixel.

/** From a range of numbers to a range of pixels. */
export interface Scale {
  from: number;
  to: number;
  px0: number;
  px1: number;
}

export function px(scale: Scale, value: number): number {
  const span = scale.to - scale.from || 1;
  return scale.px0 + ((value - scale.from) / span) * (scale.px1 - scale.px0);
}

export function value(scale: Scale, at: number): number {
  const span = scale.px1 - scale.px0 || 1;
  return scale.from + ((at - scale.px0) / span) * (scale.to - scale.from);
}

/** Round numbers from `from` to `to`, about `count` of them: steps of 1, 2 or 5 times a power of ten. */
export function roundSteps(from: number, to: number, count: number): number[] {
  if (!(to > from)) return [from];
  const raw = (to - from) / Math.max(1, count);
  const decade = 10 ** Math.floor(Math.log10(raw));
  const step = decade * ([1, 2, 5, 10].find((times) => decade * times >= raw) ?? 10);
  const found: number[] = [];
  for (let n = Math.ceil(from / step - 1e-9); n * step <= to + step * 1e-9; n++) found.push(n * step + 0); // never minus nought
  return found;
}

/** Points thinned to the least and the greatest in each pixel column, in order: what a pen would still draw. */
export function thinned(points: readonly (readonly [number, number])[]): [number, number][] {
  const kept: [number, number][] = [];
  let column = Number.NaN;
  let low: readonly [number, number] | null = null;
  let high: readonly [number, number] | null = null;
  const flush = () => {
    if (!low || !high) return;
    const pair = low[0] <= high[0] ? [low, high] : [high, low];
    for (const point of low === high ? [low] : pair) kept.push([point[0], point[1]]);
  };
  for (const point of points) {
    if (Math.floor(point[0]) !== column) {
      flush();
      column = Math.floor(point[0]);
      low = point;
      high = point;
      continue;
    }
    if (!low || point[1] < low[1]) low = point;
    if (!high || point[1] > high[1]) high = point;
  }
  flush();
  return kept;
}
