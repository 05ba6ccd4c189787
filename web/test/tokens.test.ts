// Contrast of every pair that carries words or marks, worked out on the tokens: the browser's checker gives up on text
// over pictures. Ratios by WCAG 2.2, "relative luminance" and "contrast ratio"; 4.5 for text (1.4.3), 3 for marks
// and controls (1.4.11).
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const css = readFileSync(new URL('../src/style/tokens.css', import.meta.url), 'utf8');

function tokens(selector: string): Map<string, string> {
  const start = css.indexOf(`${selector} {`);
  expect(start, selector).toBeGreaterThanOrEqual(0);
  const block = css.slice(start, css.indexOf('}', start));
  return new Map([...block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})/g)].map(([, name, hex]) => [name ?? '', hex ?? '']));
}

const base = tokens(':root');
const themes = {
  paper: base,
  dark: new Map([...base, ...tokens(':root[data-theme="dark"]')]),
  sun: new Map([...base, ...tokens(':root[data-theme="sun"]')]),
};

function luminance(hex: string): number {
  const channel = (at: number) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}

function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

const TEXT: readonly [string, string][] = [
  ['ink', 'paper'],
  ['ink', 'page'],
  ['ink', 'caution-ground'],
  ['ink-2', 'paper'],
  ['ink-2', 'page'],
  ['plum', 'page'],
  ['caution', 'page'],
  ['page', 'ink'],
  ['on-plum', 'plum'],
  ['page', 'caution'],
  ['ink', 'light'],
  ['tree', 'light'],
  ['ink-2', 'light'],
];
const MARKS: readonly [string, string][] = [
  ['edge', 'page'],
  ['edge', 'paper'],
  ['caution', 'light'],
  ['caution', 'caution-ground'],
  ['water-4', 'light'],
  ['plum', 'light'],
  ['ink', 'shadow'],
  ['contour', 'light'],
];

describe.each(Object.entries(themes))('%s', (_, theme) => {
  it.each(TEXT)('words in %s read on %s', (over, under) => {
    expect(contrast(theme.get(over) ?? '', theme.get(under) ?? '')).toBeGreaterThanOrEqual(4.5);
  });
  it.each(MARKS)('marks in %s show on %s', (over, under) => {
    expect(contrast(theme.get(over) ?? '', theme.get(under) ?? '')).toBeGreaterThanOrEqual(3);
  });
});

it('knows the contrast of black and white', () => {
  expect(contrast('#000000', '#ffffff')).toBe(21);
});
