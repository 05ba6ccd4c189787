// Every screen, in a theme and a size each: no fault that axe can find, targets large enough, nothing sideways, a picture.
import { axe, expect, open, picture, rained, test } from './app';

const SCREENS = ['ground', 'lines', 'rain', 'plant', 'tend', 'book', 'print', 'about'];
const WITH_MAP = new Set(['ground', 'lines', 'rain', 'plant', 'tend', 'book']);

async function look(page: Parameters<typeof axe>[0], site: Parameters<typeof open>[1], screen: string, theme: string) {
  await page.addInitScript((choice) => {
    localStorage.setItem('hillsip.preferences', JSON.stringify({ theme: choice, feet: false }));
  }, theme);
  await open(page, site, screen);
  if (WITH_MAP.has(screen)) await rained(page);
  if (screen === 'print') await expect(page.locator('.paper-sheet')).toBeVisible();
}

/** Things to press that are smaller than a finger, 44 CSS pixels (WCAG 2.2, 2.5.5). Words in a sentence may be. */
function tooSmall(page: Parameters<typeof axe>[0]): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('button, select, input, a[href], summary')].flatMap((element) => {
      const target = element.matches('input[type=checkbox], input[type=radio]') ? element.closest('label') : element;
      const box = target?.getBoundingClientRect();
      const style = getComputedStyle(element);
      const inText = element.closest('p, dd, .verdict') !== null && style.display.startsWith('inline');
      if (!box || box.width === 0 || inText || element.matches('.skip')) return [];
      return box.width < 43.5 || box.height < 43.5
        ? [`${element.outerHTML.slice(0, 120)}: ${Math.round(box.width)} × ${Math.round(box.height)}`]
        : [];
    }),
  );
}

for (const screen of SCREENS) {
  test(`${screen}: axe, targets, picture`, async ({ page, site }, { project }) => {
    const phone = project.name === 'phone';
    await look(page, site, screen, phone ? 'sun' : 'paper');
    await picture(page, `${screen}-${project.name}`);
    expect(await axe(page)).toEqual([]);
    expect(await tooSmall(page)).toEqual([]);
    const wider = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    expect(wider, 'pixels that stick out sideways').toBeLessThanOrEqual(0);
  });
}

test('lamp theme', async ({ page, site }, { project }) => {
  test.skip(project.name === 'phone', 'once is enough');
  await look(page, site, 'lines', 'dark');
  await picture(page, 'lines-lamp');
  expect(await axe(page)).toEqual([]);
});
