// Layouts kept aside, compared in the same rain, and one adopted.
import { axe, expect, open, picture, test } from './app';

test('the plan is kept aside, changed, compared, and the other adopted', async ({ page, site }) => {
  await open(page, site, 'layouts');
  const before = site.plan();
  await page.getByRole('textbox', { name: 'Name for the plan as it is' }).fill('as drawn');
  await page.getByRole('button', { name: 'Keep it aside' }).click();
  const table = page.getByRole('region', { name: 'Layouts side by side' });
  await expect(table.getByRole('columnheader', { name: 'as drawn' })).toBeVisible();

  site.writePlan(before.replaceAll('bank_height_m = 0.30', 'bank_height_m = 0.36'));
  const holds = table.getByRole('row', { name: /^Holds, brim-full/ }).getByRole('cell');
  await expect.poll(async () => new Set(await holds.allTextContents()).size).toBe(2);
  await picture(page, 'layouts');
  expect(await axe(page)).toEqual([]);

  await page.getByRole('button', { name: 'Make as drawn the plan' }).click();
  await expect.poll(() => site.plan()).toBe(before);
});
