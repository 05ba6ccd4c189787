// Laying out by hand: draw, drag, cut, join, take out; sills along the bank; trees, waters, fences, keep-clears; and back.
import type { Page } from '@playwright/test';
import { along, drag, expect, middle, open, rained, type Site, test } from './app';

/** Where a place of the site is in the window, read off the map's own transform. */
async function onSheet(page: Page, x_m: number, y_m: number): Promise<{ x: number; y: number }> {
  // Two pegs whose places are known fix the scale: the first pegs of "top" and of "low".
  const at = async (name: RegExp) => middle(page.getByRole('button', { name }));
  const a = await at(/^Peg 1 of top,/);
  const b = await at(/^Peg 1 of low,/);
  const k = (b.y - a.y) / (58 - 24);
  return { x: a.x + (x_m - 24) * k, y: a.y + (58 - y_m) * k };
}

async function tapAt(page: Page, x_m: number, y_m: number): Promise<void> {
  const { x, y } = await onSheet(page, x_m, y_m);
  await page.mouse.click(x, y);
}

async function undoAll(page: Page, site: Site, before: string): Promise<void> {
  const undo = page.getByRole('button', { name: 'Undo' });
  for (let i = 0; i < 20 && site.plan() !== before; i++) {
    await expect(undo).toBeEnabled();
    const text = site.plan();
    await undo.click();
    // An edit that was still on its way when the text was read is what this step takes back: then nothing changes here.
    await expect
      .poll(() => site.plan(), { timeout: 2000 })
      .not.toBe(text)
      .catch(() => undefined);
  }
  expect(site.plan()).toBe(before);
}

test('lines are drawn, cut, joined and taken out, and all of it undone to the byte', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  const before = site.plan();

  await page.getByRole('button', { name: 'Swale', exact: true }).click();
  await tapAt(page, 30, 14);
  await expect(page.locator('.instructions')).toContainText('Now point the way');
  const end = await onSheet(page, 60, 16);
  await page.mouse.move(end.x, end.y, { steps: 3 });
  await expect(page.locator('.draft .trail')).toBeAttached();
  await page.mouse.click(end.x, end.y);
  await expect(page.getByRole('heading', { level: 2 })).toContainText('swale 1');
  expect(site.plan()).toContain('name = "swale 1"');
  expect(site.plan()).toContain('from = [30');

  await page.getByRole('button', { name: 'Cut', exact: true }).click();
  const line = page.getByRole('button', { name: /^low, swale/ });
  await line.focus();
  await page.keyboard.press('Enter'); // by keys: in the middle
  await expect.poll(() => site.plan().match(/^\[\[line\]\]/gm)?.length).toBe(7);

  await page.getByRole('button', { name: 'Join', exact: true }).click();
  await line.focus();
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: /^line 1, swale/ }).focus();
  await page.keyboard.press('Enter');
  await expect.poll(() => site.plan().match(/^\[\[line\]\]/gm)?.length).toBe(6);

  await page.getByRole('button', { name: '‹ All lines' }).click();
  await page.locator('.line-row').filter({ hasText: 'swale 1' }).click();
  await page.getByRole('button', { name: 'Take out swale 1' }).click();
  await expect.poll(() => site.plan()).not.toContain('swale 1');
  await undoAll(page, site, before);
});

