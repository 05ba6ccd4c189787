// The keyboard alone, reduced motion, and what a screen reader is told.
import { expect, open, rained, test, voice } from './app';

test('a peg is reached, moved, put back, moved again and set, then undone, by keys alone', async ({ page, site }) => {
  await open(page, site, 'lines');
  await rained(page);
  const before = site.plan();
  // Tab from the top of the page until the first peg of the line "low" has the focus.
  const focused = () => page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? '');
  let tabs = 0;
  while (!(await focused()).startsWith('Peg 1 of low,')) {
    await page.keyboard.press('Tab');
    expect(++tabs, 'Tab stops before the peg').toBeLessThan(120);
  }
  const stood = await focused();
  await page.keyboard.press('Enter');
  await expect(voice(page)).toContainText('In hand');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('Shift+ArrowRight');
  await expect.poll(focused).toContain('20.10 east, 25.00 north');
  await page.keyboard.press('Escape');
  await expect.poll(focused).toBe(stood);
  expect(site.plan()).toBe(before);

  await page.keyboard.press('Enter');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('Enter');
  await expect.poll(() => site.plan()).toContain('from = [20, 25]');
  await expect.poll(focused).toContain('20.00 east, 25.00 north');
  await page.keyboard.press('Control+z');
  await expect.poll(() => site.plan()).toBe(before);

  // Along the pegs with arrows; the map itself moves by arrows once it has the focus.
  await page.keyboard.press('ArrowRight');
  await expect.poll(focused).toContain('Peg 2 of low');
});

test('the long section is walked by keys and says what it shows', async ({ page, site }) => {
  await open(page, site, 'rain');
  await rained(page);
  await page.getByRole('button', { name: /^1 top/ }).click();
  const section = page.getByRole('slider', { name: /Long section of top/ });
  await section.focus();
  await page.keyboard.press('Shift+ArrowRight');
  await expect(section).toHaveAttribute('aria-valuetext', /at 10\.0.m: bed .* bank /);
  await expect(page.locator('.ring')).toBeAttached();
});

test('with reduced motion nothing moves by itself: the rain goes on by steps', async ({ page, site }) => {
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await open(page, site, 'rain');
  await rained(page);
  await page.getByRole('button', { name: 'Let it rain' }).click();
  const time = page.getByRole('slider', { name: 'Time since the first drop' });
  await expect(time).toHaveAttribute('aria-valuetext', /after the first drop/);
  const shown = await time.inputValue();
  await page.waitForTimeout(600);
  expect(await time.inputValue()).toBe(shown);
  await page.getByRole('button', { name: 'Rain on' }).click();
  await expect(time).not.toHaveValue(shown);
});
