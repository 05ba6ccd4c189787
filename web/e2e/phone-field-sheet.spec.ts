// The field sheet is a paper, not a page of the app: it is opened from a file, closed, opened again and saved.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type BrowserContext, chromium, expect, type Page, test } from '@playwright/test';
import axe from 'axe-core';
import { program } from './app';

let sheet: string;
let home: string;

test.beforeAll(() => {
  home = mkdtempSync(join(tmpdir(), 'field-sheet-'));
  const site = join(home, 'quarry-bank');
  execFileSync(program(), ['demo', site]);
  // Ends with 1 where a finding says stop: the sheet is written all the same.
  try {
    execFileSync(program(), ['paper', site, '--field']);
  } catch {}
  sheet = pathToFileURL(join(site, 'out', 'field-sheet.html')).href;
});

/** A phone of its own, whose storage outlives the page and the browser. */
async function phone(name: string): Promise<{ context: BrowserContext; page: Page; asked: string[] }> {
  const { launchOptions, viewport } = test.info().project.use;
  const context = await chromium.launchPersistentContext(join(home, name), {
    ...launchOptions,
    viewport: viewport ?? null,
    offline: true,
    acceptDownloads: true,
  });
  const page = context.pages()[0] ?? (await context.newPage());
  const asked: string[] = [];
  page.on('request', (request) => asked.push(request.url()));
  await page.goto(sheet);
  return { context, page, asked };
}

const firstLine = (page: Page) => page.locator('#lines > section').first();
const peg = (page: Page, n: number) => firstLine(page).getByRole('article', { name: `Peg ${n}`, exact: true });

test('readings are judged, kept over a restart, saved, and taken up by another phone', async () => {
  const name = `phone-${test.info().project.name}-${test.info().retry}`;
  const first = await phone(name);
  await peg(first.page, 1).getByLabel('set').check();
  await peg(first.page, 2).getByLabel('shown, mm').fill('3');
  await expect(peg(first.page, 2)).toContainText('no more than the tool can tell');
  await peg(first.page, 3).getByLabel('shown, mm').fill('90');
  await expect(peg(first.page, 3)).toContainText('it matters');
  await expect(peg(first.page, 3)).toContainText('m uphill');
  await peg(first.page, 3).getByRole('combobox').selectOption('higher');
  await expect(peg(first.page, 3)).toContainText('cm deeper here');
  await peg(first.page, 4).getByLabel('shown, mm').fill('2,5');
  await peg(first.page, 4).getByText('What was dug here').click();
  await peg(first.page, 4).getByLabel('bank above peg, cm').fill('10');
  await expect(peg(first.page, 4)).toContainText('Too low by');
  await peg(first.page, 5).getByLabel('shown, mm').fill('3000');
  await expect(peg(first.page, 5)).toContainText('Is the reading in millimetres');
  const seen = first.page.locator('#seen');
  await seen.getByLabel('mm', { exact: true }).fill('18.5');
  await seen.getByLabel('in your words').fill('=quick shower, the yard drain ran');
  await seen.getByRole('button', { name: 'Write it down' }).click();
  await expect(seen.locator('.note')).toHaveCount(1);
  expect(first.asked.filter((url) => !url.startsWith('file:') && !url.startsWith('blob:'))).toEqual([]);
  await first.context.close();

  const again = await phone(name);
  await expect(peg(again.page, 1).getByLabel('set')).toBeChecked();
  await expect(peg(again.page, 3).getByLabel('shown, mm')).toHaveValue('90');
  await expect(peg(again.page, 3)).toContainText('cm deeper here');
  await expect(again.page.locator('#seen .note')).toHaveCount(1);
  const [download] = await Promise.all([
    again.page.waitForEvent('download'),
    again.page.getByRole('button', { name: 'Save the file' }).click(),
  ]);
  const text = readFileSync((await download.path()) as string, 'utf8');
  const saved = JSON.parse(text);
  expect(saved.format).toBe('hillsip-field-sheet');
  expect(saved.version).toBe(1);
  const third = saved.pegs.find((entry: { peg: number }) => entry.peg === 3);
  expect(third.fall_read_mm).toBe(-90);
  expect(saved.pegs.find((entry: { peg: number }) => entry.peg === 4).fall_read_mm).toBe(2.5);
  expect(saved.notes[0]).toMatchObject({ kind: 'rain', value: 18.5, unit: 'mm' });
  const [table] = await Promise.all([
    again.page.waitForEvent('download'),
    again.page.getByRole('button', { name: 'Save as a table' }).click(),
  ]);
  const csv = readFileSync((await table.path()) as string, 'utf8');
  expect(csv.split('\r\n')[0]).toContain('fall_read_mm');
  // A spreadsheet must not run what somebody wrote.
  expect(csv).toContain(`"'=quick shower, the yard drain ran"`);
  await again.context.close();

  const file = join(home, `${name}.json`);
  writeFileSync(file, text);
  const other = await phone(`${name}-other`);
  await other.page.locator('#take').setInputFiles(file);
  await expect(other.page.locator('#took')).toContainText('entries taken up');
  await expect(peg(other.page, 3).getByLabel('shown, mm')).toHaveValue('90');
  await other.page.locator('#take').setInputFiles(file);
  await expect(other.page.locator('#took')).toContainText('0 entries');
  await expect(other.page.locator('#seen .note')).toHaveCount(1);
  writeFileSync(file, '{"format":"something else"}');
  await other.page.locator('#take').setInputFiles(file);
  await expect(other.page.locator('#took')).toContainText('nothing was changed');
  await other.context.close();
});

test('it can be used by everyone, and at 390 px nothing is cut off', async () => {
  const { context, page } = await phone(`axe-${test.info().project.name}-${test.info().retry}`);
  await page.setViewportSize({ width: 390, height: 844 });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  expect(wide).toBeLessThanOrEqual(390);
  const small = await page.$$eval(
    '#lines input, #lines select, #lines button, #seen input, #seen select',
    (all) =>
      all.filter((node) => {
        const box = (node.closest('label.tick') ?? node).getBoundingClientRect();
        return box.height > 0 && box.height < 44;
      }).length,
  );
  expect(small).toBe(0);
  // Evaluated by the browser's own hand, which the sheet's policy does not bind.
  await page.evaluate(axe.source);
  const found = await page.evaluate(() => (window as unknown as { axe: typeof axe }).axe.run());
  expect(found.violations.map((violation) => `${violation.impact} ${violation.id}`)).toEqual([]);
  await page.screenshot({ path: 'test-results/screens/field-sheet-top.png' });
  await firstLine(page).screenshot({ path: 'test-results/screens/field-sheet-line.png' });
  await page.locator('#seen').screenshot({ path: 'test-results/screens/field-sheet-seen.png' });
  await context.close();
});
