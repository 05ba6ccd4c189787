// The grove: rows of trees, their places and their lists.
import { axe, drag, expect, middle, open, picture, rained, test } from './app';

test('a row of trees is set, one is moved, all are on the list', async ({ page, site }) => {
  await open(page, site, 'plant');
  await rained(page);
  const list = page.getByRole('region', { name: 'Trees, in walking order' });
  await expect(list.getByRole('row')).toHaveCount(13);
  await expect(list.getByRole('row', { name: /F1 fig (yes|doubtful|no)/ })).toBeVisible();

  await page.getByRole('textbox', { name: 'First at, m' }).fill('36');
  await page.getByRole('textbox', { name: 'One every, m' }).fill('4');
  await page.getByRole('textbox', { name: 'How many' }).fill('9');
  await page.getByRole('button', { name: 'Set 3 trees' }).click(); // no more fit on 44 m
  await expect(list.getByRole('row')).toHaveCount(16);
  expect(site.plan()).toMatch(/name = "F6"\s+species = "fig"\s+line = "top"\s+at_m = 44/);

  await list.getByRole('button', { name: /A2/ }).click();
  const picked = page.getByRole('region', { name: 'A2' });
  await picked.getByRole('textbox', { name: 'Along low' }).fill('26,5');
  await page.keyboard.press('Enter');
  await expect.poll(() => site.plan()).toMatch(/name = "A2"[^[]*at_m = 26.5/);
  await picked.getByLabel('Planted on').fill('2026-11-21');
  await page.keyboard.press('Enter');
  await expect.poll(() => site.plan()).toMatch(/name = "A2"[^[]*planted = "2026-11-21"/);

  const tree = page.getByRole('button', { name: /^P4 / });
  await drag(page, await middle(tree.locator('.crown')), { x: 10, y: 6 });
  await expect.poll(() => site.plan()).not.toMatch(/name = "P4"[^[]*at_m = 34\n/);
});

test('the years are lived through: dry days by month, litres by hand, rounds', async ({ page, site }) => {
  test.slow(); // ten years, day by day, unoptimised
  await open(page, site, 'tend');
  await page.getByRole('button', { name: 'Live through the years' }).click();
  const chart = page.getByRole('region', { name: 'Dry days in each month' });
  await expect(chart.getByRole('row')).toHaveCount(13, { timeout: 60_000 });
  await expect(page.getByRole('region', { name: 'In a year, by tree' })).toContainText('fig');
  await expect(page.getByRole('heading', { name: 'Rounds of carrying water' })).toBeVisible();
  await chart.scrollIntoViewIfNeeded();
  await picture(page, 'seasons');
  expect(await axe(page)).toEqual([]);
});
