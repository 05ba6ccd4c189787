// The field book: written at the table and in the paddock, kept as a plain table, with its photographs.
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { along, expect, open, picture, rained, test } from './app';

test('a rain, a water’s edge by the map and a tree with its photograph are written down', async ({ page, site }) => {
  await open(page, site, 'book');
  await rained(page);
  const book = () => readFileSync(join(site.dir, 'field-book.csv'), 'utf8');

  await page.getByRole('button', { name: 'Rain in the gauge' }).click();
  await page.getByRole('textbox', { name: 'How much, mm' }).fill('31,5');
  await page.getByLabel('Day').fill('2026-11-24');
  await page.getByRole('textbox', { name: 'Who saw it' }).fill('Ana');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await expect(page.getByRole('region', { name: '2026-11-24' })).toContainText('31.5');
  expect(book()).toMatch(/2026-11-24,.*rain.*31\.5,mm/);

  await page.getByRole('button', { name: 'Water’s edge' }).click();
  const place = await along(page.locator('[data-hit="line:low"] .casing').first(), 0.5);
  await page.mouse.click(place.x, place.y);
  await expect(page.getByRole('combobox', { name: 'Where' })).toHaveValue('line:low');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await expect(page.getByRole('img', { name: /^Seen: Water’s edge/ })).toBeAttached();
  expect(book()).toMatch(/water edge,low,3[345]/);

  await page.getByRole('button', { name: 'A tree', exact: true }).click();
  await page.getByRole('combobox', { name: 'Where' }).selectOption('tree:F2');
  await page.getByRole('textbox', { name: 'In your words' }).fill('two new shoots, one bitten');
  const photo = Buffer.from(await page.screenshot({ clip: { x: 0, y: 0, width: 200, height: 150 } }));
  await page.getByLabel('Photograph').setInputFiles({ name: 'f2.png', mimeType: 'image/png', buffer: photo });
  await page.getByRole('button', { name: 'Write it down' }).click();
  const kept = page.getByRole('img', { name: 'Photograph: tree' });
  await expect(kept).toBeVisible();
  expect(await kept.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBe(200);
  const name = /F2.*,([^,]+\.jpe?g),/.exec(book())?.[1] ?? '';
  expect(name).not.toBe('');
  await picture(page, 'book-written');

  await page.getByRole('button', { name: 'Strike out Rain in the gauge of 2026-11-24' }).click();
  await expect(page.getByRole('region', { name: '2026-11-24' })).not.toContainText('31.5');
  expect(book()).toMatch(/31\.5/); // struck out, not rubbed out
  expect(existsSync(join(site.dir, 'field-book.csv'))).toBe(true);
});
