import { afterEach, describe, expect, it } from 'vitest';
import { centimetres, feetAndInches, figure, metres, rainDepth, typed, volume } from '../src/state/figures';
import { feet } from '../src/state/look';

const plain = (text: string) => text.replaceAll('\u2009', ' ');
afterEach(() => {
  feet.value = false;
});

describe('figures', () => {
  it('are metric with a thin space before the unit', () => {
    expect(metres(12.345)).toBe('12.3\u2009m');
    expect(plain(centimetres(0.064))).toBe('6 cm');
    expect(plain(volume(0.25))).toBe('250 L');
    expect(plain(volume(28.44))).toBe('28.4 m³');
  });

  it('have a real minus and no minus nought', () => {
    expect(figure(-2.5, 1)).toBe('−2.5');
    expect(figure(-0.01, 1)).toBe('0.0');
  });

  // The international foot is 0.3048 m: 100 ft = 30.48 m; 1 m = 39.37 in = 3 ft 3.37 in, to the half inch 3 ft 3½ in.
  it('turn into feet and inches', () => {
    expect(plain(feetAndInches(30.48))).toBe('100 ft');
    expect(plain(feetAndInches(1))).toBe('3 ft 3½ in');
    expect(plain(feetAndInches(0.0127))).toBe('½ in');
    expect(plain(feetAndInches(0.3048))).toBe('1 ft');
    expect(plain(feetAndInches(-0.6096))).toBe('−2 ft');
    expect(plain(feetAndInches(0.3047))).toBe('1 ft'); // 11.996 in rounds up to the foot, not to "12 in"
    expect(plain(feetAndInches(0))).toBe('0 in');
  });

  it('show in feet only when that is wanted', () => {
    feet.value = true;
    expect(plain(metres(30.48))).toBe('100 ft');
    expect(plain(rainDepth(25.4))).toBe('1.0 in');
  });

  it('are read with a point or a comma, and nothing else', () => {
    expect(typed('12.5')).toBe(12.5);
    expect(typed(' 12,5 ')).toBe(12.5);
    expect(typed('−3')).toBe(-3);
    for (const wrong of ['', '1,2,3', '12 m', '1e5', 'Infinity', '--2', '.']) expect(typed(wrong)).toBeNull();
  });
});
