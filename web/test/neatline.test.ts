import { describe, expect, it } from 'vitest';
import { px, roundSteps, thinned, value } from '../src/chart/axis';
import { eastSteps, northSteps, roundStep_m } from '../src/sheet/neatline';

describe('the neatline', () => {
  const view = { cx_m: 50, cy_m: 30, k: 4, width: 400, height: 240 };

  it('steps by 1, 2 or 5 times a power of ten, no shorter than asked', () => {
    expect(roundStep_m(4, 70)).toBe(20);
    expect(roundStep_m(70, 70)).toBe(1);
    expect(roundStep_m(400, 70)).toBe(0.2);
    expect(roundStep_m(0.05, 70)).toBe(2000);
  });

  it('covers the whole edge without gaps, ink and paper in turn', () => {
    for (const [steps, length] of [
      [eastSteps(view, 20), 400],
      [northSteps(view, 20), 240],
    ] as const) {
      expect(steps[0]?.from).toBe(0);
      expect(steps.at(-1)?.to).toBe(length);
      for (let i = 1; i < steps.length; i++) {
        expect(steps[i]?.from).toBeCloseTo(steps[i - 1]?.to ?? Number.NaN, 9);
        expect(steps[i]?.inked).not.toBe(steps[i - 1]?.inked);
      }
    }
  });

  it('writes the metres where they are', () => {
    const forty = eastSteps(view, 20).find((step) => step.at_m === 40);
    expect(forty?.from).toBe(160); // (40 - 50) · 4 + 200
    const twenty = northSteps(view, 20).find((step) => step.at_m === 20);
    expect(twenty?.from).toBe(160); // (30 - 20) · 4 + 120
  });
});

describe('axes', () => {
  it('go there and back', () => {
    const scale = { from: 200, to: 206, px0: 150, px1: 10 };
    expect(px(scale, 203)).toBe(80);
    expect(value(scale, px(scale, 201.7))).toBeCloseTo(201.7, 9);
  });

  it('have round steps inside the range', () => {
    expect(roundSteps(0, 44, 5)).toEqual([0, 10, 20, 30, 40]);
    expect(roundSteps(205.3, 206.2, 4).map((z) => z.toFixed(1))).toEqual(['205.5', '206.0']);
    expect(roundSteps(3, 3, 4)).toEqual([3]);
  });

  it('are thinned to the least and the greatest of each pixel column', () => {
    const points = [
      [0.1, 5],
      [0.4, 1],
      [0.8, 9],
      [1.2, 4],
    ] as const;
    expect(thinned(points)).toEqual([
      [0.4, 1],
      [0.8, 9],
      [1.2, 4],
    ]);
  });
});
