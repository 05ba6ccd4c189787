// What is dangerous cannot be missed: on each screen, on the map, in the list with its reasons, and on paper.
import { axe, expect, open, picture, rained, test } from './app';

test('a stop is on every screen and on paper, with why, what to do, whom to ask and its source', async ({
  page,
  site,
}) => {
  site.writePlan(site.plan().replace('jar_test = "slakes"', 'jar_test = "clouds"'));
  const stop = page.locator('.notice.stop');
  for (const screen of ['ground', 'rain', 'plant', 'tend', 'book', 'print', 'about', 'lines']) {
    await open(page, site, screen);
    await expect(stop).toContainText('Do not dig yet');
    await page.emulateMedia({ media: 'print' });
    await expect(stop).toBeVisible();
    await page.emulateMedia({ media: null });
  }
  await rained(page);
  await picture(page, 'stop');
  expect(await axe(page)).toEqual([]);
  await stop.getByRole('button', { name: /^Why:/ }).click();
  const note = page.locator('.finding-note.stop');
  for (const part of ['Why', 'Do', 'Ask', 'Source']) await expect(note.getByText(part, { exact: true })).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(note).toHaveCount(0);

  // In the list the gravest is first, and it shows on the map what has a place there.
  const list = page.locator('ul.findings > li');
  await expect(list.first()).toContainText('Stop');
  const placed = list.filter({ hasText: 'Surplus leaves your land' });
  await placed.locator('summary').click();
  await placed.getByRole('button', { name: 'Show on the map' }).click();
  await expect(page.getByRole('button', { name: /^Look: Surplus leaves your land/ })).toBeVisible();
});
