// Every test has the real program to itself, on a fresh copy of the example site, and a page that must not complain.
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test as base, expect, type Locator, type Page } from '@playwright/test';

const HERE = import.meta.dirname;
const ROOT = join(HERE, '..', '..');

/** The program: HILLSIP=…, else the newest build that there is. */
export function program(): string {
  if (process.env.HILLSIP) return process.env.HILLSIP;
  const [found] = ['release', 'debug']
    .map((profile) => join(ROOT, 'target', profile, 'hillsip'))
    .filter((path) => existsSync(path))
    .sort((a, b) => statSync(b).mtimeMs - statSync(a).mtimeMs);
  if (!found) throw new Error('no hillsip built: cargo build --bin hillsip');
  return found;
}

/** A site folder and the program that serves it. */
export interface Site {
  dir: string;
  address: string;
  /** The plan as it stands on the disk. */
  plan(): string;
  /** Writes the plan as a text editor would. */
  writePlan(text: string): void;
}

async function serve(dir: string): Promise<{ address: string; child: ChildProcess }> {
  const child = spawn(program(), ['open', dir, '--port', '0', '--no-browser'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const address = await new Promise<string>((done, failed) => {
    let said = '';
    child.stdout?.on('data', (bytes: Buffer) => {
      said += bytes.toString();
      const found = /http:\/\/127\.0\.0\.1:\d+/.exec(said);
      if (found) done(found[0]);
    });
    child.on('exit', (code) => failed(new Error(`hillsip open ended with ${code}: ${said}`)));
  });
  return { address, child };
}

interface Fixtures {
  /** How the site folder is made: `demo`, `new` for the starter, `nothing` for an empty folder. */
  begun: 'demo' | 'new' | 'nothing';
  site: Site;
}

export const test = base.extend<Fixtures>({
  begun: ['demo', { option: true }],

  site: async ({ begun }, use) => {
    const above = mkdtempSync(join(tmpdir(), 'hillsip-e2e-'));
    const dir = join(above, 'site');
    if (begun === 'nothing') mkdirSync(dir);
    else execFileSync(program(), [begun, dir], { stdio: 'ignore' });
    const { address, child } = await serve(dir);
    const plan = join(dir, 'site.toml');
    await use({
      dir,
      address,
      plan: () => readFileSync(plan, 'utf8'),
      writePlan: (text) => writeFileSync(plan, text),
    });
    child.kill();
    rmSync(above, { recursive: true, force: true });
  },

  page: async ({ page, site }, use) => {
    const wrong: string[] = [];
    watch(page, site, wrong);
    await use(page);
    expect(wrong, 'errors on the page, and requests that leave this machine').toEqual([]);
  },
});

/** A page's own errors, and requests to anywhere but the program, are faults whatever the test is about. */
export function watch(page: Page, site: Site, wrong: string[]): void {
  page.on('pageerror', (error) => wrong.push(String(error)));
  page.on('console', (message) => {
    // A refused change is an answer, not an error of the page; the browser logs its status all the same.
    const refused = message.text().includes('status of 409');
    if (message.type() === 'error' && !refused) wrong.push(message.text());
  });
  page.on('request', (request) => {
    const own = [site.address, site.address.replace('http', 'ws'), 'data:', 'blob:'];
    if (!own.some((start) => request.url().startsWith(start))) wrong.push(`asked ${request.url()}`);
  });
}

/** With DIST=1 the page's files come from web/dist, so that a change of the page needs no new program. */
async function fromDist(page: Page): Promise<void> {
  if (!process.env.DIST) return;
  for (const file of ['app.js', 'app.css']) {
    await page.route(`**/${file}`, (route) => route.fulfill({ path: join(HERE, '..', 'dist', file) }));
  }
}

/** Opens a screen and waits until it has its letters, its site and, beside the map, the rain's answer. */
export async function open(page: Page, site: Site, screen: string): Promise<void> {
  await fromDist(page);
  await page.goto(`${site.address}/#/${screen}`);
  await expect(page.getByRole('heading', { level: 1 })).not.toHaveText('Opening the site …');
  await page.evaluate(() => document.fonts.ready);
}

export async function rained(page: Page): Promise<void> {
  await expect(page.locator('.verdict .soaks')).toBeVisible();
}

/** What the one voice said last. */
export function voice(page: Page): Locator {
  return page.getByRole('status');
}

/** The middle of a mark on the sheet, in the window. */
export async function middle(mark: Locator): Promise<{ x: number; y: number }> {
  const box = await mark.boundingBox();
  if (!box) throw new Error('the mark is not on the page');
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** A place on a drawn line, by the share of its length, in the window. */
export function along(path: Locator, share: number): Promise<{ x: number; y: number }> {
  return path.evaluate((element, at) => {
    const line = element as SVGPathElement;
    const place = line.getPointAtLength(line.getTotalLength() * at).matrixTransform(line.getScreenCTM() as DOMMatrix);
    return { x: place.x, y: place.y };
  }, share);
}

/** Drags with the mouse, in steps as a hand does. */
export async function drag(page: Page, from: { x: number; y: number }, by: { x: number; y: number }): Promise<void> {
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x + by.x, from.y + by.y, { steps: 8 });
  await page.mouse.up();
}

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface AxeResults {
  violations: { id: string; impact: string; nodes: { html: string; failureSummary?: string }[] }[];
}

/** What axe finds against WCAG 2.2 A and AA and its own best practice, in words. */
export async function axe(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    const runner = (window as unknown as { axe: { run(on: Document, how: unknown): Promise<AxeResults> } }).axe;
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
    const { violations } = await runner.run(document, { runOnly: tags, resultTypes: ['violations'] });
    return violations.map(
      (each) =>
        `${each.impact} ${each.id}: ${each.nodes.map((node) => `${node.html} ${node.failureSummary}`).join(' | ')}`,
    );
  });
}

/** Keeps a picture of what the page shows, to be looked at. */
export async function picture(page: Page, name: string): Promise<void> {
  await page.screenshot({ path: join(HERE, '..', 'pictures', `${name}.png`) });
}

export { expect };
