// On paper: drawings to scale, tables whole, what is dangerous in sight.
import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, open, rained, test } from './app';

test('the plan prints to scale, and each screen without its controls', async ({ page, site }) => {
  const out = join(import.meta.dirname, '..', 'pictures');
  mkdirSync(out, { recursive: true });
  await open(page, site, 'print');
  const sheet = page.locator('.paper-sheet');
  await expect(sheet).toBeVisible();
  await page.emulateMedia({ media: 'print' });
  const size = await sheet.evaluate((image: HTMLImageElement) => ({
    width_mm: (image.getBoundingClientRect().width / 96) * 25.4,
    natural_mm: (image.naturalWidth / 96) * 25.4,
  }));
  expect(Math.abs(size.width_mm - size.natural_mm)).toBeLessThan(0.3); // one CSS pixel is 0.26 mm
  await page.emulateMedia({ media: null });

  for (const screen of ['lines', 'rain']) {
    await open(page, site, screen);
    await rained(page);
    const pdf = await page.pdf({ path: join(out, `${screen}-print.pdf`), preferCSSPageSize: true });
    expect(pdf.length).toBeGreaterThan(5_000);
    await page.emulateMedia({ media: 'print' });
    await expect(page.getByRole('button', { name: 'Undo' })).toBeHidden();
    await expect(page.locator('.dial input')).toBeHidden();
    await page.emulateMedia({ media: null });
  }
  try {
    execFileSync('pdftoppm', ['-r', '60', '-png', join(out, 'lines-print.pdf'), join(out, 'lines-print')]);
  } catch {
    // pictures of the print are for looking at; where pdftoppm is not installed the PDF is kept
  }
});
