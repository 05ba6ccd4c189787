// The main path: what will the next rain do, and what does it do when a peg is moved?
import { readFileSync } from 'node:fs';
import { drag, expect, middle, open, rained, test, voice } from './app';

test('the dial fills the lines, and says reach and first breakout', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  const dial = page.getByRole('slider', { name: 'Depth of the next rain' });
  await expect(dial).toHaveValue('62'); // the plan's own storm

  await dial.fill('5');
  await expect(page.locator('.verdict')).toContainText('No bank is overtopped');
  await expect(page.getByRole('button', { name: /^F1 .* in this rain, fig/ })).toBeAttached();
  await page.getByRole('combobox', { name: 'in' }).selectOption('0.5');
  await dial.fill('150');
  await expect(page.locator('.verdict')).toContainText('First to break out');
  await expect(page.locator('.breakout').first()).toBeAttached();
  expect(await page.locator('.wash path').count()).toBeGreaterThan(0);

  await page.getByRole('link', { name: 'Rain' }).click();
  const table = page.getByRole('region', { name: 'Line by line' });
  await expect(table.getByRole('row')).toHaveCount(6); // a head and five lines
  await page.locator('.verdict .link').click();
  await expect(page.locator('.section')).toBeVisible(); // the long section of the line that goes first
});

test('a start peg is dragged, its line walks anew, undo and redo; comments stay', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  const before = site.plan();
  const peg = page.getByRole('button', { name: /^Peg 1 of middle,/ });
  const was = await peg.getAttribute('aria-label');
  const pathWas = await page.locator('[data-hit="line:middle"] .casing').first().getAttribute('d');

  await drag(page, await middle(peg), { x: 22, y: -16 });
  await expect(peg).not.toHaveAttribute('aria-label', was ?? '');
  await expect(page.getByRole('button', { name: 'Undo' })).toBeEnabled();
  const after = site.plan();
  expect(after).not.toBe(before);
  expect(after).not.toContain('from = [24, 41]');
  expect(await page.locator('[data-hit="line:middle"] .casing').first().getAttribute('d')).not.toBe(pathWas);
  // Only the line of the peg has changed; all comments are where they were.
  const changed = after.split('\n').filter((line, i) => line !== before.split('\n')[i]);
  expect(changed.length).toBeLessThanOrEqual(2);
  const remarks = before.match(/#.*/g) ?? [];
  expect(remarks.length).toBeGreaterThan(5);
  expect(after.match(/#.*/g)).toEqual(remarks);

  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(peg).toHaveAttribute('aria-label', was ?? '');
  expect(site.plan()).toBe(before);
  await page.keyboard.press('Control+Shift+Z');
  await expect(peg).not.toHaveAttribute('aria-label', was ?? '');
  await expect.poll(() => site.plan()).toBe(after);
});

test('a text editor changes the plan while the page is open: nothing is lost', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  site.writePlan(site.plan().replace('at_m = 14\n', 'at_m = 15\n').replace('name = "F3"', 'name = "Old fig"'));
  await expect(page.locator('.notice').filter({ hasText: 'Changed elsewhere' })).toBeVisible();
  await expect(page.getByRole('button', { name: /^Old fig .*, fig, along top/ })).toBeAttached();
  await page.getByRole('button', { name: 'Close' }).first().click();

  // A change from the page goes into the file as the editor left it.
  const line = page.locator('.line-row').filter({ hasText: 'low' }).first();
  await line.click();
  const depth = page.getByRole('textbox', { name: 'Depth', exact: true });
  await depth.fill('0,45');
  await depth.press('Enter');
  await expect.poll(() => site.plan()).toContain('depth_m = 0.45');
  expect(site.plan()).toContain('name = "Old fig"');

  // A file that cannot be read: the map keeps its last state and says where the fault is.
  const good = site.plan();
  site.writePlan(`${good}\n[[line]\n`);
  await expect(page.locator('.notice.caution')).toContainText('site.toml, line');
  await expect(page.getByRole('button', { name: /^Old fig .*, fig/ })).toBeAttached();
  site.writePlan(good);
  await expect(page.locator('.notice.caution')).toHaveCount(0);
});

test('two windows: one sees the other, and a change that meets another is not lost', async ({
  page,
  site,
  context,
}) => {
  await open(page, site, 'lines');
  await rained(page);
  const other = await context.newPage();
  await open(other, site, 'lines');
  await rained(other);

  const width = (window: typeof page) => window.getByRole('textbox', { name: 'Sill 1, width' });
  for (const window of [page, other]) await window.locator('.line-row').filter({ hasText: 'top' }).first().click();

  // The other window is deaf for a while: it makes its change on what it last saw.
  await other.route('**/api/site', (route) => route.abort());
  await width(page).fill('5');
  await width(page).press('Enter');
  await expect.poll(() => site.plan()).toContain('width_m = 5');
  await width(other).fill('7');
  await width(other).press('Enter');
  await expect(other.getByRole('alertdialog')).toContainText('Changed elsewhere meanwhile');
  expect(site.plan()).toContain('width_m = 5');
  await other.getByRole('button', { name: 'Make my change on it' }).click();
  await expect.poll(() => site.plan()).toContain('width_m = 7');
  await expect(width(page)).toHaveValue('7.0'); // the first window follows
  await expect(voice(page)).toContainText('Changed elsewhere');
});

test('where water goes from a place, and rain by rain with progress and a stop', async ({ page, site }) => {
  await open(page, site, 'ground');
  await rained(page);
  await page.mouse.click(250, 400);
  await expect(page.locator('.readings').filter({ hasText: 'Slope' })).toContainText('%');
  await expect(page.locator('.probe .spill')).toHaveAttribute('d', /L/);

  await page.getByRole('link', { name: 'Rain' }).click();
  await page.getByRole('button', { name: 'At which rain does what happen?' }).click();
  const steps = page.getByRole('region', { name: 'Rain by rain' });
  await expect(steps.getByRole('row')).toHaveCount(6, { timeout: 25_000 });
  await expect(steps.getByRole('row', { name: /^top/ })).toContainText('mm');

  await page.getByRole('button', { name: 'Draw fifty times' }).click();
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await expect(page.getByRole('button', { name: 'Draw fifty times' })).toBeVisible();
});

test('no file of the program is changed by looking', async ({ page, site }) => {
  const before = readFileSync(`${site.dir}/site.toml`);
  for (const screen of ['ground', 'lines', 'rain', 'print', 'about']) await open(page, site, screen);
  expect(readFileSync(`${site.dir}/site.toml`).equals(before)).toBe(true);
});
