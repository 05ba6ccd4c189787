// From nothing: a new site with an A-frame and a tape to a sized first swale; the example in one press; feet at the door.
import { axe, expect, open, picture, test } from './app';

test.describe('a site begun on the command line', () => {
  test.use({ begun: 'new' });

  test('is guided to a sized swale', async ({ page, site }, { project }) => {
    await open(page, site, '');
    await expect(page.getByRole('heading', { name: 'Your first swale' })).toBeVisible();
    const sized = page.getByRole('region', { name: /^What “top” does/ });
    const filledBy = sized.locator('dt', { hasText: 'Filled by a rain of' }).locator('+ dd');
    const first = await filledBy.textContent();

    await page.getByRole('textbox', { name: 'What is it called' }).fill('Back field');
    await page.keyboard.press('Tab');
    await page.getByRole('combobox', { name: 'Soil by feel' }).selectOption('sandy loam');
    await page.getByRole('textbox', { name: 'Depth of the rain' }).fill('55');
    await page.keyboard.press('Tab');
    await page.getByRole('textbox', { name: 'Length pegged level, m' }).fill('24');
    await page.getByRole('button', { name: 'It is level' }).click();
    await page.getByRole('textbox', { name: 'Paced uphill, m' }).fill('30');
    await page.getByRole('textbox', { name: 'Paced across, m' }).fill('24');
    await page.getByRole('button', { name: 'Take 720 m²' }).click();
    await page.getByRole('textbox', { name: 'Fall in one metre across' }).fill('15');
    await page.keyboard.press('Tab');

    await expect.poll(() => site.plan()).toContain('cross_slope = "15%"');
    const plan = site.plan();
    for (const written of ['name = "Back field"', 'texture = "sandy loam"', 'depth_mm = 55', 'catchment_m2 = 720'])
      expect(plan).toContain(written);
    expect(plan).toContain('# from any map; negative in the south'); // remarks stay
    await expect(filledBy).not.toHaveText(first ?? '');
    await expect(sized).toContainText('Its sill needs');
    await picture(page, `start-${project.name}`);
    expect(await axe(page)).toEqual([]);

    // The other screens work without a map.
    await page.getByRole('link', { name: 'Rain' }).click();
    await expect(page.locator('.by-tape .section')).toHaveCount(1);
    await expect(page.locator('.verdict .soaks')).toBeVisible();
    await picture(page, `start-rain-${project.name}`);
    expect(await axe(page)).toEqual([]);
  });

  test('becomes the example in one press', async ({ page, site }) => {
    await open(page, site, 'start');
    await page.getByRole('button', { name: 'Open the example here' }).click();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText('Quarry Bank');
    await page.getByRole('link', { name: 'Lines' }).click();
    await expect(page.getByRole('button', { name: /^Peg 1 of middle/ })).toBeAttached();
  });
});

test.describe('an empty folder', () => {
  test.use({ begun: 'nothing' });

  test('asks what to begin with', async ({ page, site }) => {
    await open(page, site, '');
    await expect(page.getByRole('heading', { name: 'A new site' })).toBeVisible();
    expect(await axe(page)).toEqual([]);
    await page.getByRole('textbox', { name: 'What is it called' }).fill('Top paddock');
    await page.getByRole('button', { name: 'Begin my site' }).click();
    await expect(page.getByRole('heading', { name: 'Your first swale' })).toBeVisible();
    expect(site.plan()).toContain('name = "Top paddock"');
  });
});

test('feet and inches are for the eye only', async ({ page, site }) => {
  await open(page, site, 'about');
  await page.getByRole('checkbox', { name: /feet and inches/ }).check();
  await page.getByRole('link', { name: 'Lines' }).click();
  await expect(page.locator('.line-row').first()).toContainText('144\u2009ft');
  const plan = site.plan();
  await page.locator('.line-row').first().click();
  await expect(page.getByRole('textbox', { name: 'Bed width' })).toHaveValue('0.50');
  expect(site.plan()).toBe(plan);
});
