import { execFileSync } from 'node:child_process';
import { defineConfig, devices } from '@playwright/test';

// The system's Chromium, found on the path or given as CHROMIUM: nothing is downloaded.
const chromium =
  process.env.CHROMIUM ??
  execFileSync('sh', ['-c', 'command -v chromium || command -v chromium-browser || command -v google-chrome'], {
    encoding: 'utf8',
  }).trim();

export default defineConfig({
  testDir: 'e2e',
  outputDir: 'test-results',
  timeout: 40_000,
  expect: { timeout: 8_000 },
  fullyParallel: true, // each test has a program and a site of its own
  workers: 2,
  retries: process.env.CI ? 2 : 0, // a drag by a hand in software rendering, two programs on two cores
  forbidOnly: !!process.env.CI,
  reporter: process.env.CI ? [['list'], ['json', { outputFile: 'test-results/report.json' }]] : 'list',
  use: {
    trace: 'retain-on-failure',
    screenshot: 'only-on-failure',
    timezoneId: 'UTC',
    locale: 'en-GB',
    launchOptions: {
      executablePath: chromium,
      args: [
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
        '--force-color-profile=srgb',
        '--font-render-hinting=none',
      ],
    },
  },
  projects: [
    {
      name: 'desktop',
      testIgnore: /phone|speed/,
      use: { ...devices['Desktop Chrome'], viewport: { width: 1280, height: 800 } },
    },
    {
      name: 'phone',
      testMatch: /phone|screens|start/,
      use: { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true },
    },
    // Alone, after all others: what else runs would be measured too.
    { name: 'speed', testMatch: /speed/, dependencies: ['desktop', 'phone'], use: { ...devices['Desktop Chrome'] } },
  ],
});