test('a sill is drawn along the bank, moved and made wider by hand', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  const before = site.plan();
  await page.getByRole('button', { name: 'Sill', exact: true }).click();
  const low = page.locator('[data-hit="line:low"] .casing').first();
  const [from, to] = [await along(low, 0.7), await along(low, 0.8)];
  await drag(page, from, { x: to.x - from.x, y: to.y - from.y });
  await expect.poll(() => site.plan().match(/\[\[line\.sill\]\]/g)?.length).toBe(4);
  const drawn = /at_m = (5[0-9.]+)\s+width_m = ([0-9.]+)/.exec(site.plan());
  expect(Number(drawn?.[2])).toBeGreaterThan(5.5); // a tenth of 70 m, less what the hand is off
  expect(Number(drawn?.[2])).toBeLessThan(8.5);

  const sill = page.getByRole('button', { name: /^Sill of low at 5/ });
  // The file has the sill before the page has its answer; until then a click would draw another.
  await expect(page.getByRole('button', { name: 'Sill', exact: true })).toHaveAttribute('aria-pressed', 'false');
  const crest = await along(sill.locator('.grip'), 0.5);
  await page.mouse.click(crest.x, crest.y);
  const far = page.getByRole('button', { name: /^Far end of the sill of low/ });
  await drag(page, await middle(far), { x: 12, y: 4 });
  await expect
    .poll(() => Number(/at_m = 5[0-9.]+\s+width_m = ([0-9.]+)/.exec(site.plan())?.[1]))
    .toBeGreaterThan(Number(drawn?.[2]) + 1);
  await far.focus();
  await page.keyboard.press('Enter');
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('Enter');
  await sill.focus();
  await page.keyboard.press('Enter');
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('button', { name: /^Sill of low at 5/ })).toBeAttached();
  await undoAll(page, site, before);
});

test('trees, waters, fences and keep-clears are put down and moved', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  const before = site.plan();
  const tree = page.getByRole('button', { name: /^A3 / });
  await drag(page, await middle(tree.locator('.crown')), { x: 14, y: 10 });
  await expect.poll(() => /name = "A3"[^[]*/.exec(site.plan())?.[0]).not.toContain('at_m = 34\n');

  await page.getByRole('button', { name: 'Tree', exact: true }).click();
  await page.getByRole('textbox', { name: 'What tree' }).fill('almond');
  await tapAt(page, 100, 20);
  await expect.poll(() => site.plan()).toContain('name = "A6"');
  await page.getByRole('button', { name: 'Put the tool away' }).click();

  await page.getByRole('button', { name: 'Fence', exact: true }).click();
  await tapAt(page, 90, 12);
  await tapAt(page, 110, 12);
  await page.getByRole('textbox', { name: 'Name', exact: true }).fill('new hedge');
  await page.getByRole('combobox', { name: 'Kind' }).selectOption('hedge');
  await page.getByRole('button', { name: 'Keep it' }).click();
  await expect.poll(() => site.plan()).toContain('name = "new hedge"');

  await page.getByRole('button', { name: 'Keep clear', exact: true }).click();
  await tapAt(page, 104, 26);
  await page.getByRole('textbox', { name: 'Name', exact: true }).fill('old well');
  await page.getByRole('combobox', { name: 'Kind' }).selectOption('well');
  await page.getByRole('button', { name: 'Keep it' }).click();
  await expect.poll(() => site.plan()).toContain('name = "old well"');
  const well = page.getByRole('button', { name: 'old well, well' });
  await well.focus();
  await page.keyboard.press('Enter');
  await drag(page, await middle(page.getByRole('button', { name: /^Place of old well/ })), { x: 20, y: 0 });
  await expect.poll(() => /name = "old well"[^[]*at = \[([0-9.]+)/.exec(site.plan())?.[1]).not.toBe('104');

  await page.getByRole('button', { name: 'Water in', exact: true }).click();
  await page.getByRole('button', { name: /^middle, swale/ }).focus();
  await page.keyboard.press('Enter');
  await page.getByRole('textbox', { name: 'What is it' }).fill('goat shed roof');
  await page.getByRole('textbox', { name: 'Area, m²' }).fill('36');
  await page.getByRole('button', { name: 'Keep it' }).click();
  await expect.poll(() => site.plan()).toContain('name = "goat shed roof"');
  await undoAll(page, site, before);
});

test('by keys alone: a swale is drawn with the pencil', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  await page.getByRole('button', { name: 'Swale', exact: true }).focus();
  await page.keyboard.press('Enter');
  for (let i = 0; i < 6; i++) await page.keyboard.press('Control+ArrowDown');
  await expect(page.locator('.pencil')).toBeAttached();
  await page.keyboard.press('Enter');
  for (let i = 0; i < 4; i++) await page.keyboard.press('Control+ArrowRight');
  await page.keyboard.press('Enter');
  await expect.poll(() => site.plan()).toContain('name = "swale 1"');
});
