// In the paddock: 390 pixels wide, by touch.
import { along, expect, open, rained, test } from './app';

test('a tap chooses a line, and the dial turns under a thumb', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  const spot = await along(page.locator('[data-hit="line:low"] .casing').first(), 0.82);
  await page.touchscreen.tap(spot.x, spot.y);
  await expect(page.getByRole('heading', { level: 2 })).toContainText('low');

  const dial = page.getByRole('slider', { name: 'Depth of the next rain' });
  const gauge = await dial.boundingBox();
  if (!gauge) throw new Error('no dial');
  expect(gauge.height).toBeGreaterThanOrEqual(44);
  await page.touchscreen.tap(gauge.x + gauge.width * 0.9, gauge.y + gauge.height / 2);
  expect(Number(await dial.inputValue())).toBeGreaterThan(100);
});
