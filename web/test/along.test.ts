import { describe, expect, it } from 'vitest';
import { length_m, nearestOn, slice, stationAt, stations } from '../src/sheet/along';
import { snapped } from '../src/sheet/snap';

// 3-4-5: a leg of 5 m, then one of 10 m to the east; the doubled place is a leg of no length.
const path = [
  { x_m: 0, y_m: 0 },
  { x_m: 3, y_m: 4 },
  { x_m: 3, y_m: 4 },
  { x_m: 13, y_m: 4 },
];

describe('along a line', () => {
  it('measures it', () => {
    expect(length_m(path)).toBe(15);
    expect(length_m([])).toBe(0);
  });

  it('finds the place so far along, and the ends beyond', () => {
    expect(stationAt(path, 2.5)?.place).toEqual({ x_m: 1.5, y_m: 2 });
    expect(stationAt(path, 7)?.place).toEqual({ x_m: 5, y_m: 4 });
    expect(stationAt(path, -3)?.place).toEqual({ x_m: 0, y_m: 0 });
    expect(stationAt(path, 99)?.place).toEqual({ x_m: 13, y_m: 4 });
    expect(stationAt([{ x_m: 1, y_m: 1 }], 0)).toBeNull();
  });

  it('finds the nearest place on it', () => {
    const near = nearestOn(path, { x_m: 8, y_m: 7 });
    expect(near?.at_m).toBe(10);
    expect(near?.away_m).toBe(3);
    expect(nearestOn(path, { x_m: 20, y_m: 4 })?.at_m).toBe(15);
  });

  it('cuts a part out, keeping the corner', () => {
    expect(slice(path, 2.5, 7)).toEqual([
      { x_m: 1.5, y_m: 2 },
      { x_m: 3, y_m: 4 },
      { x_m: 3, y_m: 4 },
      { x_m: 5, y_m: 4 },
    ]);
    expect(slice(path, 7, 7)).toEqual([]);
  });

  it('spaces stations evenly over corners', () => {
    expect(stations(path, 1, 4).map((station) => station.at_m)).toEqual([1, 5, 9, 13]);
  });
});

describe('snapping', () => {
  const targets = [
    { place: { x_m: 0, y_m: 0 }, name: 'a' },
    { place: { x_m: 2, y_m: 0 }, name: 'b' },
  ];
  it('takes the nearest within ten pixels', () => {
    expect(snapped({ x_m: 1.2, y_m: 0 }, targets, 5)?.name).toBe('b');
    expect(snapped({ x_m: 1, y_m: 0 }, targets, 5)?.name).toBe('a'); // a tie goes to the first
    expect(snapped({ x_m: 5, y_m: 0 }, targets, 5)).toBeNull();
  });
});
