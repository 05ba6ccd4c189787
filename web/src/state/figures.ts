// How numbers are shown: metric, or feet and inches at the door. Nothing is computed with what this module makes.
import { feet } from './look';

/** International foot, exactly 0.3048 m (international yard and pound agreement, 1959). */
const FOOT_M = 0.3048;
const INCH_M = FOOT_M / 12;

/** A thin space between a figure and its unit. */
const THIN = '\u2009';
const MINUS = '\u2212';

function fixed(value: number, digits: number): string {
  const text = Math.abs(value).toFixed(digits);
  return value < 0 && Number(text) !== 0 ? `${MINUS}${text}` : text;
}

/** A figure with so many decimals. */
export function figure(value: number, digits: number): string {
  return fixed(value, digits);
}

/** Feet and inches, to the nearest half inch below ten feet, else to the inch. */
export function feetAndInches(value_m: number): string {
  const steps = Math.abs(value_m) < 10 * FOOT_M ? 2 : 1;
  const inches = Math.round((Math.abs(value_m) / INCH_M) * steps) / steps;
  const whole = Math.floor(inches / 12);
  const rest = inches - 12 * whole;
  const half = rest % 1 === 0 ? '' : '½';
  const sign = value_m < 0 && inches !== 0 ? MINUS : '';
  const inch = `${Math.floor(rest) === 0 && half ? '' : Math.floor(rest)}${half}${THIN}in`;
  if (whole === 0) return `${sign}${inch}`;
  return rest === 0 ? `${sign}${whole}${THIN}ft` : `${sign}${whole}${THIN}ft ${inch}`;
}

/** A length on the ground. */
export function metres(value_m: number, digits = 1): string {
  return feet.value ? feetAndInches(value_m) : `${fixed(value_m, digits)}${THIN}m`;
}

/** A small height or depth. */
export function centimetres(value_m: number): string {
  return feet.value ? feetAndInches(value_m) : `${fixed(value_m * 100, 0)}${THIN}cm`;
}

/** Water in cubic metres; small amounts in litres. */
export function volume(value_m3: number): string {
  return Math.abs(value_m3) < 1 ? `${fixed(value_m3 * 1000, 0)}${THIN}L` : `${fixed(value_m3, 1)}${THIN}m³`;
}

export function litres(value_l: number): string {
  return `${fixed(value_l, 0)}${THIN}L`;
}

export function litresASecond(value_l_s: number): string {
  return `${fixed(value_l_s, 1)}${THIN}L/s`;
}

/** Rain is read off a gauge in millimetres, or inches to a tenth. */
export function rainDepth(value_mm: number): string {
  return feet.value ? `${fixed(value_mm / 1000 / INCH_M, 1)}${THIN}in` : `${fixed(value_mm, 0)}${THIN}mm`;
}

export function hours(value_h: number): string {
  return `${fixed(value_h, value_h % 1 === 0 ? 0 : 1)}${THIN}h`;
}

/** What a person typed: a point or a comma for the decimals. Null when it is not one number. */
export function typed(text: string): number | null {
  const plain = text.trim().replace(MINUS, '-').replace(',', '.');
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return null;
  return Number(plain);
}
